package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/units"
)

// field is the box that the bend tests fill with artwork.
var field = Box{Point{0, 0}, Point{100, 20}}

// artwork is a row of shapes with every kind of segment: bars, discs, a
// letter-like mix with quads, and a star.
func artwork() Path {
	var p Path
	for i := range 5 {
		x := float64(i) * 20
		p = append(p,
			Rectangle(Box{Point{x + 1, 0}, Point{x + 4, 20}}),
			Circle(Point{x + 9, 10}, 4.5),
			Circle(Point{x + 9, 10}, 2.5).Reversed(),
			Curve{Point{x + 14, 1}, []Segment{
				LineTo(Point{x + 16, 1}), QuadTo(Point{x + 19, 8}, Point{x + 16, 12}),
				CubicTo(Point{x + 22, 14}, Point{x + 12, 19}, Point{x + 14, 15}),
			}}.Closed(),
		)
	}
	return append(p, Star(Point{50, 10}, 9, 4, 5, units.Turn/4))
}

func TestBendStaysNear(t *testing.T) {
	w, err := BetweenArcs(Box{Point{0, 0}, Point{100, 20}}, 30, 20)
	require.NoError(t, err)
	var report BendReport
	p, err := Bend(artwork(), field, w, BendOptions{Report: &report})
	require.NoError(t, err)
	t.Logf("%+v", report)
	worst := 0.0
	for i, c := range artwork() {
		at := c.Start
		for _, s := range c.Segments {
			for k := range 50 {
				q := s.At(at, float64(k)/50)
				d := float64(p[i].Nearest(w.Map(q.X/100, q.Y/20)).Distance)
				worst = math.Max(worst, d)
			}
			at = s.End
		}
	}
	assert.LessOrEqual(t, worst, float64(DefaultTolerance))
	t.Log("worst", worst)
}

func BenchmarkBend(b *testing.B) {
	w, err := BetweenArcs(Box{Point{0, 0}, Point{100, 20}}, 30, 20)
	require.NoError(b, err)
	p := artwork()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Bend(p, field, w, BendOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
