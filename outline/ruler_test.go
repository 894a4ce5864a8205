package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/units"
)

// wander is a curve with every kind of segment, a repeated point and a cusp.
func wander() Curve {
	return Curve{Pt(0, 0), []Segment{
		LineTo(Pt(10, 0)), LineTo(Pt(10, 0)), QuadTo(Pt(20, 5), Pt(10, 20)),
		{Kind: Cubic, C1: Pt(30, 40), C2: Pt(-20, 40), End: Pt(10, 21), Origin: 3},
		CubicTo(Pt(13, 24), Pt(10, 24), Pt(13, 21)), CubicTo(Pt(13, 21), Pt(40, 30), Pt(40, 0)),
	}}
}

func TestPointAtMeasuresBack(t *testing.T) {
	c := wander()
	r := NewRuler(c)
	total := r.Length()
	assertLength(t, c.Length(1e-9), total, 1e-6)
	for k := range 101 {
		at := total * units.Length(k) / 100
		assertLength(t, at, r.SubCurve(0, at).Length(1e-8), 2e-6, "the way to the point is as long as asked")
		assertLength(t, total-at, r.SubCurve(at, total).Length(1e-8), 2e-6)
		assertNear(t, r.PointAt(at), r.SubCurve(0, at).End(), 1e-9)
	}
}

func TestTangentAt(t *testing.T) {
	c := wander()
	r := NewRuler(c)
	const h = 1e-4
	for k := 1; k < 200; k++ {
		at := r.Length() * units.Length(k) / 200
		want, _ := r.PointAt(at + h).Sub(r.PointAt(at - h)).unit()
		assertNear(t, want, r.TangentAt(at), 2e-2, at)
		assertLength(t, 1, r.TangentAt(at).Norm(), 1e-12)
	}
	assert.Equal(t, Pt(1, 0), r.TangentAt(-1))
	assert.Equal(t, Pt(0, -1), r.TangentAt(1e9))
	corner := Polyline(Pt(0, 0), Pt(5, 0), Pt(5, 5))
	assert.Equal(t, Pt(0, 1), corner.TangentAt(5), "at a corner, that of the segment behind it")
}

func TestSubCurve(t *testing.T) {
	c := wander()
	r := NewRuler(c)
	part := r.SubCurve(5, 60)
	back := r.SubCurve(60, 5)
	assert.Equal(t, part.Reversed(), back)
	whole := r.SubCurve(0, r.Length())
	assert.Equal(t, c, whole, "the whole is the curve itself, bit for bit")
	assert.Equal(t, whole, r.SubCurve(-5, r.Length()+5), "outside counts as the end")
	for _, s := range r.SubCurve(45, 50).Segments {
		assert.EqualValues(t, 3, s.Origin, "origins are kept")
	}
	point := r.SubCurve(7, 7)
	assert.Equal(t, Pt(7, 0), point.Start)
	assert.Empty(t, point.Segments)
}

func TestSplitAt(t *testing.T) {
	c := wander()
	total := c.Length(1e-9)
	first, second := c.SplitAt(total / 3)
	assert.Equal(t, first.End(), second.Start, "both share the point, bit for bit")
	assertLength(t, total/3, first.Length(1e-9), 1e-6)
	assertLength(t, total*2/3, second.Length(1e-9), 1e-6)
	first, second = c.SplitAt(-1)
	assert.Empty(t, first.Segments)
	assert.Equal(t, c, second)
	first, second = c.SplitAt(1e6)
	assert.Equal(t, c, first)
	assert.Empty(t, second.Segments)
	assert.Equal(t, c.End(), second.Start)
}

func TestContourLengthsRunRound(t *testing.T) {
	c := Rectangle(Box{Pt(0, 0), Pt(10, 5)})
	for _, at := range []units.Length{12, 42, -18} {
		assertNear(t, Pt(10, 2), c.PointAt(at), 1e-12)
		assert.Equal(t, Pt(0, 1), c.TangentAt(at))
	}
	assert.Equal(t, Polyline(Pt(0, 2), Pt(0, 0), Pt(2, 0)), c.SubCurve(28, 2))
	assert.Equal(t, c.Length(0), c.SubCurve(3, 3).Length(0), "equal lengths: all the way round")
	started := c.StartAt(12)
	require.NoError(t, Path{started}.Check())
	assert.Equal(t, Polygon(Pt(10, 2), Pt(10, 5), Pt(0, 5), Pt(0, 0), Pt(10, 0)), started)
	assert.Equal(t, c, c.StartAt(0))
	assert.Equal(t, c, c.StartAt(30))
	atNode := c.StartAt(10)
	assert.Equal(t, Polygon(Pt(10, 0), Pt(10, 5), Pt(0, 5), Pt(0, 0)), atNode, "no node is added at a node")
	disc := Circle(Pt(0, 0), 10)
	for _, at := range []units.Length{1, 17, -3, 40} {
		moved := disc.StartAt(at)
		require.NoError(t, Path{moved}.Check())
		assertNear(t, disc.PointAt(at), moved.Start, 1e-9)
		assertLength(t, disc.Area(), moved.Area(), 1e-9)
	}
}

func TestRulerOfDegenerate(t *testing.T) {
	var zero Ruler
	assert.Zero(t, zero.Length())
	assert.Equal(t, Point{}, zero.PointAt(5))
	assert.Equal(t, Point{}, zero.TangentAt(5))
	assert.Equal(t, Curve{}, zero.SubCurve(1, 2))
	dot := Pt(1, 2)
	for _, c := range []Curve{{Start: dot}, {dot, []Segment{LineTo(dot), CubicTo(dot, dot, dot)}}} {
		assert.Equal(t, dot, c.PointAt(3))
		assert.Equal(t, Point{}, c.TangentAt(3))
		assert.Equal(t, dot, c.SubCurve(0, 1).Start)
		first, second := c.SplitAt(1)
		assert.Equal(t, []Point{dot, dot}, []Point{first.End(), second.End()})
		closed := c.Closed()
		assert.Equal(t, dot, closed.PointAt(3))
		assert.Equal(t, dot, closed.StartAt(3).Start)
		assert.Equal(t, dot, closed.SubCurve(1, 2).Start)
	}
	nan, inf := math.NaN(), math.Inf(1)
	c := wander()
	for _, at := range []float64{nan, inf, -inf} {
		for _, curve := range []Curve{c, {Pt(nan, 0), []Segment{CubicTo(Pt(0, 0), Pt(inf, 1), Pt(1, nan)), LineTo(Pt(1, 1))}}, {Pt(-1e308, 0), []Segment{QuadTo(Pt(1e308, 1e308), Pt(-1e308, 1))}}} {
			assert.NotPanics(t, func() {
				curve.PointAt(units.Length(at))
				curve.TangentAt(units.Length(at))
				curve.SubCurve(units.Length(at), 3)
				curve.SplitAt(units.Length(at))
				curve.Closed().PointAt(units.Length(at))
				curve.Closed().StartAt(units.Length(at))
			})
		}
	}
	far := Curve{Pt(1e9, 1e9), []Segment{QuadTo(Pt(1e9+50, 1e9+100), Pt(1e9+100, 1e9))}}
	assertLength(t, far.Length(0)/2, far.SubCurve(0, far.Length(0)/2).Length(0), 1e-4)
}

func BenchmarkRuler(b *testing.B) {
	c := Curve(Circle(Pt(0, 0), 50))
	b.Run("new", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			NewRuler(c)
		}
	})
	r := NewRuler(c)
	b.Run("point", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			r.PointAt(123.4)
		}
	})
}
