package svg_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
)

func strokeOf(t *testing.T, attributes, d string) outline.Path {
	t.Helper()
	shapes := read(t, page(`<path fill="none" stroke="#000" `+attributes+` d="`+d+`"/>`)).Shapes
	require.Len(t, shapes, 1)
	return shapes[0].Path
}

// Areas in closed form, by W3C SVG 2, 13.5.
func TestStrokeAreas(t *testing.T) {
	const pi = math.Pi
	for _, c := range []struct {
		attributes, d string
		area          float64
	}{
		{`stroke-width="2"`, "M10 10H30", 40},
		{`stroke-width="2" stroke-linecap="square"`, "M10 10H30", 44},
		{`stroke-width="2" stroke-linecap="round"`, "M10 10H30", 40 + pi},
		{`stroke-width="10%"`, "M10 10H30", 20 * 0.1 * math.Sqrt((100*100+80*80)/2.0)},
		{`stroke-width="0"`, "M10 10H30", -1},
		{`stroke="none"`, "M10 10H30", -1},
		// A right angle: two bars of 20 by 2 that share a quarter of the corner's
		// square, 2·40 - 1, and the corner outside it.
		{`stroke-width="2"`, "M10 10H30V30", 80},
		{`stroke-width="2" stroke-linejoin="bevel"`, "M10 10H30V30", 79.5},
		{`stroke-width="2" stroke-linejoin="round"`, "M10 10H30V30", 79 + pi/4},
		// The mitre of a right angle is √2 widths long: kept by 1.415, cut by 1.414.
		{`stroke-width="2" stroke-miterlimit="1.415"`, "M10 10H30V30", 80},
		{`stroke-width="2" stroke-miterlimit="1.414"`, "M10 10H30V30", 79.5},
		{`stroke-width="2"`, "M10 10H30V30H10Z", 22*22 - 18*18},
		{`stroke-width="2" stroke-linejoin="round"`, "M10 10H30V30H10Z", 22*22 - 18*18 - (4 - pi)},
		// Closed by hand, not by closepath: caps instead of a join.
		{`stroke-width="2"`, "M10 10H30V30H10V10", 22*22 - 18*18 - 1},
		{`stroke-width="2" stroke-linecap="square"`, "M10 10H30V30H10V10", 22*22 - 18*18},
		// Straight back over itself.
		{`stroke-width="2"`, "M10 10H30H10", 40},
		{`stroke-width="2" stroke-linejoin="round"`, "M10 10H30H10", 40 + pi/2},
		// A ring of two circles, and one whose pen covers the middle.
		{`stroke-width="2"`, "M20 10a10 10 0 0 1 0 20a10 10 0 0 1 0-20z", pi * (121 - 81)},
		{`stroke-width="30"`, "M40 30a10 10 0 0 1 0 20a10 10 0 0 1 0-20z", pi * 625},
		{`stroke-width="2"`, "M20 10a10 10 0 0 1 0 20", pi / 2 * (121 - 81)},
		// Dots.
		{`stroke-width="4" stroke-linecap="round"`, "M10 10z", 4 * pi},
		{`stroke-width="4" stroke-linecap="round"`, "M10 10h0", 4 * pi},
		{`stroke-width="4" stroke-linecap="square"`, "M10 10z", 16},
		{`stroke-width="4"`, "M10 10z", -1},
		{`stroke-width="4" stroke-linecap="round"`, "M10 10", -1},
		// Dashes.
		{`stroke-width="2" stroke-dasharray="5"`, "M10 10H30", 20},
		{`stroke-width="2" stroke-dasharray="5 1"`, "M10 10H31", 34 + 2},
		{`stroke-width="2" stroke-dasharray="5,1,2"`, "M10 10H26", 2 * (5 + 2 + 1)},
		{`stroke-width="2" stroke-dasharray="5" stroke-dashoffset="2.5"`, "M10 10H30", 20},
		{`stroke-width="2" stroke-dasharray="4 1" stroke-dashoffset="-1"`, "M10 10H15", 8},
		{`stroke-width="2" stroke-dasharray="5" stroke-linecap="round"`, "M10 10H30", 20 + 2*pi},
		{`stroke-width="2" stroke-dasharray="0 5" stroke-linecap="round"`, "M10 10H29", 4 * pi},
		{`stroke-width="2" stroke-dasharray="0 0"`, "M10 10H30", 40},
		{`stroke-width="2" stroke-dasharray="none"`, "M10 10H30", 40},
		{`stroke-width="2" stroke-dasharray="100"`, "M10 10H30V30H10Z", 22*22 - 18*18},
		// A dash over the start of a closed subpath keeps the corner's mitre.
		{`stroke-width="2" stroke-dasharray="10" stroke-dashoffset="5"`, "M10 10H30V30H10Z", 4 * 20},
	} {
		shapes := read(t, page(`<path fill="none" stroke="#000" `+c.attributes+` d="`+c.d+`"/>`)).Shapes
		area := -1.0
		if len(shapes) > 0 && len(shapes[0].Path) > 0 {
			area = float64(shapes[0].Path.Area())
		}
		assert.InDelta(t, c.area, area, 0.01*math.Sqrt(math.Abs(c.area))+1e-6, "%s %s", c.attributes, c.d)
	}
}

