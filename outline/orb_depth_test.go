package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Rings within rings alternate between film and hole, whatever their order and
// direction; a hole that touches its outer ring in a corner is still a hole.
func TestMultiPolygonDepths(t *testing.T) {
	p := Path{
		testSquare(4, 4, 2), testSquare(0, 0, 10), testSquare(2, 2, 6), testSquare(20, 0, 5).Reversed(),
		Polygon(Pt(20, 0), Pt(22, 1), Pt(21, 2)),
	}
	m := p.MultiPolygon(0)
	require.Len(t, m, 3)
	areas := map[float64]int{}
	for _, polygon := range m {
		a := 0.0
		for i, r := range polygon {
			s := 0.0
			for k := 1; k < len(r); k++ {
				s += (r[k-1][0]*r[k][1] - r[k-1][1]*r[k][0]) / 2
			}
			assert.Equal(t, i > 0, s < 0, "outer rings run counter-clockwise, holes clockwise")
			a += s
		}
		areas[math.Round(a*1e6)/1e6] = len(polygon)
	}
	assert.Equal(t, map[float64]int{64: 2, 4: 1, 23.5: 2}, areas)
	back := FromMultiPolygon(m)
	assert.InDelta(t, 64+4+23.5, float64(back.Area()), 1e-9)
}

func BenchmarkMultiPolygon(b *testing.B) {
	var page Path
	for _, line := range textPage(b, 20) {
		page = append(page, line...)
	}
	film, err := Weld([]Path{page}, BooleanOptions{})
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		film.MultiPolygon(0)
	}
	b.ReportMetric(float64(len(film)), "contours")
}
