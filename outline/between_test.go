package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/units"
)

func TestBetweenFollowsItsCurvesByArcLength(t *testing.T) {
	bottom := wander()
	top := Curve(Circle(Pt(10, 90), 30))
	w, err := Between(bottom, top)
	require.NoError(t, err)
	low, high := NewRuler(bottom), NewRuler(top)
	for k := range 201 {
		u := float64(k) / 200
		p, q := low.PointAt(low.Length()*units.Length(u)), high.PointAt(high.Length()*units.Length(u))
		// Twice: the rail's own tolerance, and the ruler's along the curve.
		assertNear(t, p, w.Map(u, 0), 2*railTolerance, "bottom at", u)
		assertNear(t, q, w.Map(u, 1), 2*railTolerance, "top at", u)
		assertNear(t, p.Lerp(q, 0.3), w.Map(u, 0.3), 2*railTolerance)
		assertNear(t, p.Lerp(q, -0.5), w.Map(u, -0.5), 4*railTolerance, "below the field")
		assertNear(t, p.Lerp(q, 1.5), w.Map(u, 1.5), 4*railTolerance, "above the field")
	}
}

// A curve that is an S about its middle has no error there that could tell how far
// off one long piece of a rail is.
func TestBetweenFollowsAnS(t *testing.T) {
	for _, rise := range []float64{0.3, 1, 3, 10} {
		s := Curve{Pt(0, 0), []Segment{CubicTo(Pt(40, rise), Pt(60, -rise), Pt(100, 0))}}
		w, err := Between(s, Polyline(Pt(0, 30), Pt(100, 30)))
		require.NoError(t, err)
		ruler := NewRuler(s)
		for k := range 101 {
			u := float64(k) / 100
			assertNear(t, ruler.PointAt(ruler.Length()*units.Length(u)), w.Map(u, 0), 2*railTolerance, "rise", rise, "at", u)
		}
	}
}

func TestBetweenRunsOnStraight(t *testing.T) {
	w, err := Between(Arc(Pt(0, 0), 10, units.Turn/2, -units.Turn/2), Arc(Pt(0, 0), 20, units.Turn/2, -units.Turn/2))
	require.NoError(t, err)
	// The arcs leave downwards at their right end; a tenth of 10π further on.
	assertNear(t, Pt(10, -math.Pi), w.Map(1.1, 0), 1e-3)
	assertNear(t, Pt(-20, -2*math.Pi), w.Map(-0.1, 1), 1e-3)
}

// Every warp's derivatives against central differences of its own map.
func TestWarpDerivatives(t *testing.T) {
	for name, w := range warps(t) {
		for _, u := range []float64{-0.05, 0.013, 0.21, 0.4987, 0.77, 0.993, 1.05} {
			for _, v := range []float64{-0.2, 0, 0.35, 1, 1.1} {
				du, dv := w.Derivatives(u, v)
				nu, nv := WarpFunc(w.Map).Derivatives(u, v)
				assertNear(t, nu, du, 2e-3*(1+du.Norm()), name, "by u at", u, v)
				assertNear(t, nv, dv, 1e-6*(1+dv.Norm()), name, "by v at", u, v)
			}
		}
	}
}

func TestBetweenArcsClosedForm(t *testing.T) {
	box := Box{Pt(0, 0), Pt(100, 30)}
	w, err := BetweenArcs(box, 20, -10)
	require.NoError(t, err)
	assertNear(t, Pt(50, 20), w.Map(0.5, 0), 2*float64(ArcTolerance))
	assertNear(t, Pt(50, 20), w.Map(0.5, 1), 2*float64(ArcTolerance))
	for i, c := range []struct{ rise, y float64 }{{20, 0}, {-10, 30}} {
		half := 50.0
		r := (half*half + c.rise*c.rise) / (2 * math.Abs(c.rise))
		centre := Pt(50, c.y+c.rise-math.Copysign(r, c.rise))
		a := math.Asin(half / r)
		for k := range 51 {
			u := float64(k) / 50
			// Equal shares of arc length are equal shares of the angle.
			sin, cos := math.Sincos((2*u - 1) * a)
			want := centre.Add(Pt(r*sin, math.Copysign(r*cos, c.rise)))
			assertNear(t, want, w.Map(u, float64(i)), 3*float64(ArcTolerance), "arc", i, "u", u)
		}
	}
}

