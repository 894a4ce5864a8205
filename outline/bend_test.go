package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/units"
)

// field is the box that the bend tests fill with artwork.
var field = Box{Point{0, 0}, Point{100, 20}}

// artwork is a row of shapes with every kind of segment: bars, discs with holes,
// a letter-like mix, a star, and an underline as long as the field.
func artwork() Path {
	var p Path
	for i := range 5 {
		x := float64(i) * 20
		letter := Path{
			Rectangle(Box{Point{x + 1, 0}, Point{x + 4, 20}}),
			Circle(Point{x + 9, 10}, 4.5),
			Circle(Point{x + 9, 10}, 2.5).Reversed(),
			Curve{Point{x + 14, 1}, []Segment{
				LineTo(Point{x + 16, 1}), QuadTo(Point{x + 19, 8}, Point{x + 16, 12}),
				CubicTo(Point{x + 22, 14}, Point{x + 12, 19}, Point{x + 14, 15}),
			}}.Closed(),
		}
		p = append(p, letter.WithOrigin(int32(i+1))...)
	}
	p = append(p, Star(Point{50, 10}, 9, 4, 5, units.Turn/4))
	return append(p, Rectangle(Box{Point{0, -3}, Point{100, -2}}))
}

// warps returns a warp of every constructor, none of which folds artwork.
func warps(t testing.TB) map[string]Warp {
	t.Helper()
	must := func(w Warp, err error) Warp {
		t.Helper()
		require.NoError(t, err)
		return w
	}
	zigzag := func(y float64) Curve {
		return Polyline(Pt(0, y), Pt(30, y+12), Pt(55, y-4), Pt(80, y+3), Pt(100, y))
	}
	tilde := Curve{Pt(0, 0), []Segment{QuadTo(Pt(30, 40), Pt(60, 10)), CubicTo(Pt(80, -10), Pt(90, 0), Pt(120, 20))}}
	return map[string]Warp{
		"arch":       must(BetweenArcs(field, 30, 20)),
		"bulge":      must(BetweenArcs(field, -15, 15)),
		"half disc":  must(BetweenArcs(field, 0, 45)),
		"sines":      must(BetweenSines(field, Sine{Amplitude: 6, Periods: 2}, Sine{Amplitude: 4, Periods: 3, Phase: 1})),
		"many waves": must(BetweenSines(field, Sine{Amplitude: 2, Periods: 9}, Sine{Amplitude: 2, Periods: 9})),
		"trapezoid":  must(Trapezoid(field, 120, 60)),
		"over":       must(CircularBaseline(Pt(50, -60), 60, units.Turn/4, 100, 20, ReadClockwise)),
		"under":      must(CircularBaseline(Pt(50, 80), 60, -units.Turn/4, 100, 20, ReadCounterclockwise)),
		"along":      must(AlongBaseline(tilde, 10)),
		"zigzag":     must(Between(zigzag(0), zigzag(25))),
		"line, arc":  must(Between(Curve{Pt(0, 0), append([]Segment{LineTo(Pt(50, 0))}, Arc(Pt(50, 30), 30, -units.Turn/4, 1).Segments...)}, Polyline(Pt(0, 40), Pt(80, 40)))),
		"function": WarpFunc(func(u, v float64) Point {
			return Pt(100*u+3*math.Sin(5*v), 20*v+10*u*u*u-4*u*v)
		}),
	}
}

// bendAway returns how far the exact image gets from the result.
func bendAway(p, bent Path, w Warp) (worst float64) {
	const n = 64
	for i, c := range p {
		at := c.Start
		for _, s := range c.Segments {
			for k := range n {
				worst = math.Max(worst, float64(bent[i].Nearest(imageAt(w, at, s, float64(k)/n)).Distance))
			}
			at = s.End
		}
	}
	return worst
}

func imageAt(w Warp, start Point, s Segment, t float64) Point {
	q := s.At(start, t)
	return w.Map((q.X-field.Min.X)/field.Width(), (q.Y-field.Min.Y)/field.Height())
}

