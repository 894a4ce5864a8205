package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// nearestBySampling is the slow way: many samples, then a ternary search around
// the best one.
func nearestBySampling(c segmentCase, q Point) float64 {
	const n = 2000
	best, at := math.Inf(1), 0
	for k := range n + 1 {
		if d := c.s.At(c.start, float64(k)/n).Distance(q); d < best {
			best, at = d, k
		}
	}
	low, high := math.Max(0, float64(at-1)/n), math.Min(1, float64(at+1)/n)
	for range 100 {
		a, b := low+(high-low)/3, high-(high-low)/3
		if c.s.At(c.start, a).Distance(q) < c.s.At(c.start, b).Distance(q) {
			high = b
		} else {
			low = a
		}
	}
	return math.Min(best, c.s.At(c.start, (low+high)/2).Distance(q))
}

func TestNearestAgainstSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	for i, c := range randomSegments(31, 300) {
		curve := Curve{c.start, []Segment{c.s}}
		for range 5 {
			q := Pt(rng.Float64()*120-60, rng.Float64()*120-60)
			if rng.IntN(4) == 0 {
				q = c.s.At(c.start, rng.Float64())
			}
			n := curve.Nearest(q)
			want := nearestBySampling(c, q)
			assertLength(t, want, float64(n.Distance), 1e-6, i, c, q)
			assertNear(t, n.Point, c.s.At(c.start, n.T), 1e-9, "the parameter belongs to the point")
			assertLength(t, q.Distance(n.Point), float64(n.Distance), 1e-12)
		}
	}
}

func TestNearestClosedForms(t *testing.T) {
	// From (0, a) on the axis of y = x²: a itself for a <= 1/2, else √(a - 1/4).
	parabola := Curve{Pt(-5, 25), []Segment{QuadTo(Pt(0, -25), Pt(5, 25))}}
	assertLength(t, 0.3, float64(parabola.Nearest(Pt(0, 0.3)).Distance), 1e-12)
	assertLength(t, math.Sqrt(3-0.25), float64(parabola.Nearest(Pt(0, 3)).Distance), 1e-12)
	c := Circle(Pt(1, 2), 10)
	assertLength(t, 5.0, float64(c.Nearest(Pt(1, 17)).Distance), float64(ArcTolerance))
	n := Polyline(Pt(0, 0), Pt(10, 0), Pt(10, 10)).Nearest(Pt(4, 3))
	assert.Equal(t, Nearest{Contour: 0, Segment: 0, T: 0.4, Point: Pt(4, 0), Distance: 3}, n)
}

func TestPathNearest(t *testing.T) {
	p := Path{Circle(Pt(0, 0), 5), Circle(Pt(100, 0), 5), Rectangle(Box{Pt(40, 10), Pt(60, 20)})}
	for i, q := range []Point{{-9, 1}, {96, 3}, {50, 15}} {
		n := p.Nearest(q)
		assert.Equal(t, i, n.Contour)
		assert.Equal(t, p[i].Nearest(q).Distance, n.Distance)
	}
}

func TestNearestOfDegenerate(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, p := range []Path{nil, {}} {
		n := p.Nearest(Pt(0, 0))
		assert.Equal(t, -1, n.Contour)
		assert.True(t, math.IsInf(float64(n.Distance), 1))
	}
	square := Rectangle(Box{Pt(0, 0), Pt(1, 1)})
	for _, q := range []Point{{nan, 0}, {0, inf}} {
		assert.Equal(t, -1, square.Nearest(q).Contour, "%v", q)
	}
	dot := Pt(2, 2)
	one := Curve{dot, []Segment{LineTo(dot), QuadTo(dot, dot), CubicTo(dot, dot, dot)}}
	assert.EqualValues(t, 5, one.Nearest(Pt(5, 6)).Distance)
	assert.EqualValues(t, 5, Curve{Start: dot}.Nearest(Pt(5, 6)).Distance)
	bad := Curve{Pt(0, 0), []Segment{CubicTo(Pt(nan, 1), Pt(1, inf), Pt(1, 1)), LineTo(Pt(1e308, -1e308)), CubicTo(Pt(1e308, 0), Pt(-1e308, 1), Pt(0, 0))}}
	assert.NotPanics(t, func() { bad.Nearest(Pt(1, 2)) })
	// A metre-sized arc a million metres out.
	far := Circle(Pt(1e9, 1e9), 1000)
	assertLength(t, 500.0, float64(far.Nearest(Pt(1e9, 1e9+1500)).Distance), 1e-3)
}

// Points on or beside a long curve, near its start, where the parameter has more
// digits than the point: the search stops at the minimum and does not leave it.
func TestNearestStopsAtTheMinimum(t *testing.T) {
	steep := Curve{Pt(3.4514148757509138, 91.62457643395332), []Segment{
		CubicTo(Pt(7.6543072529383664, 46.21750914827637), Pt(13.34554585986305, 30.526394189205313), Pt(19.965851811238032, 28.2967748227581)),
	}}
	n := steep.Nearest(Pt(3.6426824196280942, 89.58937528399632))
	assert.Less(t, float64(n.Distance), 1e-6)
	rng := rand.New(rand.NewPCG(9, 9))
	for range 20_000 {
		at := rng.Float64() * rng.Float64() * rng.Float64()
		p := steep.Segments[0].At(steep.Start, at)
		require.Less(t, float64(steep.Nearest(p).Distance), 1e-12, "at %v", at)
	}
}

func FuzzNearest(f *testing.F) {
	f.Add(0.0, 0.0, 10.0, 20.0, 20.0, -20.0, 30.0, 0.0, 15.0, 1.0, uint8(2))
	f.Add(0.0, 0.0, 0.0, 0.0, 10.0, 0.0, 10.0, 0.0, 5.0, 5.0, uint8(2))
	f.Add(1.0, 1.0, 3.0, 3.0, 0.0, 0.0, 5.0, 5.0, 3.0, 3.0, uint8(1))
	f.Fuzz(func(t *testing.T, x0, y0, x1, y1, x2, y2, x3, y3, qx, qy float64, kind uint8) {
		in := func(x, y float64) Point { return Pt(math.Mod(x, 100), math.Mod(y, 100)) }
		c := segmentCase{in(x0, y0), Segment{Kind: SegmentKind(kind % 3), C1: in(x1, y1), C2: in(x2, y2), End: in(x3, y3)}}
		q := in(qx, qy)
		if !q.IsFinite() || !c.start.IsFinite() || !c.s.C1.IsFinite() || !c.s.C2.IsFinite() || !c.s.End.IsFinite() {
			t.Skip()
		}
		got, want := float64(Curve{c.start, []Segment{c.s}}.Nearest(q).Distance), nearestBySampling(c, q)
		if got > want+1e-6 {
			t.Fatalf("%v to %v: %v, but a sample is at %v", q, c, got, want)
		}
		if got < want-0.05 { // the samples are at most 0.15 mm apart at their ends
			t.Fatalf("%v to %v: %v, nearer than the curve at %v", q, c, got, want)
		}
	})
}

func BenchmarkNearest(b *testing.B) {
	for _, n := range []int{1, 30, 1000} {
		var c Curve
		c.Start = Pt(0, 0)
		for _, s := range randomSegments(9, 3*n) {
			if s.s.Kind == Cubic {
				c.Segments = append(c.Segments, s.s)
			}
		}
		rng := rand.New(rand.NewPCG(9, 9))
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				c.Nearest(Pt(rng.Float64()*100-50, rng.Float64()*100-50))
			}
		})
	}
}
