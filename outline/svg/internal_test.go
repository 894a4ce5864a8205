package svg

import (
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
)

// The bound on the deviation of a cubic from its arc holds for every angle
// that arcs are cut into, and is not idle.
func TestArcDeviationBound(t *testing.T) {
	for _, quarters := range []float64{1, 0.9, 0.5, 0.3, 0.25, 0.1} {
		theta := quarters * math.Pi / 2
		// The tolerance is wide, so one cubic it is.
		s := ellipse{a: outline.Pt(1, 0), b: outline.Pt(0, 1)}.arc(nil, 0.3, theta, 1)
		require.Len(t, s, 1)
		sin, cos := math.Sincos(0.3)
		worst := 0.0
		for i := 0; i <= 1000; i++ {
			worst = math.Max(worst, math.Abs(s[0].At(outline.Pt(cos, sin), float64(i)/1000).Norm()-1))
		}
		bound := arcDeviation(theta)
		assert.LessOrEqual(t, worst, bound*(1+1e-6)+1e-15, "%g quarters", quarters)
		assert.Greater(t, worst, bound/1.1, "%g quarters", quarters)
	}
}

func TestArcsKeepTolerance(t *testing.T) {
	for _, tolerance := range []float64{1, 0.1, 0.005, 1e-4, 1e-6} {
		e := ellipse{a: outline.Pt(300, 0), b: outline.Pt(0, 40)}
		at := e.at(0)
		segments := e.arc(nil, 0, 2*math.Pi, tolerance)
		for _, s := range segments {
			for i := 1; i <= 50; i++ {
				p := s.At(at, float64(i)/50)
				assert.LessOrEqual(t, ellipseDistance(p, 300, 40), tolerance*1.001)
			}
			at = s.End
		}
	}
	assert.Len(t, ellipse{a: outline.Pt(10, 0), b: outline.Pt(0, 10)}.arc(nil, 0, 2*math.Pi, 0.005), 4, "a small circle takes four cubics")
}

// ellipseDistance searches the nearest point of the ellipse with half axes a
// and b by a fine scan and bisection: slow and plain.
func ellipseDistance(p outline.Point, a, b float64) float64 {
	x, y := math.Abs(p.X), math.Abs(p.Y)
	d := func(phi float64) float64 { return math.Hypot(a*math.Cos(phi)-x, b*math.Sin(phi)-y) }
	best := 0.0
	for i := 0; i <= 200; i++ {
		if phi := float64(i) / 200 * math.Pi / 2; d(phi) < d(best) {
			best = phi
		}
	}
	for step := math.Pi / 400; step > 1e-14; step /= 2 {
		for d(best+step) < d(best) {
			best += step
		}
		for d(best-step) < d(best) {
			best -= step
		}
	}
	return d(best)
}

func TestTransformLists(t *testing.T) {
	for _, c := range []struct {
		text string
		want outline.Transform
	}{
		{"", outline.Identity()},
		{"none", outline.Identity()},
		{" matrix(1 2 3 4 5 6) ", outline.Transform{XX: 1, YX: 2, XY: 3, YY: 4, X0: 5, Y0: 6}},
		{"translate(3)", outline.Transform{XX: 1, YY: 1, X0: 3}},
		{"translate(3-4)", outline.Transform{XX: 1, YY: 1, X0: 3, Y0: -4}},
		{"scale(2)", outline.Scale(2, 2)},
		{"scale(2,-3)", outline.Scale(2, -3)},
		{"rotate(90)", outline.Transform{XY: -1, YX: 1}},
		{"rotate(90, 10, 0)", outline.Transform{XY: -1, YX: 1, X0: 10, Y0: -10}},
		{"skewX(45)", outline.Transform{XX: 1, XY: 1, YY: 1}},
		{"skewY(45)", outline.Transform{XX: 1, YX: 1, YY: 1}},
		{"translate(10,0)scale(2)", outline.Transform{XX: 2, YY: 2, X0: 10}},
		{"scale(2) , translate(10 0)", outline.Transform{XX: 2, YY: 2, X0: 20}},
		{"rotate(0.25turn) translate(1px, 2px)", outline.Transform{XY: -1, YX: 1, X0: -2, Y0: 1}},
		// The nested systems of W3C SVG 1.1, section 7.4, and the matrix given there.
		{"translate(50,90) rotate(-45) translate(130,160)", outline.Transform{XX: math.Sqrt(0.5), YX: -math.Sqrt(0.5), XY: math.Sqrt(0.5), YY: math.Sqrt(0.5), X0: 50 + 290*math.Sqrt(0.5), Y0: 90 + 30*math.Sqrt(0.5)}},
	} {
		got, err := parseTransform(c.text)
		require.NoError(t, err, c.text)
		for _, p := range []outline.Point{{}, {X: 1}, {Y: 1}} {
			assert.InDelta(t, 0, c.want.Apply(p).Distance(got.Apply(p)), 1e-12, c.text)
		}
	}
	for _, text := range []string{"rotate", "rotate(", "rotate()", "rotate(1,2)", "turn(3)", "scale(1,2,3)", "matrix(1,2,3,4,5)", "translate(1,)", "translate(1em)", "scale(1e5)scale(1e5)scale(1e5)"} {
		_, err := parseTransform(text)
		assert.Error(t, err, text)
	}
}

func TestStretch(t *testing.T) {
	// Singular values of a scaling by 3 and 2 between two turns.
	turn := outline.Rotate(0.7)
	m := turn.Then(outline.Scale(3, 2)).Then(outline.Rotate(-1.9))
	assert.InDelta(t, 3, stretchOf(m), 1e-12)
}

