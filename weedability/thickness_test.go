package weedability_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

func of(r weedability.Report, k weedability.Kind) []weedability.Finding {
	var out []weedability.Finding
	for _, f := range r.Findings {
		if f.Kind == k {
			out = append(out, f)
		}
	}
	return out
}

// thicknessTolerance is what the issue asks of thickness: 0.02 mm, or 1 % where
// that is more.
func thicknessTolerance(w float64) float64 { return math.Max(0.02, 0.01*w) }

// TestThicknessOfKnownShapes checks thin stretches against plane geometry.
func TestThicknessOfKnownShapes(t *testing.T) {
	ring := func(outer, wall units.Length) outline.Path {
		return outline.Ring(outline.Pt(3, 7), outer, outer-wall)
	}
	// A bar 40 mm long whose width goes straight from a at the left to b at the right.
	taper := func(a, b float64) outline.Path {
		return outline.Path{outline.Polygon(outline.Pt(0, -a/2), outline.Pt(40, -b/2), outline.Pt(40, b/2), outline.Pt(0, a/2))}
	}
	// Two wide ends and a waist.
	waist := func(w float64) outline.Path {
		return outline.Path{outline.Polygon(outline.Pt(0, -6), outline.Pt(20, -w/2), outline.Pt(40, -6), outline.Pt(40, 6), outline.Pt(20, w/2), outline.Pt(0, 6))}
	}
	turned := func(p outline.Path, a units.Angle) outline.Path { return p.Transform(outline.Rotate(a)) }
	for _, c := range []struct {
		name   string
		path   outline.Path
		least  float64
		length float64 // of the centre line, 0: not checked
	}{
		{"ring wall 0.4", ring(10, 0.4), 0.4, 2 * math.Pi * 9.8},
		{"ring wall 1.9", ring(15, 1.9), 1.9, 2 * math.Pi * 14.05},
		{"small ring wall 1", ring(2, 1), 1, 2 * math.Pi * 1.5},
		{"bar 1.5", outline.Path{rect(0, 0, 30, 1.5)}, 1.5, 28.5},
		{"bar 0.4572, turned", turned(outline.Path{rect(0, 0, 30, 0.4572)}, 0.3), 0.4572, 29.5},
		{"wedge 0.5 to 3", turned(taper(0.5, 3), 1.1), 0.5, 0},
		{"wedge 1 to 6", taper(1, 6), 1, 0},
		{"waist 0.8", turned(waist(0.8), 2.2), 0.8, 0},
		{"waist 1.7", waist(1.7), 1.7, 0},
		{"rounded bar 1.1", turned(outline.Path{outline.RoundedRectangle(outline.Box{Min: outline.Pt(0, 0), Max: outline.Pt(20, 1.1)}, 0.55)}, -0.4), 1.1, 18.9},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := inspect(t, c.path, weedability.Cast)
			f := of(r, weedability.StrokeThin)
			require.Len(t, f, 1)
			assert.InDelta(t, c.least, f[0].Value, thicknessTolerance(c.least))
			if c.length > 0 {
				assert.InDelta(t, c.length, f[0].Length, 0.6)
			}
			assert.Empty(t, of(r, weedability.TipSharp))
		})
	}
}

// TestThickShapesHaveNoThinStretch: neither square nor rounded corners of film above
// the limit are thin.
func TestThickShapesHaveNoThinStretch(t *testing.T) {
	for name, p := range map[string]outline.Path{
		"square":           {rect(0, 0, 20, 20)},
		"rounded square":   {outline.RoundedRectangle(outline.Box{Min: outline.Pt(0, 0), Max: outline.Pt(20, 20)}, 0.3)},
		"rounder square":   {outline.RoundedRectangle(outline.Box{Min: outline.Pt(0, 0), Max: outline.Pt(20, 20)}, 0.9)},
		"disc":             {outline.Circle(outline.Pt(0, 0), 10)},
		"bar of 2":         {rect(0, 0, 30, 2)},
		"ring of 2":        outline.Ring(outline.Pt(0, 0), 10, 8),
		"disc of 2 by 4":   {outline.Ellipse(outline.Pt(0, 0), 2.1, 3)},
		"hexagon":          {outline.RegularPolygon(outline.Pt(0, 0), 8, 6, 0.2)},
		"triangle":         {outline.RegularPolygon(outline.Pt(0, 0), 8, 3, 0.2)},
		"star":             {outline.Star(outline.Pt(0, 0), 20, 10, 5, 0)},
		"square in square": {rect(0, 0, 40, 40), rect(10, 10, 30, 30).Reversed()},
	} {
		t.Run(name, func(t *testing.T) {
			r := inspect(t, p, weedability.Cast)
			assert.Empty(t, of(r, weedability.StrokeThin))
			assert.Empty(t, of(r, weedability.GapNarrow))
			assert.Empty(t, of(r, weedability.TipSharp))
		})
	}
}

func TestGapsOfKnownShapes(t *testing.T) {
	for _, c := range []struct {
		name  string
		path  outline.Path
		least float64
	}{
		{"two bars", outline.Path{rect(0, 0, 30, 5), rect(0, 5.7, 30, 12)}, 0.7},
		{"two discs", outline.Path{outline.Circle(outline.Pt(0, 0), 5), outline.Circle(outline.Pt(10.45, 0), 5)}, 0.45},
		{"slot", outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(20, 0), outline.Pt(20, 10), outline.Pt(10.8, 10), outline.Pt(10.8, 4), outline.Pt(10, 4), outline.Pt(10, 10), outline.Pt(0, 10))}, 0.8},
		{"slit counter", outline.Path{rect(0, 0, 30, 20), rect(5, 9, 25, 9.6).Reversed()}, 0.6},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := of(inspect(t, c.path, weedability.Cast), weedability.GapNarrow)
			require.Len(t, f, 1)
			assert.InDelta(t, c.least, f[0].Value, thicknessTolerance(c.least))
		})
	}
}

func TestTips(t *testing.T) {
	// An isosceles triangle 20 mm high with an apex of the given angle.
	for _, deg := range []float64{4, 10, 20, 29, 31, 45} {
		half := 20 * math.Tan(deg/2*math.Pi/180)
		p := outline.Path{outline.Polygon(outline.Pt(-half, 0), outline.Pt(half, 0), outline.Pt(0, 20))}
		r := inspect(t, p, weedability.Cast)
		f := of(r, weedability.TipSharp)
		if deg > 30 {
			assert.Empty(t, f, deg)
			continue
		}
		require.Len(t, f, 1, deg)
		assert.InDelta(t, deg, f[0].Degrees, 0.01)
		assert.InDelta(t, 2*math.Tan(deg/2*math.Pi/180), f[0].Value, 0.001)
		assert.Less(t, f[0].At.Distance(outline.Pt(0, 20)), 1e-9)
		if deg >= 10 {
			assert.InDelta(t, 1/math.Tan(deg/2*math.Pi/180), f[0].Length, 0.06, "2 mm wide there")
		}
	}
}
