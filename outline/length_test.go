package outline

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/vinylgeom/vinyl/units"
)

// lengthByBisection encloses a segment's length between chord and control
// polygon, halving until both agree: slow and obvious.
func lengthByBisection(c segmentCase, tolerance float64) float64 {
	points := c.controls()
	chord, polygon := c.start.Distance(c.s.End), 0.0
	for i := 1; i < len(points); i++ {
		polygon += points[i-1].Distance(points[i])
	}
	if polygon-chord <= tolerance {
		return (chord + polygon) / 2
	}
	first, second := c.s.Split(c.start, 0.5)
	return lengthByBisection(segmentCase{c.start, first}, tolerance/2) + lengthByBisection(segmentCase{first.End, second}, tolerance/2)
}

func TestLengthAgainstBisection(t *testing.T) {
	for _, c := range randomSegments(11, 90) {
		want := lengthByBisection(c, 1e-4)
		got := Curve{c.start, []Segment{c.s}}.Length(1e-5)
		assertLength(t, want, float64(got), 2e-4, c)
	}
}

// parabolaLength is the closed form of the arc length of y = x² from 0 to x.
func parabolaLength(x float64) float64 {
	return x/2*math.Sqrt(1+4*x*x) + math.Asinh(2*x)/4
}

func TestParabolaLength(t *testing.T) {
	for _, x := range []float64{0.1, 1, 7, 30} {
		c := Curve{Pt(-x, x*x), []Segment{QuadTo(Pt(0, -x*x), Pt(x, x*x))}}
		for _, tolerance := range []units.Length{1, 0.01, 1e-6, 1e-9} {
			assertLength(t, 2*parabolaLength(x), float64(c.Length(tolerance)), float64(tolerance), "x", x)
		}
	}
}

// ellipsePerimeter is the complete elliptic integral by the arithmetic-geometric
// mean (Abramowitz and Stegun, 17.6).
func ellipsePerimeter(a, b float64) float64 {
	x, y, sum, weight := a, b, (a*a+b*b)/2, 1.0
	for range 40 {
		c := (x - y) / 2
		sum -= weight * c * c
		weight *= 2
		x, y = (x+y)/2, math.Sqrt(x*y)
	}
	return 2 * math.Pi * sum / x
}

// ramanujan is Ramanujan's second approximation of an ellipse's perimeter
// ("Modular equations and approximations to π", 1914).
func ramanujan(a, b float64) float64 {
	h := (a - b) * (a - b) / ((a + b) * (a + b))
	return math.Pi * (a + b) * (1 + 3*h/(10+math.Sqrt(4-3*h)))
}

func TestEllipsePerimeter(t *testing.T) {
	for _, c := range []struct{ a, b float64 }{{10, 10}, {30, 12}, {50, 49}, {80, 20}} {
		exact := ellipsePerimeter(c.a, c.b)
		assertLength(t, ramanujan(c.a, c.b), exact, 1e-3, "the two references agree")
		got := Ellipse(Pt(0, 0), units.Length(c.a), units.Length(c.b)).Length(1e-9)
		// The cubics' lengths differ far less than their tolerance times their turn.
		assertLength(t, exact, float64(got), 2*math.Pi*float64(ArcTolerance), c)
	}
}

func TestCircumference(t *testing.T) {
	for _, r := range []float64{0.5, 10, 300} {
		p := Ring(Pt(0, 0), units.Length(2*r), units.Length(r))
		assertLength(t, 6*math.Pi*r, float64(p.Length(1e-9)), 2*2*math.Pi*float64(ArcTolerance))
	}
}

func TestLengthOfDegenerateCurves(t *testing.T) {
	assert.Zero(t, Curve{}.Length(0))
	assert.Zero(t, Path(nil).Length(0))
	p := Pt(3, 3)
	assert.Zero(t, Curve{p, []Segment{LineTo(p), QuadTo(p, p), CubicTo(p, p, p)}}.Length(0))
	// There and back along one line: a cusp at the turn, where speed is zero.
	// x = 2t(1-t)·10 turns at 5.
	assertLength(t, 10, float64(Curve{Pt(0, 0), []Segment{QuadTo(Pt(10, 0), Pt(0, 0))}}.Length(1e-9)), 1e-9)
	// A cubic with a cusp, against bisection.
	cusp := segmentCase{Pt(0, 0), CubicTo(Pt(3, 3), Pt(0, 3), Pt(3, 0))}
	assertLength(t, lengthByBisection(cusp, 1e-5), float64(Curve{cusp.start, []Segment{cusp.s}}.Length(1e-7)), 2e-5)
	// Far out and huge: still an answer, as exact as float64 can be.
	far := Curve{Pt(1e9, -1e9), []Segment{QuadTo(Pt(1e9+1, -1e9+2), Pt(1e9+2, -1e9))}}
	assertLength(t, 2*parabolaLength(1), float64(far.Length(1e-9)), 1e-5)
	assert.Positive(t, float64(Curve{Pt(-1e9, 0), []Segment{CubicTo(Pt(0, 2e9), Pt(1e9, -2e9), Pt(1e9, 1e9))}}.Length(1e-9)))
	for _, v := range []float64{math.NaN(), math.Inf(1), 1e308} {
		bad := Curve{Pt(0, 0), []Segment{CubicTo(Pt(v, 1), Pt(1, v), Pt(2, 2)), LineTo(Pt(v, v))}}
		assert.NotPanics(t, func() { bad.Length(0) })
	}
}

func BenchmarkLength(b *testing.B) {
	for _, n := range []int{10, 1000} {
		c := Curve{}
		for _, s := range randomSegments(9, n) {
			c.Segments = append(c.Segments, s.s)
		}
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				c.Length(1e-6)
			}
		})
	}
}
