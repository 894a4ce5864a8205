package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A crossing worked out on two curves may give two vertices that differ in their
// last bit; polygons have one of them, for an edge so short has no direction.
func TestPolygonsHaveNoVertexTwice(t *testing.T) {
	x := 28.02380329831055
	next := math.Nextafter(x, 100)
	p := Path{
		Polygon(Pt(0, 0), Pt(x, 0), Pt(next, 0), Pt(next, 20), Pt(0, 20), Pt(0, 1e-12)),
		Polygon(Pt(5, 5), Pt(5, 5+1e-12), Pt(5+1e-12, 5)), // nothing but one point
	}
	m := p.MultiPolygon(0)
	require.Len(t, m, 1)
	require.Len(t, m[0], 1)
	assert.Len(t, m[0][0], 5)
	assert.Equal(t, m[0][0][0], m[0][0][4])
}

// A line out and a curve back along it are a spur, as a curve out and a line back
// are, whichever comes first.
func TestSpursEitherWay(t *testing.T) {
	tip := Pt(10.02, 0)
	c := Curve{Pt(0, 0), []Segment{
		CubicTo(Pt(4, 0), Pt(8, 0), tip), LineTo(Pt(10, 0.0005)), LineTo(Pt(12, 6)), LineTo(Pt(0, 6)), LineTo(Pt(0, 0)),
	}}.Closed()
	for _, c := range []Contour{c, c.Reversed()} {
		both := withoutSpurs(withoutSpurs(c, 0.005).Reversed(), 0.005).Reversed()
		assert.Len(t, both.Segments, 4)
		assert.Greater(t, float64(Curve(both).Nearest(tip).Distance), 0.015)
		assert.NoError(t, Path{both}.Check())
	}
}