// bentAway returns how far the result gets from the exact image: from its
// nearest sample, improved by ternary search.
func bentAway(p, bent Path, w Warp) (worst float64) {
	const n = 256
	for i, c := range p {
		var image []Point
		at := c.Start
		for _, s := range c.Segments {
			for k := range n {
				image = append(image, imageAt(w, at, s, float64(k)/n))
			}
			at = s.End
		}
		f := func(x float64) Point { // x in samples from the start
			x = math.Mod(x+float64(len(image)), float64(len(image)))
			k := int(x / n)
			return imageAt(w, Curve(c).startOf(k), c.Segments[k], x/n-float64(k))
		}
		from := bent[i].Start
		for _, s := range bent[i].Segments {
			for _, t := range []float64{0.13, 0.5, 0.81} {
				q := s.At(from, t)
				// Every sample nearer than its neighbours may be next to the nearest
				// point.
				least := math.Inf(1)
				for k := range image {
					d := image[k].Distance(q)
					n := len(image)
					if d > image[(k+1)%n].Distance(q) || d > image[(k+n-1)%n].Distance(q) || d > 2 {
						continue
					}
					low, high := float64(k)-1, float64(k)+1
					for range 40 {
						a, b := low+(high-low)/3, high-(high-low)/3
						if f(a).Distance(q) < f(b).Distance(q) {
							high = b
						} else {
							low = a
						}
					}
					least = math.Min(least, math.Min(f(low).Distance(q), d))
				}
				worst = math.Max(worst, least)
			}
			from = s.End
		}
	}
	return worst
}

func TestBendStaysWithinItsTolerance(t *testing.T) {
	p := artwork()
	for name, w := range warps(t) {
		for _, tolerance := range []units.Length{0.5, DefaultTolerance, 0.0005} {
			var report BendReport
			bent, err := Bend(p, field, w, BendOptions{Tolerance: tolerance, Report: &report})
			require.NoError(t, err, name)
			require.NoError(t, bent.Check(), name)
			there := bendAway(p, bent, w)
			assert.LessOrEqual(t, there, float64(tolerance), "%s within %v: %+v", name, tolerance, report)
			if tolerance == DefaultTolerance {
				assert.LessOrEqual(t, bentAway(p, bent, w), float64(tolerance), "%s within %v", name, tolerance)
			}
			assert.LessOrEqual(t, report.Deviation, tolerance, name)
			assert.Equal(t, p.Nodes(), report.NodesBefore)
			assert.Equal(t, bent.Nodes(), report.NodesAfter)
			t.Logf("%-10s within %-9v nodes %d -> %d, deviation %.6f reported, %.6f measured", name, tolerance, report.NodesBefore, report.NodesAfter, float64(report.Deviation), there)
		}
	}
}

func TestBendKeepsFewNodes(t *testing.T) {
	p := artwork()
	for name, w := range warps(t) {
		bent, err := Bend(p, field, w, BendOptions{})
		require.NoError(t, err, name)
		limit := 2.0 // times the nodes of the source, at the default tolerance
		if name == "many waves" {
			limit = 5
		}
		assert.LessOrEqual(t, float64(bent.Nodes()), limit*float64(p.Nodes()), name)
	}
}

func TestBendKeepsNodesAndOrigins(t *testing.T) {
	p := artwork()
	for name, w := range warps(t) {
		bent, err := Bend(p, field, w, BendOptions{})
		require.NoError(t, err, name)
		for i, c := range p {
			origins := map[int32]bool{}
			k := 0
			for _, s := range c.Segments {
				origins[s.Origin] = true
				// Every node's image is a node, bit for bit, in order.
				want := w.Map((s.End.X-field.Min.X)*(1/field.Width()), (s.End.Y-field.Min.Y)*(1/field.Height()))
				for k < len(bent[i].Segments) && bent[i].Segments[k].End != want {
					k++
				}
				require.Less(t, k, len(bent[i].Segments), "%s: contour %d lost the node at %v", name, i, s.End)
			}
			for _, s := range bent[i].Segments {
				assert.True(t, origins[s.Origin], "%s: origin %d", name, s.Origin)
			}
		}
	}
}

