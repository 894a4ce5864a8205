package outline

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/units"
)

// closedForms reads the closed forms in testdata/geometry.json at the top of the
// repository.
func closedForms(t *testing.T) map[string]map[string]float64 {
	t.Helper()
	data, err := os.ReadFile("../testdata/geometry.json")
	require.NoError(t, err)
	var file struct {
		ClosedForms []map[string]any `json:"closed_forms"`
	}
	require.NoError(t, json.Unmarshal(data, &file))
	forms := map[string]map[string]float64{}
	for _, f := range file.ClosedForms {
		values := map[string]float64{}
		for k, v := range f {
			if n, ok := v.(float64); ok {
				values[k] = n
			}
		}
		forms[f["what"].(string)] = values
	}
	require.NotEmpty(t, forms)
	return forms
}

func TestRectangles(t *testing.T) {
	b := Box{Pt(1, 2), Pt(11, 7)}
	r := Rectangle(b)
	assert.Equal(t, Polygon(Pt(1, 2), Pt(11, 2), Pt(11, 7), Pt(1, 7)), r)
	assert.Equal(t, Contour{}, Rectangle(EmptyBox()))
	assert.Equal(t, r, RoundedRectangle(b, 0))
	assert.Equal(t, r, RoundedRectangle(b, -1))

	round := RoundedRectangle(b, 2)
	assert.NoError(t, Path{round}.Check())
	assert.Len(t, round.Segments, 4+4*arcPieces(2, math.Pi/2))
	assert.Equal(t, b, round.Bounds(), "to the bit")
	// Corners lose (4 - π) r².
	assertLength(t, 50-(4-math.Pi)*4, float64(round.Area()), 2*math.Pi*2*float64(ArcTolerance))
	assertLength(t, 2*(6+1)+2*math.Pi*2, float64(round.Length(1e-9)), 1e-3)

	// A radius too large is half the shorter side: a stadium.
	stadium := RoundedRectangle(b, 99)
	assert.NoError(t, Path{stadium}.Check())
	assert.Equal(t, b, stadium.Bounds())
	assertLength(t, 5*5+math.Pi*2.5*2.5, float64(stadium.Area()), 2*math.Pi*2.5*float64(ArcTolerance))
	// Its short sides are gone, also where their ends differ in the last bit.
	for _, height := range []float64{5, 5.1, 5.7, 3.3} {
		b := Box{Pt(0.1, 0.3), Pt(10.7, 0.3+height)}
		assert.Len(t, RoundedRectangle(b, 99).Segments, 2+4*arcPieces(height/2, math.Pi/2), "height %v", height)
	}
	disc := RoundedRectangle(Box{Pt(0, 0), Pt(6, 6)}, 3)
	assert.NoError(t, Path{disc}.Check())
	assertLength(t, 9*math.Pi, float64(disc.Area()), 6*math.Pi*float64(ArcTolerance))
}

// A builder's part of [TestRectangles]: the square side a grown by r with round
// corners, from testdata/geometry.json.
func TestRoundedSquareAgainstClosedForm(t *testing.T) {
	f := closedForms(t)["square side a grown by r, round corners"]
	a, r := f["a"], f["r"]
	c := RoundedRectangle(Box{Pt(-r, -r), Pt(a+r, a+r)}, units.Length(r))
	assertLength(t, f["area"], float64(c.Area()), 2*math.Pi*r*float64(ArcTolerance))
}

func TestHexagonAgainstClosedForm(t *testing.T) {
	f := closedForms(t)["regular hexagon side s: largest inscribed circle radius"]
	c := RegularPolygon(Pt(3, 4), units.Length(f["s"]), 6, 17*units.Degree)
	assertLength(t, f["radius"], float64(c.Nearest(Pt(3, 4)).Distance), 1e-12)
	assertLength(t, 6*f["s"], float64(c.Length(0)), 1e-12)
}

func TestRingAgainstClosedForm(t *testing.T) {
	f := closedForms(t)["annulus R,r wall"]
	p := Ring(Pt(1, 1), units.Length(f["r"]), units.Length(f["R"])) // the order does not matter
	require.Len(t, p, 2)
	assert.Positive(t, float64(p[0].Area()))
	assert.Negative(t, float64(p[1].Area()))
	wall := math.Inf(1)
	for k := range 100 {
		wall = math.Min(wall, float64(p[0].Nearest(p[1].PointAt(units.Length(k))).Distance))
	}
	assertLength(t, f["min_width"], wall, 2*float64(ArcTolerance))
	assert.Len(t, Ring(Pt(0, 0), 5, 0), 1)
}

