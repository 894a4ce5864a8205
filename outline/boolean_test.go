package outline

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func square(x, y, side float64) Contour {
	return Polygon(Pt(x, y), Pt(x+side, y), Pt(x+side, y+side), Pt(x, y+side))
}

func TestBooleanSquares(t *testing.T) {
	a, b := Path{square(0, 0, 10)}, Path{square(5, 5, 10)}
	for _, test := range []struct {
		op   string
		f    func() (Path, error)
		area float64
	}{
		{"weld", func() (Path, error) { return Weld([]Path{a, b}, BooleanOptions{}) }, 175},
		{"intersect", func() (Path, error) { return Intersect([]Path{a, b}, BooleanOptions{}) }, 25},
		{"subtract", func() (Path, error) { return Subtract(a, []Path{b}, BooleanOptions{}) }, 75},
		{"symmetric difference", func() (Path, error) { return SymmetricDifference([]Path{a, b}, BooleanOptions{}) }, 150},
	} {
		p, err := test.f()
		require.NoError(t, err, test.op)
		assert.InDelta(t, test.area, float64(p.Area()), 1e-9, test.op)
	}
	p, err := Offset(a, 1, OffsetOptions{Corner: CornerMitre})
	require.NoError(t, err)
	assert.InDelta(t, 144, float64(p.Area()), 1e-9)
}