func identityWarp(t testing.TB) Warp {
	w, err := Between(Polyline(Pt(0, 0), Pt(100, 0)), Polyline(Pt(0, 20), Pt(100, 20)))
	require.NoError(t, err)
	return w
}

// samePath fails unless both have the same segments, points within tolerance.
func samePath(t *testing.T, want, got Path, tolerance float64, what ...any) {
	t.Helper()
	require.Len(t, got, len(want), what...)
	for i := range want {
		require.Len(t, got[i].Segments, len(want[i].Segments), what...)
		assertNear(t, want[i].Start, got[i].Start, tolerance, what...)
		for j, s := range want[i].Segments {
			g := got[i].Segments[j]
			require.Equal(t, s.Kind, g.Kind, "contour %d segment %d %v", i, j, what)
			assert.Equal(t, s.Origin, g.Origin, what...)
			assertNear(t, s.End, g.End, tolerance, what...)
			if s.Kind != Line {
				assertNear(t, s.C1, g.C1, tolerance, what...)
			}
			if s.Kind == Cubic {
				assertNear(t, s.C2, g.C2, tolerance, what...)
			}
		}
	}
}

func TestBendByIdentityIsIdentity(t *testing.T) {
	p := artwork()
	bent, err := Bend(p, field, identityWarp(t), BendOptions{})
	require.NoError(t, err)
	samePath(t, p, bent, 1e-12)
}

func TestBendByAffineIsTransform(t *testing.T) {
	p := artwork()
	m := Scale(1.7, 0.6).Then(Transform{XX: 1, XY: 0.3, YY: 1}).Then(Rotate(25 * units.Degree)).Then(Translate(Pt(12, -7)))
	a := func(x, y float64) Point { return m.Apply(Pt(x, y)) }
	w, err := Quadrilateral(a(0, 0), a(100, 0), a(100, 20), a(0, 20))
	require.NoError(t, err)
	bent, err := Bend(p, field, w, BendOptions{})
	require.NoError(t, err)
	samePath(t, p.Transform(m), bent, 1e-10)
}

func TestBendMirrored(t *testing.T) {
	p := artwork()
	w, err := Between(Polyline(Pt(100, 0), Pt(0, 0)), Polyline(Pt(100, 20), Pt(0, 20)))
	require.NoError(t, err)
	var report BendReport
	bent, err := Bend(p, field, w, BendOptions{Report: &report})
	require.NoError(t, err)
	assert.True(t, report.Mirrored)
	samePath(t, p.Transform(MirrorX().Then(Translate(Pt(100, 0)))), bent, 1e-10)
	assertLength(t, p.Area(), bent.Area(), 1e-9)
}

func TestStraightStaysStraightWhereItsImageIs(t *testing.T) {
	w, err := BetweenArcs(field, 30, 20)
	require.NoError(t, err)
	bent, err := Bend(Path{Rectangle(Box{Pt(10, 0), Pt(40, 20)})}, field, w, BendOptions{})
	require.NoError(t, err)
	var lines, cubics int
	for _, s := range bent[0].Segments {
		switch s.Kind {
		case Line:
			lines++
		case Cubic:
			cubics++
		}
	}
	assert.Equal(t, 2, lines, "the upright sides")
	assert.LessOrEqual(t, cubics, 4, "bottom and top")
	// In a trapezoid every straight line that is level or upright stays straight.
	w, err = Trapezoid(field, 100, 50)
	require.NoError(t, err)
	bent, err = Bend(Path{Rectangle(Box{Pt(10, 5), Pt(40, 20)})}, field, w, BendOptions{})
	require.NoError(t, err)
	require.Len(t, bent[0].Segments, 4)
	for _, s := range bent[0].Segments {
		assert.Equal(t, Line, s.Kind)
	}
}