func TestArcAgainstClosedForm(t *testing.T) {
	f := closedForms(t)["circular arc length radius 25, 73 degrees"]
	for _, sweep := range []units.Angle{73 * units.Degree, -73 * units.Degree} {
		c := Arc(Pt(-4, 9), 25, 200*units.Degree, sweep)
		assertLength(t, f["length"], float64(c.Length(1e-9)), float64(ArcTolerance))
	}
}

func TestCirclesStayWithinArcTolerance(t *testing.T) {
	for _, radius := range []float64{0.01, 1, 3, 25, 118, 400, 2500} {
		c := Circle(Pt(7, -3), units.Length(radius))
		require.NoError(t, Path{c}.Check())
		at, worst := c.Start, 0.0
		for _, s := range c.Segments {
			for k := range 101 {
				worst = math.Max(worst, math.Abs(s.At(at, float64(k)/100).Distance(Pt(7, -3))-radius))
			}
			at = s.End
		}
		assert.LessOrEqual(t, worst, float64(ArcTolerance)+1e-12, "radius %v", radius)
		assert.Equal(t, Box{Pt(7-radius, -3-radius), Pt(7+radius, -3+radius)}, c.Bounds(), "radius %v", radius)
		assert.LessOrEqual(t, len(c.Segments), 32, "radius %v", radius)
	}
	assert.Len(t, Circle(Pt(0, 0), 1).Segments, 4, "four cubics are enough for a small circle")
	assert.Equal(t, Circle(Pt(0, 0), 2), Circle(Pt(0, 0), -2))
	assert.Empty(t, Circle(Pt(1, 1), 0).Segments)
}

// A radius of half a kilometre is followed by the formula that arcPieces cites:
// one piece fewer would leave the tolerance.
func TestArcPiecesAreNotWasted(t *testing.T) {
	for _, radius := range []float64{5, 100, 5000} {
		n := arcPieces(radius, math.Pi/2)
		worst := func(n int) float64 {
			step := math.Pi / 2 / float64(n)
			h := 4.0 / 3 * math.Tan(step/4)
			start := Pt(radius, 0)
			sin, cos := math.Sincos(step)
			s := CubicTo(Pt(radius, radius*h), Pt(radius*(cos+h*sin), radius*(sin-h*cos)), Pt(radius*cos, radius*sin))
			w := 0.0
			for k := range 1001 {
				w = math.Max(w, math.Abs(s.At(start, float64(k)/1000).Norm()-radius))
			}
			return w
		}
		assert.LessOrEqual(t, worst(n), float64(ArcTolerance))
		if n > 1 {
			assert.Greater(t, worst(n-1), float64(ArcTolerance), "radius %v: %d pieces", radius, n)
		}
	}
}

func TestEllipse(t *testing.T) {
	c := Ellipse(Pt(2, 3), 30, 12)
	assert.NoError(t, Path{c}.Check())
	assert.Equal(t, Box{Pt(-28, -9), Pt(32, 15)}, c.Bounds())
	assertLength(t, math.Pi*30*12, float64(c.Area()), 2*math.Pi*30*float64(ArcTolerance))
	at := c.Start
	for _, s := range c.Segments {
		for k := range 20 {
			p := s.At(at, float64(k)/20)
			// How far off the ellipse, by the implicit equation's gradient.
			x, y := (p.X-2)/30, (p.Y-3)/12
			f := x*x + y*y - 1
			assert.LessOrEqual(t, math.Abs(f)/(2*math.Hypot(x/30, y/12)), float64(ArcTolerance)+1e-9)
		}
		at = s.End
	}
	assert.Empty(t, Ellipse(Pt(0, 0), 5, 0).Segments)
}

func TestArcEnds(t *testing.T) {
	c := Arc(Pt(1, 1), 2, 0, units.Turn/4)
	assertNear(t, Pt(3, 1), c.Start, 1e-15)
	assertNear(t, Pt(1, 3), c.End(), 1e-15)
	assert.Equal(t, Pt(0, 1), c.Segments[0].Direction(c.Start, 0), "counter-clockwise")
	back := Arc(Pt(1, 1), 2, 0, -units.Turn/4)
	assertNear(t, Pt(1, -1), back.End(), 1e-15)
	assert.Empty(t, Arc(Pt(1, 1), 2, 0, 0).Segments)
	twice := Arc(Pt(0, 0), 10, 0, 2*units.Turn)
	assertLength(t, 40*math.Pi, float64(twice.Length(1e-6)), 4*math.Pi*float64(ArcTolerance))
	many := Arc(Pt(0, 0), 10, 0, 90*units.Turn)
	assertLength(t, 90*20*math.Pi, float64(many.Length(1e-6)), 180*math.Pi*float64(ArcTolerance))
	assert.LessOrEqual(t, len(Arc(Pt(0, 0), 1e9, 0, 1e9).Segments), maxArcPieces, "work is bounded")
	endless := Arc(Pt(0, 0), 1, 0, 1e5)
	assertNear(t, Pt(math.Cos(1e5), math.Sin(1e5)), endless.End(), 1e-10)
	assert.Less(t, float64(endless.Length(0)), 2*math.Pi+0.01, "whole turns are left out")
}