// A stroke with round caps and joins is every point within half a width of the
// line: a grid of points says which those are, without any offset curve.
func TestRoundStrokeIsAllPointsNearTheLine(t *testing.T) {
	for _, c := range []struct {
		d    string
		half float64
	}{
		{"M20 20C60 0 10 70 80 60", 3},
		{"M20 20C60 0 10 70 80 60", 12},
		{"M20 40C90 20 10 20 80 40", 4}, // a loop that is tighter than the pen
		{"M20 40C110 20 -10 20 80 40", 2},
		{"M20 40C80 40 20 40 80 40", 3},   // on a line, turning back twice
		{"M20 40C120 40 -20 40 80 40", 3}, // the same further
		{"M50 20Q50 60 50 20", 3},         // a cusp
		{"M20 20Q60 20 22 24", 5},         // a sharp bend
		{"M20 20L60 22L21 25L70 60", 4},   // acute joins
		{"M30 30C30 30 60 30 60 60", 3},   // a handle of no length
		{"M30 30C60 30 60 60 60 60", 3},   // the other
		{"M40 40a15 15 0 1 1 1 1z", 6},    // nearly a full circle
		{"M40 40a3 3 0 1 1 1 1z", 8},      // smaller than the pen
		{"M20 20C60 60 20 60 60 20Z", 2},  // a cusp in the middle
		{"M10 10L60 10L60 10L60 50", 3},   // a repeated point
	} {
		p := strokeOf(t, fmt.Sprintf(`stroke-linecap="round" stroke-linejoin="round" stroke-width="%g"`, 2*c.half), c.d)
		var line []outline.Point
		s := parse(t, c.d)[0]
		down := outline.Transform{XX: 1, YY: -1, Y0: 80}
		line = s.Curve.Transform(down).Flatten(line, 0.003)
		var rings [][]outline.Point
		for _, c := range p {
			rings = append(rings, c.Flatten(nil, 0.002))
		}
		wrong := 0
		for x := 0.05; x < 100; x += 1.3 {
			for y := 0.05; y < 80; y += 1.1 {
				q := outline.Pt(x, y)
				d := polylineDistance(line, q)
				if math.Abs(d-c.half) < 0.02 {
					continue // too near the border for either to say
				}
				if insideFlat(rings, q) != (d < c.half) {
					wrong++
				}
			}
		}
		assert.Zero(t, wrong, c.d)
	}
}

func polylineDistance(line []outline.Point, q outline.Point) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		v := b.Sub(a)
		k := 0.0
		if n := v.Dot(v); n > 0 {
			k = math.Min(1, math.Max(0, q.Sub(a).Dot(v)/n))
		}
		best = math.Min(best, q.Distance(a.Add(v.Mul(k))))
	}
	return best
}

// insideFlat decides by the crossings of a ray, with holes counted out.
func insideFlat(rings [][]outline.Point, q outline.Point) bool {
	in := false
	for _, flat := range rings {
		for i, b := range flat {
			a := flat[(i+len(flat)-1)%len(flat)]
			if (a.Y <= q.Y) != (b.Y <= q.Y) && a.X+(b.X-a.X)*(q.Y-a.Y)/(b.Y-a.Y) < q.X {
				in = !in
			}
		}
	}
	return in
}

func TestStrokeUnderTransform(t *testing.T) {
	// The pen is stretched with everything else, unless it is told not to be.
	d := read(t, page(`<g transform="scale(2,1)"><path fill="none" stroke="#000" stroke-width="2" d="M10 10V30M20 10H30"/></g>`))
	assert.InDelta(t, 4*20+20*2, float64(d.Shapes[0].Path.Area()), 1e-6)
	d = read(t, page(`<g transform="scale(2,1)"><path vector-effect="non-scaling-stroke" fill="none" stroke="#000" stroke-width="3.7795275590551" d="M10 10V30M20 10H30"/></g>`))
	assert.InDelta(t, 20+20, float64(d.Shapes[0].Path.Area()), 1e-6, "3.78 pixels are 1 mm")
	// A mirrored stroke is as large as the original.
	d = read(t, page(`<g transform="translate(80,0)scale(-1,1)"><circle cx="30" cy="30" r="10" stroke="#000" fill="none" stroke-width="2"/></g>`))
	assert.InDelta(t, math.Pi*(121-81), float64(d.Shapes[0].Path.Area()), 0.5)
}