// A smooth joint of the source stays smooth: both sides get the direction that
// the warp's Jacobian gives.
func TestBendKeepsSmoothJointsSmooth(t *testing.T) {
	p := Path{Circle(Pt(50, 10), 9), RoundedRectangle(Box{Pt(5, 2), Pt(35, 18)}, 5)}
	for name, w := range warps(t) {
		if name == "zigzag" {
			continue // its creases make corners, rightly
		}
		bent, err := Bend(p, field, w, BendOptions{})
		require.NoError(t, err)
		for i, c := range bent {
			for j, s := range c.Segments {
				before := s.Direction(Curve(c).startOf(j), 1)
				next := (j + 1) % len(c.Segments)
				after := c.Segments[next].Direction(s.End, 0)
				// 3 degrees: a straight piece may leave its tangent by a share of
				// straightShare of the tolerance.
				assertNear(t, before, after, 0.05, name, i, j)
			}
		}
	}
}

func TestBendPutsNodesOnCreases(t *testing.T) {
	w, err := Between(Polyline(Pt(0, 0), Pt(50, 20), Pt(100, 0)), Polyline(Pt(0, 20), Pt(50, 40), Pt(100, 20)))
	require.NoError(t, err)
	bent, err := Bend(Path{Rectangle(field)}, field, w, BendOptions{})
	require.NoError(t, err)
	samePath(t, Path{Polygon(Pt(0, 0), Pt(50, 20), Pt(100, 0), Pt(100, 20), Pt(50, 40), Pt(0, 20))}, bent, 1e-9)
	assert.InDeltaSlice(t, []float64{0.5, 0.5}, w.(Creased).Creases(), 1e-12)
}

func TestBendFolds(t *testing.T) {
	p := Path{Rectangle(Box{Pt(5, 1), Pt(95, 19)})}
	crossed := func() (Warp, error) {
		return Between(Polyline(Pt(0, 0), Pt(100, 20)), Polyline(Pt(0, 20), Pt(100, 0)))
	}
	opposed := func() (Warp, error) {
		return Between(Polyline(Pt(0, 0), Pt(100, 0)), Polyline(Pt(100, 20), Pt(0, 20)))
	}
	tight := func() (Warp, error) {
		return CircularBaseline(Pt(0, 0), 15, 0, 60, 20, ReadCounterclockwise) // tops beyond the centre
	}
	for name, make := range map[string]func() (Warp, error){"crossed": crossed, "opposed": opposed, "tight": tight} {
		w, err := make()
		require.NoError(t, err, name)
		got, err := Bend(p, field, w, BendOptions{})
		var bendErr *BendError
		require.ErrorAs(t, err, &bendErr, name)
		assert.ErrorIs(t, err, ErrFolded, name)
		assert.Nil(t, got, name)
		assert.NotEmpty(t, bendErr.Fix, name)
		assert.True(t, Rectangle(Box{Pt(5, 1), Pt(95, 19)}).Bounds().Grow(1e-9).Contains(bendErr.Source), name)
		assertNear(t, w.Map(bendErr.U, bendErr.V), bendErr.Image, 1e-12, name)

		var report BendReport
		bent, err := Bend(p, field, w, BendOptions{AllowFolds: true, Report: &report})
		require.NoError(t, err, name)
		assert.NotEmpty(t, report.Folds, name)
		assert.LessOrEqual(t, len(report.Folds), maxFolds)
		there := bendAway(p, bent, w)
		assert.LessOrEqual(t, there, float64(DefaultTolerance), "%s: a folded image is an image all the same", name)
	}
	// A fold where the shape is not is no fold.
	w, err := crossed()
	require.NoError(t, err)
	_, err = Bend(Path{Rectangle(Box{Pt(5, 1), Pt(45, 19)})}, field, w, BendOptions{})
	assert.NoError(t, err)
	triangle := Path{Polygon(Pt(0, 0), Pt(60, 0), Pt(0, 20))}
	outside := WarpFunc(func(u, v float64) Point { return Pt(100*u, 20*v*(1.1-u*v)) }) // turns over up right
	_, err = Bend(triangle, field, outside, BendOptions{})
	assert.NoError(t, err)
	// A fold inside that no border meets is found by looking over the inside.
	pinch := WarpFunc(func(u, v float64) Point {
		x, y := u-0.5, v-0.5
		return Pt(100*u-300*x*math.Exp(-60*(x*x+y*y)), 20*v)
	})
	_, err = Bend(Path{Rectangle(field)}, field, pinch, BendOptions{})
	assert.ErrorIs(t, err, ErrFolded)
}