func TestArcThrough(t *testing.T) {
	for _, c := range []struct{ rise, radius float64 }{{3, 0}, {-3, 0}, {5, 0}, {12, 0}, {0.001, 0}} {
		arc := ArcThrough(Pt(0, 0), Pt(10, 0), units.Length(c.rise))
		assert.Equal(t, Pt(0, 0), arc.Start)
		assert.Equal(t, Pt(10, 0), arc.End())
		middle := arc.PointAt(arc.Length(1e-9) / 2)
		assertNear(t, Pt(5, c.rise), middle, 2*float64(ArcTolerance), "rise %v", c.rise)
	}
	// So flat that its centre is out of reach, and so high that it is nearly a circle.
	for _, rise := range []float64{1e-15, 1e-12, 1e-9, 1e-6, -1e-9, 1e3, 1e6, 1e8} {
		arc := ArcThrough(Pt(10, 5), Pt(110, 5), units.Length(rise))
		middle := arc.PointAt(arc.Length(1e-9) / 2)
		assertNear(t, Pt(60, 5+rise), middle, math.Max(1e-10, 1e-14*math.Abs(rise)), "rise %v", rise)
		assert.LessOrEqual(t, len(arc.Segments), 80)
	}
	assert.Equal(t, Polyline(Pt(0, 0), Pt(1, 1)), ArcThrough(Pt(0, 0), Pt(1, 1), 0))
	assert.Equal(t, Polyline(Pt(1, 1), Pt(1, 1)), ArcThrough(Pt(1, 1), Pt(1, 1), 5), "no chord, no arc")
}

func TestPolygonsAndStars(t *testing.T) {
	hexagon := RegularPolygon(Pt(0, 0), 10, 6, 0)
	assert.Equal(t, Pt(10, 0), hexagon.Start)
	assertLength(t, 150*math.Sqrt(3), float64(hexagon.Area()), 1e-9)
	// The area of a star is tips · R · r · sin(π/tips).
	star := Star(Pt(2, 2), 10, 4, 5, units.Turn/4)
	assert.Len(t, star.Segments, 10)
	assertNear(t, Pt(2, 12), star.Start, 1e-12)
	assertLength(t, 5*10*4*math.Sin(math.Pi/5), float64(star.Area()), 1e-9)
	assert.Len(t, RegularPolygon(Pt(0, 0), 1, math.MaxInt, 0).Segments, maxSides, "work is bounded")
	assert.Len(t, Star(Pt(0, 0), 2, 1, math.MaxInt, 0).Segments, 2*maxSides)
	for _, c := range []Contour{RegularPolygon(Pt(1, 1), 5, 2, 0), Star(Pt(1, 1), 5, 2, 1, 0), RegularPolygon(Pt(1, 1), 5, -7, 0)} {
		assert.Equal(t, Contour{Start: Pt(1, 1)}, c)
	}
}

func TestBuildersLetCheckFindBadNumbers(t *testing.T) {
	nan, inf := units.Length(math.NaN()), units.Length(math.Inf(1))
	for name, p := range map[string]Path{
		"circle of NaN radius":     {Circle(Pt(0, 0), nan)},
		"circle of infinite":       {Circle(Pt(0, 0), inf)},
		"circle at NaN":            {Circle(Pt(math.NaN(), 0), 1)},
		"ellipse":                  {Ellipse(Pt(0, 0), 1, nan)},
		"polygon":                  {RegularPolygon(Pt(0, 0), inf, 5, 0)},
		"star":                     {Star(Pt(0, 0), 5, nan, 5, 0)},
		"arc with a NaN sweep":     {Arc(Pt(0, 0), 1, 0, units.Angle(nan)).Closed()},
		"arc with infinite radius": {Arc(Pt(0, 0), inf, 0, 1).Closed()},
	} {
		assert.ErrorIs(t, p.Check(), ErrNotFinite, name)
	}
	assert.NotPanics(t, func() { RoundedRectangle(Box{Pt(0, 0), Pt(1, 1)}, nan) })
}