func TestBetweenSinesClosedForm(t *testing.T) {
	box := Box{Pt(10, 5), Pt(110, 35)}
	s := Sine{Amplitude: 6, Periods: 2.5, Phase: 0.7}
	w, err := BetweenSines(box, s, Sine{})
	require.NoError(t, err)
	omega := 2 * math.Pi * 2.5 / 100
	wave := func(x float64) float64 { return 5 + 6*math.Sin(omega*(x-10)+0.7) }
	for k := range 101 {
		p := w.Map(float64(k)/100, 0)
		slope := 6 * omega * math.Cos(omega*(p.X-10)+0.7)
		assert.LessOrEqual(t, math.Abs(p.Y-wave(p.X))/math.Hypot(1, slope), 2*float64(ArcTolerance), "u %v", k)
		assertNear(t, Pt(10+float64(k), 35), w.Map(float64(k)/100, 1), 1e-9, "the straight top")
	}
	// By Simpson's rule, the wave's length up to a quarter of it.
	length := func(to float64) float64 {
		const n = 2000
		f := func(i int) float64 { return math.Hypot(1, 6*omega*math.Cos(omega*to*float64(i)/n+0.7)) }
		sum := f(0) + f(n)
		for i := 1; i < n; i++ {
			sum += f(i) * float64(2+2*(i%2))
		}
		return sum * to / n / 3
	}
	assertLength(t, length(100)/4, length(w.Map(0.25, 0).X-10), 0.01, "u is the share of arc length")
}

func TestTrapezoid(t *testing.T) {
	w, err := Trapezoid(Box{Pt(0, 0), Pt(100, 20)}, 80, 40)
	require.NoError(t, err)
	assertNear(t, Pt(10, 0), w.Map(0, 0), 1e-12)
	assertNear(t, Pt(90, 0), w.Map(1, 0), 1e-12)
	assertNear(t, Pt(70, 20), w.Map(1, 1), 1e-12)
	assertNear(t, Pt(50, 10), w.Map(0.5, 0.5), 1e-12)
}