func TestBendLensClosesAtItsTips(t *testing.T) {
	// Bottom and top share their ends: the field is pinched to a point there.
	w, err := Between(ArcThrough(Pt(0, 0), Pt(100, 0), -20), ArcThrough(Pt(0, 0), Pt(100, 0), 20))
	require.NoError(t, err)
	bent, err := Bend(Path{Rectangle(field)}, field, w, BendOptions{})
	require.NoError(t, err)
	require.NoError(t, bent.Check())
	// A lens of two circular segments: r²(2a - sin 2a)/2 each, with half sweep a.
	a := 2 * math.Atan(20.0/50)
	r := 50 / math.Sin(a)
	assertLength(t, 2*r*r*(2*a-math.Sin(2*a))/2, float64(bent.Area()), 220*float64(DefaultTolerance))
}

func TestBendOptionAndInputErrors(t *testing.T) {
	p, w := artwork(), identityWarp(t)
	nan, inf := math.NaN(), math.Inf(1)
	for name, f := range map[string]func() (Path, error){
		"nil warp":           func() (Path, error) { return Bend(p, field, nil, BendOptions{}) },
		"empty box":          func() (Path, error) { return Bend(p, EmptyBox(), w, BendOptions{}) },
		"flat box":           func() (Path, error) { return Bend(p, Box{Pt(0, 0), Pt(5, 0)}, w, BendOptions{}) },
		"NaN box":            func() (Path, error) { return Bend(p, Box{Pt(0, 0), Pt(nan, 5)}, w, BendOptions{}) },
		"negative tolerance": func() (Path, error) { return Bend(p, field, w, BendOptions{Tolerance: -1}) },
		"NaN tolerance":      func() (Path, error) { return Bend(p, field, w, BendOptions{Tolerance: units.Length(nan)}) },
		"infinite tolerance": func() (Path, error) { return Bend(p, field, w, BendOptions{Tolerance: units.Length(inf)}) },
	} {
		got, err := f()
		var optionErr *OptionError
		require.ErrorAs(t, err, &optionErr, name)
		assert.ErrorIs(t, err, ErrInvalidOption, name)
		assert.Nil(t, got, name)
	}
	var pathErr *PathError
	_, err := Bend(Path{Polygon(Pt(0, 0), Pt(nan, 0), Pt(1, 1))}, field, w, BendOptions{})
	require.ErrorAs(t, err, &pathErr)
	_, err = BendCurve(Polyline(Pt(0, 0), Pt(inf, 0)), field, w, BendOptions{})
	var curveErr *CurveError
	require.ErrorAs(t, err, &curveErr)

	hole := WarpFunc(func(u, v float64) Point { return Pt(100*u, 20*v+math.Log(u-0.4)) })
	_, err = Bend(p, field, hole, BendOptions{})
	var bendErr *BendError
	require.ErrorAs(t, err, &bendErr)
	assert.ErrorIs(t, err, ErrNotFinite)
	step := WarpFunc(func(u, v float64) Point { return Pt(100*u, 20*v+math.Floor(2*u)) })
	_, err = Bend(p, field, step, BendOptions{})
	assert.ErrorIs(t, err, ErrRough)
	_, err = Bend(p, field, WarpFunc(func(u, _ float64) Point { return Pt(u, u) }), BendOptions{})
	require.ErrorAs(t, err, &bendErr)
	assert.ErrorIs(t, err, ErrTooFewPoints, "a warp that flattens the shape")
}