func TestColours(t *testing.T) {
	// CSS Color Level 4, sections 4 to 7.
	for text, want := range map[string]string{
		"red": "#ff0000", "rebeccapurple": "#663399", "#1a2": "#11aa22", "#1a2f": "#11aa22", "#0f0e0d": "#0f0e0d", "#0f0e0d80": "#0f0e0d",
		"rgb(255, 0, 128)": "#ff0080", "rgb(100% 0% 50%)": "#ff0080", "rgba(1,2,3,0.5)": "#010203", "rgb(1 2 3 / 50%)": "#010203",
		"hsl(120, 100%, 50%)": "#00ff00", "hsl(240deg 100% 25%)": "#000080", "hsl(0,0%,50%)": "#808080",
		"#0000": "", "rgba(1,2,3,0)": "",
	} {
		got, ok := parseColour(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "#12", "#12345", "#ggg", "rgb(1,2)", "rgb(a,b,c)", "reddish", "rgb(1,2,3"} {
		_, ok := parseColour(text)
		assert.False(t, ok, text)
	}
	assert.Len(t, namedColours, 148)
}

// crossingsSlow compares every chord with every other.
func crossingsSlow(p outline.Path) int {
	budget := MaxPairs
	c := chordsOf(p, outline.DefaultTolerance, &budget)
	n := 0
	for i := range c.edges {
		for j := range i {
			if _, meet := meets(&c.edges[i], &c.edges[j]); meet {
				n++
			}
		}
	}
	return n
}

func TestCrossingsAgainstAllPairs(t *testing.T) {
	next := uint64(1)
	random := func() float64 {
		next = next*6364136223846793005 + 1442695040888963407
		return float64(next>>40) / (1 << 24) * 100
	}
	for n := 3; n < 60; n += 7 {
		for range 4 {
			var points []outline.Point
			for range n {
				points = append(points, outline.Pt(random(), random()))
			}
			p := outline.Path{outline.Polygon(points...), outline.Polygon(outline.Pt(random(), random()), outline.Pt(random(), random()), outline.Pt(random(), random()))}
			budget := MaxPairs
			got, ok := chordsOf(p, outline.DefaultTolerance, &budget).crossings(MaxCrossings)
			require.True(t, ok)
			require.Equal(t, crossingsSlow(p), got)
		}
	}
}

func TestCrossingsByHand(t *testing.T) {
	pt := outline.Pt
	for name, c := range map[string]struct {
		p    outline.Path
		want bool
	}{
		"square":             {outline.Path{outline.Polygon(pt(0, 0), pt(1, 0), pt(1, 1), pt(0, 1))}, false},
		"bow-tie":            {outline.Path{outline.Polygon(pt(0, 0), pt(1, 1), pt(1, 0), pt(0, 1))}, true},
		"spike":              {outline.Path{outline.Polygon(pt(0, 0), pt(2, 0), pt(1, 0), pt(1, 1))}, true},
		"there and back":     {outline.Path{outline.Polygon(pt(0, 0), pt(2, 0))}, true},
		"touching corner":    {outline.Path{outline.Polygon(pt(0, 0), pt(1, 0), pt(1, 1)), outline.Polygon(pt(1, 1), pt(2, 1), pt(2, 2))}, true},
		"apart":              {outline.Path{outline.Polygon(pt(0, 0), pt(1, 0), pt(1, 1)), outline.Polygon(pt(1.1, 1), pt(2, 1), pt(2, 2))}, false},
		"one in the other":   {outline.Path{outline.Polygon(pt(0, 0), pt(9, 0), pt(0, 9)), outline.Polygon(pt(1, 1), pt(2, 1), pt(1, 2))}, false},
		"shared side":        {outline.Path{outline.Polygon(pt(0, 0), pt(1, 0), pt(1, 1)), outline.Polygon(pt(1, 0), pt(2, 0), pt(1, 1))}, true},
		"vertex on the side": {outline.Path{outline.Polygon(pt(0, 0), pt(4, 0), pt(0, 4)), outline.Polygon(pt(2, 0), pt(3, -1), pt(1, -1))}, true},
	} {
		assert.Equal(t, c.want, crossingsSlow(c.p) > 0, name)
		budget := MaxPairs
		n, ok := chordsOf(c.p, outline.DefaultTolerance, &budget).crossings(MaxCrossings)
		assert.True(t, ok)
		assert.Equal(t, c.want, n > 0, name)
	}
}

// The budgets that only a very long file would spend, spent by short ones.
func TestBudgets(t *testing.T) {
	_, err := io.ReadAll(&limitedReader{strings.NewReader("0123456789"), 9})
	assert.ErrorIs(t, err, ErrTooLarge)
	text, err := io.ReadAll(&limitedReader{strings.NewReader("0123456789"), 11})
	assert.NoError(t, err)
	assert.Len(t, text, 10)

	for _, d := range []string{"M1 1zM2 2zM3 3zM4 4z", "M1 1 2 2 3 3 4 4 5 5", "M0 0A9 9 0 1 1 1 0"} {
		p := pathParser{scanner: scanner{text: d}, tolerance: 1e-9, budget: 3}
		assert.ErrorIs(t, p.parse(), ErrTooLarge, d)
	}

	disc := outline.Path{outline.Circle(outline.Pt(0, 0), 50)}
	budget := 100
	_, ok := chordsOf(disc, outline.DefaultTolerance, &budget).crossings(10)
	assert.False(t, ok, "chords that are not looked at do not count as free of crossings")
	budget = -1
	_, ok = chords{budget: &budget, edges: make([]edge, 1)}.around(2)
	assert.False(t, ok)

	r := reader{drawn: 5, bytes: 10}
	long := &element{name: "path", size: 8}
	assert.NoError(t, r.count(long))
	assert.ErrorIs(t, r.count(long), ErrTooLarge)
}
