package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCurveClosed(t *testing.T) {
	open := Polyline(Pt(0, 0), Pt(4, 0), Pt(4, 3))
	c := open.Closed()
	require.Len(t, c.Segments, 3)
	assert.Equal(t, Pt(0, 0), c.Segments[2].End)
	assert.Len(t, open.Segments, 2, "the curve itself is not touched")
	assert.Equal(t, c, c.Curve().Closed(), "closed twice is closed once")
	assert.Equal(t, Contour{Start: Pt(1, 1), Segments: nil}, Curve{Start: Pt(1, 1)}.Closed())
}

func TestPolylineOfFewPoints(t *testing.T) {
	assert.Equal(t, Curve{}, Polyline())
	one := Polyline(Pt(2, 3))
	assert.Equal(t, Pt(2, 3), one.Start)
	assert.Equal(t, Pt(2, 3), one.End())
	assert.Equal(t, Box{Pt(2, 3), Pt(2, 3)}, one.Bounds())
	assert.Zero(t, Polygon(Pt(1, 1)).Area())
	assert.Len(t, Polygon(Pt(0, 0), Pt(1, 0), Pt(0, 1), Pt(0, 0)).Segments, 3, "a repeated first point is not another node")
}

func TestAreaClosedForms(t *testing.T) {
	// Archimedes: a parabola's segment is two thirds of its circumscribed
	// rectangle. Width 2, height 1.
	parabola := Curve{Pt(2, 0), []Segment{QuadTo(Pt(1, 2), Pt(0, 0))}}.Closed()
	assertLength(t, 4.0/3, float64(parabola.Area()), 1e-14)
	// The same as a cubic.
	cubic := Curve{Pt(2, 0), []Segment{CubicTo(Pt(4.0/3, 4.0/3), Pt(2.0/3, 4.0/3), Pt(0, 0))}}.Closed()
	assertLength(t, 4.0/3, float64(cubic.Area()), 1e-14)
	assertLength(t, -4.0/3, float64(cubic.Reversed().Area()), 1e-14)
	// Far from the origin the digits stay.
	far := Path{Polygon(Pt(0, 0), Pt(1, 0), Pt(1, 1), Pt(0, 1))}.Transform(Translate(Pt(1e9, -1e9)))
	assertLength(t, 1.0, float64(far.Area()), 1e-12)
}

func TestPathBoundsAndNodes(t *testing.T) {
	assert.True(t, Path(nil).Bounds().IsEmpty())
	assert.Zero(t, Path(nil).Area())
	p := Path{Rectangle(Box{Pt(0, 0), Pt(2, 1)}), Rectangle(Box{Pt(5, 5), Pt(6, 8)})}
	assert.Equal(t, Box{Pt(0, 0), Pt(6, 8)}, p.Bounds())
	assert.Equal(t, 8, p.Nodes())
	assert.Equal(t, 5.0, float64(p.Area()))
}

func TestReversed(t *testing.T) {
	c := Curve{Pt(0, 0), []Segment{LineTo(Pt(4, 0)), QuadTo(Pt(6, 2), Pt(4, 4)), CubicTo(Pt(3, 5), Pt(1, 5), Pt(0, 4))}}
	r := c.Reversed()
	assert.Equal(t, c.End(), r.Start)
	assert.Equal(t, c.Start, r.End())
	assert.Equal(t, c, r.Reversed(), "bit for bit")
	closed := c.Closed()
	assert.Equal(t, closed.Start, closed.Reversed().Start)
	assertLength(t, -closed.Area(), closed.Reversed().Area(), 1e-12)
	assert.Equal(t, Curve{Start: Pt(1, 2), Segments: []Segment{}}, Curve{Start: Pt(1, 2)}.Reversed())
}

func TestCloneAndWithOriginDoNotShare(t *testing.T) {
	p := Path{Polygon(Pt(0, 0), Pt(1, 0), Pt(0, 1))}
	q, named := p.Clone(), p.WithOrigin(7)
	q[0].Segments[0].End = Pt(9, 9)
	assert.Equal(t, Pt(1, 0), p[0].Segments[0].End)
	assert.EqualValues(t, 7, named[0].Segments[2].Origin)
	assert.EqualValues(t, 0, p[0].Segments[2].Origin)
}

func TestCheck(t *testing.T) {
	square := Polygon(Pt(0, 0), Pt(1, 0), Pt(1, 1), Pt(0, 1))
	broken := func(change func(c *Contour)) Path {
		p := Path{square, square}.Clone()
		change(&p[1])
		return p
	}
	for name, c := range map[string]struct {
		p     Path
		cause error
		node  int
	}{
		"NaN start":     {broken(func(c *Contour) { c.Start.X = math.NaN() }), ErrNotFinite, 0},
		"infinite end":  {broken(func(c *Contour) { c.Segments[2].End.Y = math.Inf(-1) }), ErrNotFinite, 2},
		"NaN control":   {broken(func(c *Contour) { c.Segments[1] = QuadTo(Pt(math.NaN(), 0), c.Segments[1].End) }), ErrNotFinite, 1},
		"infinite C2":   {broken(func(c *Contour) { c.Segments[1] = CubicTo(Pt(0, 0), Pt(math.Inf(1), 0), c.Segments[1].End) }), ErrNotFinite, 1},
		"not closed":    {broken(func(c *Contour) { c.Segments = c.Segments[:3] }), ErrNotClosed, 2},
		"an ulp open":   {broken(func(c *Contour) { c.Segments[3].End.X = 5e-324 }), ErrNotClosed, 3},
		"one far point": {Path{square, {Start: Pt(0, math.Inf(1))}}, ErrNotFinite, 0},
	} {
		err := c.p.Check()
		var pathErr *PathError
		require.ErrorAs(t, err, &pathErr, name)
		assert.ErrorIs(t, err, c.cause, name)
		assert.Equal(t, 1, pathErr.Contour, name)
		assert.Equal(t, c.node, pathErr.Node, name)
		assert.NotEmpty(t, pathErr.Fix, name)
	}
	assert.NoError(t, Path{square}.Check())
	assert.NoError(t, Path(nil).Check())
	assert.NoError(t, Path{{Start: Pt(1, 1)}}.Check(), "one point encloses nothing, but is no mistake")
	unused := Path{Polygon(Pt(0, 0), Pt(1, 0), Pt(1, 1))}
	unused[0].Segments[0].C1.X = math.NaN()
	assert.NoError(t, unused.Check(), "a line has no control point")
}