func TestBendOfDegenerate(t *testing.T) {
	w := warps(t)["arch"]
	dot := Pt(3, 4)
	for name, p := range map[string]Path{
		"nil":             nil,
		"no segments":     {{Start: dot}},
		"one point":       {{dot, []Segment{LineTo(dot), QuadTo(dot, dot), CubicTo(dot, dot, dot)}}},
		"repeated points": {Polygon(Pt(0, 0), Pt(9, 0), Pt(9, 0), Pt(9, 9), Pt(9, 9))},
		"there and back":  {Polygon(Pt(0, 0), Pt(9, 9))},
		"no handles":      {Curve{Pt(0, 0), []Segment{CubicTo(Pt(0, 0), Pt(30, 0), Pt(30, 0)), QuadTo(Pt(30, 0), Pt(30, 20))}}.Closed()},
		"cusp":            {Curve{Pt(0, 0), []Segment{CubicTo(Pt(30, 20), Pt(0, 20), Pt(30, 0))}}.Closed()},
		"loop":            {Curve{Pt(0, 0), []Segment{CubicTo(Pt(60, 20), Pt(-20, 20), Pt(30, 0))}}.Closed()},
	} {
		bent, err := Bend(p, field, w, BendOptions{})
		require.NoError(t, err, name)
		require.NoError(t, bent.Check(), name)
		there := bendAway(p, bent, w)
		assert.LessOrEqual(t, there, float64(DefaultTolerance), name)
		assert.LessOrEqual(t, bent.Nodes(), 6*p.Nodes()+2, name)
	}
	far := Path{Rectangle(Box{Pt(-1e9, -1e9), Pt(1e9, 1e9)}), Circle(Pt(1e9, 1e9), 1e8)}
	big, err := BetweenArcs(Box{Pt(-1e9, -1e9), Pt(1e9, 1e9)}, 1e8, 2e8)
	require.NoError(t, err)
	bent, err := Bend(far, far.Bounds(), big, BendOptions{})
	require.NoError(t, err)
	require.NoError(t, bent.Check())
	assert.Less(t, bent.Nodes(), 20000, "work is bounded")
	// Far outside the field, and a tiny field.
	_, err = Bend(far, field, w, BendOptions{AllowFolds: true})
	assert.NoError(t, err)
	_, err = Bend(artwork(), Box{Pt(0, 0), Pt(1e-300, 1e-300)}, w, BendOptions{})
	assert.Error(t, err)
}

func TestBendCurve(t *testing.T) {
	w := warps(t)["sines"]
	c := Curve{Pt(5, 5), []Segment{LineTo(Pt(60, 5)), QuadTo(Pt(80, 5), Pt(80, 15))}}
	var report BendReport
	bent, err := BendCurve(c, field, w, BendOptions{Report: &report})
	require.NoError(t, err)
	assertNear(t, w.Map(0.05, 0.25), bent.Start, 1e-12)
	assertNear(t, w.Map(0.8, 0.75), bent.End(), 1e-12)
	assert.Equal(t, 2, report.NodesBefore)
	at := c.Start
	for _, s := range c.Segments {
		for k := range 100 {
			q := s.At(at, float64(k)/100)
			assert.LessOrEqual(t, float64(bent.Nearest(w.Map(q.X/100, q.Y/20)).Distance), float64(DefaultTolerance))
		}
		at = s.End
	}
	dot, err := BendCurve(Curve{Start: Pt(5, 5)}, field, w, BendOptions{})
	require.NoError(t, err)
	assert.Empty(t, dot.Segments)
}