func TestWarpConstructorErrors(t *testing.T) {
	nan, inf := units.Length(math.NaN()), units.Length(math.Inf(1))
	line, dot := Polyline(Pt(0, 0), Pt(10, 0)), Curve{Start: Pt(1, 1)}
	for name, f := range map[string]func() (Warp, error){
		"arcs, empty box":        func() (Warp, error) { return BetweenArcs(EmptyBox(), 1, 1) },
		"arcs, NaN rise":         func() (Warp, error) { return BetweenArcs(field, nan, 1) },
		"arcs, infinite rise":    func() (Warp, error) { return BetweenArcs(field, 1, inf) },
		"sines, flat box":        func() (Warp, error) { return BetweenSines(Box{Pt(0, 0), Pt(5, 0)}, Sine{}, Sine{}) },
		"sines, NaN amplitude":   func() (Warp, error) { return BetweenSines(field, Sine{Amplitude: nan}, Sine{}) },
		"sines, infinite phase":  func() (Warp, error) { return BetweenSines(field, Sine{Amplitude: 1, Phase: units.Angle(inf)}, Sine{}) },
		"sines, too many waves":  func() (Warp, error) { return BetweenSines(field, Sine{Amplitude: 1, Periods: 1e9}, Sine{}) },
		"sines, NaN waves":       func() (Warp, error) { return BetweenSines(field, Sine{}, Sine{Amplitude: 1, Periods: math.NaN()}) },
		"trapezoid, NaN width":   func() (Warp, error) { return Trapezoid(field, nan, 1) },
		"circle, zero radius":    func() (Warp, error) { return CircularBaseline(Pt(0, 0), 0, 0, 1, 1, ReadClockwise) },
		"circle, negative width": func() (Warp, error) { return CircularBaseline(Pt(0, 0), 1, 0, -1, 1, ReadClockwise) },
		"circle, zero height":    func() (Warp, error) { return CircularBaseline(Pt(0, 0), 1, 0, 1, 0, ReadClockwise) },
		"circle, NaN centre":     func() (Warp, error) { return CircularBaseline(Pt(math.NaN(), 0), 1, 0, 1, 1, ReadClockwise) },
		"circle, odd reading":    func() (Warp, error) { return CircularBaseline(Pt(0, 0), 1, 0, 1, 1, 7) },
		"along, zero height":     func() (Warp, error) { return AlongBaseline(line, 0) },
		"along, NaN height":      func() (Warp, error) { return AlongBaseline(line, nan) },
	} {
		w, err := f()
		var optionErr *OptionError
		assert.ErrorAs(t, err, &optionErr, name)
		assert.Nil(t, w, name)
	}
	for name, c := range map[string]struct {
		f     func() (Warp, error)
		cause error
		curve string
	}{
		"no bottom":       {func() (Warp, error) { return Between(Curve{}, line) }, ErrNoLength, "bottom"},
		"one-point top":   {func() (Warp, error) { return Between(line, dot) }, ErrNoLength, "top"},
		"repeated points": {func() (Warp, error) { return Between(line, Polyline(Pt(1, 1), Pt(1, 1), Pt(1, 1))) }, ErrNoLength, "top"},
		"NaN bottom":      {func() (Warp, error) { return Between(Polyline(Pt(0, 0), Pt(math.NaN(), 0)), line) }, ErrNotFinite, "bottom"},
		"infinite start":  {func() (Warp, error) { return Between(line, Polyline(Pt(math.Inf(1), 0), Pt(0, 0))) }, ErrNotFinite, "top"},
		"along a point":   {func() (Warp, error) { return AlongBaseline(dot, 5) }, ErrNoLength, "baseline"},
		"along a corner":  {func() (Warp, error) { return AlongBaseline(Polyline(Pt(0, 0), Pt(5, 0), Pt(5, 5)), 5) }, ErrCorner, "baseline"},
	} {
		w, err := c.f()
		var curveErr *CurveError
		require.ErrorAs(t, err, &curveErr, name)
		assert.ErrorIs(t, err, c.cause, name)
		assert.Equal(t, c.curve, curveErr.Curve, name)
		assert.NotEmpty(t, curveErr.Fix, name)
		assert.Nil(t, w, name)
	}
}

func TestBetweenOfHugeAndOddCurves(t *testing.T) {
	for name, c := range map[string]Curve{
		"a million metres":   Polyline(Pt(-1e9, 1e9), Pt(1e9, 1e9)),
		"a huge arc":         Arc(Pt(0, 0), 1e9, 3, -3),
		"a cusp":             {Pt(0, 0), []Segment{CubicTo(Pt(3, 3), Pt(0, 3), Pt(3, 0))}},
		"no handles":         {Pt(0, 0), []Segment{CubicTo(Pt(0, 0), Pt(30, 0), Pt(30, 0))}},
		"repeated points":    Polyline(Pt(0, 0), Pt(0, 0), Pt(5, 0), Pt(5, 0), Pt(9, 0)),
		"there and back":     Polyline(Pt(0, 0), Pt(9, 0), Pt(0, 0)),
		"a very short curve": Polyline(Pt(0, 0), Pt(1e-200, 0)),
	} {
		w, err := Between(c, Polyline(Pt(0, 50), Pt(100, 50)))
		require.NoError(t, err, name)
		for _, u := range []float64{-3, 0, 0.3, 0.5, 1, 7, math.Inf(1), math.Inf(-1), math.NaN(), 1e300} {
			assert.NotPanics(t, func() { w.Map(u, 0.5); w.Derivatives(u, 0.5) }, name)
		}
		assert.LessOrEqual(t, len(w.(*between).bottom.spans), 1<<16, "%s: work is bounded", name)
	}
}

func BenchmarkBetween(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := BetweenArcs(field, 30, 20); err != nil {
			b.Fatal(err)
		}
	}
}