func TestBendDoesNotModify(t *testing.T) {
	p := artwork()
	q := p.Clone()
	_, err := Bend(p, field, warps(t)["under"], BendOptions{})
	require.NoError(t, err)
	assert.Equal(t, q, p)
}

func FuzzBendByIdentity(f *testing.F) {
	f.Add(uint64(1))
	f.Add(uint64(99))
	f.Fuzz(func(t *testing.T, seed uint64) {
		p := Path(randomContours(seed, 3))
		box := Box{Pt(-5, -5), Pt(55, 45)}
		w, err := Quadrilateral(box.Min, Pt(55, -5), box.Max, Pt(-5, 45))
		require.NoError(t, err)
		bent, err := Bend(p, box, w, BendOptions{})
		require.NoError(t, err)
		samePath(t, p, bent, 1e-11)
	})
}

func FuzzBend(f *testing.F) {
	f.Add(uint64(1), 10.0, 5.0)
	f.Add(uint64(5), -3.0, 30.0)
	f.Fuzz(func(t *testing.T, seed uint64, low, high float64) {
		low, high = math.Mod(low, 40), math.Mod(high, 40)
		w, err := BetweenArcs(Box{Pt(0, 0), Pt(100, 60)}, units.Length(low), units.Length(high))
		if err != nil {
			t.Skip()
		}
		p := Path(randomContours(seed, 2))
		bent, err := Bend(p, field, w, BendOptions{AllowFolds: true})
		require.NoError(t, err)
		require.NoError(t, bent.Check())
		if there := bendAway(p, bent, w); there > float64(DefaultTolerance) {
			t.Fatalf("%v mm from the exact image", there)
		}
	})
}

// bendLine stands for a line of n glyphs: some 25 segments each, a third of them
// straight, as lettering gives them.
func bendLine(n int) (Path, Box) {
	rng := rand.New(rand.NewPCG(28, 28))
	var p Path
	for i := range n {
		x := float64(i) * 16
		p = append(p, Circle(Pt(x+6, 8), 6), Circle(Pt(x+6, 8), 3).Reversed(),
			Rectangle(Box{Pt(x+12, 0), Pt(x+14, 16+rng.Float64())}),
			Curve{Pt(x+1, 1), []Segment{
				LineTo(Pt(x+2, 1)), LineTo(Pt(x+2, 3)), QuadTo(Pt(x+3, 6), Pt(x+5, 6)), QuadTo(Pt(x+8, 6), Pt(x+8, 9)),
				QuadTo(Pt(x+8, 12), Pt(x+5, 12)), LineTo(Pt(x+5, 10)), QuadTo(Pt(x+1, 10), Pt(x+1, 8)),
			}}.Closed())
	}
	return p, Box{Pt(0, 0), Pt(float64(n)*16, 17)}
}

func BenchmarkBend(b *testing.B) {
	for _, n := range []int{28, 280} {
		p, box := bendLine(n)
		for _, shape := range []struct {
			name string
			w    func() (Warp, error)
		}{
			{"arcs", func() (Warp, error) { return BetweenArcs(box, 40, 40) }},
			{"sines", func() (Warp, error) {
				return BetweenSines(box, Sine{Amplitude: 6, Periods: 2}, Sine{Amplitude: 6, Periods: 2})
			}},
			{"circle", func() (Warp, error) {
				return CircularBaseline(Pt(0, 0), 150, 0, units.Length(box.Width()), 17, ReadClockwise)
			}},
		} {
			w, err := shape.w()
			require.NoError(b, err)
			b.Run(fmt.Sprintf("%s/glyphs=%d", shape.name, n), func(b *testing.B) {
				b.ReportAllocs()
				var report BendReport
				for b.Loop() {
					if _, err := Bend(p, box, w, BendOptions{Report: &report}); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(report.NodesBefore), "nodes-before")
				b.ReportMetric(float64(report.NodesAfter), "nodes-after")
			})
		}
	}
}
