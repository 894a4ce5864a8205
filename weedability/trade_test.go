package weedability_test

import (
	"context"
	"math"
	"testing"

	"github.com/go-fonts/liberation/liberationsansbold"
	"github.com/go-fonts/liberation/liberationsansregular"
	"github.com/golang/freetype/truetype"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// Dots of the i of Nimbus Sans (Debian package fonts-urw-base35, metric-compatible with
// Helvetica), in 1/1000 em, measured with fontTools; a plain rectangle.
var (
	nimbusRegularDot = [2]float64{84, 105}
	nimbusBoldDot    = [2]float64{140, 125}
)

// dot returns a rectangle of font units at a size.
func dot(unitsOfEm [2]float64, size units.Length) outline.Path {
	k := float64(size) / 1000
	return outline.Path{rect(0, 0, unitsOfEm[0]*k, unitsOfEm[1]*k)}
}

// TestTwoMillimetreSquareRule runs the worked example of the 2 mm square rule
// ("Vinyl Cutting", hexio.co.uk, November 2019): the dot of the i holds in 63 pt
// Helvetica Regular and in 44 pt Bold, and does not in 55 pt Regular. By area it
// does so; by its shorter side it misses by 0.13 and 0.06 mm.
func TestTwoMillimetreSquareRule(t *testing.T) {
	for _, c := range []struct {
		name         string
		dot          [2]float64
		points       float64
		area, narrow float64 // mm2 and mm, measured
		holds        bool
	}{
		{"63 pt Regular", nimbusRegularDot, 63, 4.3566, 1.8669, true},
		{"44 pt Bold", nimbusBoldDot, 44, 4.2164, 1.9403, true},
		{"55 pt Regular", nimbusRegularDot, 55, 3.320, 1.630, false},
		{"44 pt Regular", nimbusRegularDot, 44, 2.125, 1.304, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, class := range weedability.FilmClasses() {
				r := inspect(t, dot(c.dot, units.Length(c.points)*units.Point), class)
				require.Len(t, r.Islands, 1)
				assert.InDelta(t, c.area, r.Islands[0].Area, 0.002)
				assert.InDelta(t, c.narrow, r.Islands[0].Width, 0.001)
				f := of(r, weedability.IslandArea)
				assert.Equal(t, c.holds, len(f) == 0)
				for _, f := range f {
					assert.Equal(t, 4.0, f.Limit)
					assert.Equal(t, "mm2", f.Unit)
					assert.Equal(t, weedability.Caution, f.Severity)
					assert.Contains(t, f.Source, "hexio.co.uk")
				}
				// The shorter side is a rule of its own.
				assert.Len(t, of(r, weedability.IslandNarrow), 1)
			}
		})
	}
}

// TestSmallestDotByArea: 60.37 pt Regular and 42.86 pt Bold, measured to 0.01 pt.
func TestSmallestDotByArea(t *testing.T) {
	for _, c := range []struct {
		dot            [2]float64
		points, strict float64
	}{{nimbusRegularDot, 60.37, 67.49}, {nimbusBoldDot, 42.86, 45.35}} {
		p := dot(c.dot, 40*units.Point)
		r := inspect(t, p, weedability.Cast)
		area, narrow := of(r, weedability.IslandArea), of(r, weedability.IslandNarrow)
		require.Len(t, area, 1)
		require.Len(t, narrow, 1)
		assert.InDelta(t, c.points, 40*area[0].SafeScale, 0.01)
		// Taken strictly, no side under 2 mm, it is 67.49 and 45.35 pt, and the dot passes every rule.
		assert.InDelta(t, c.strict, 40*narrow[0].SafeScale, 0.03)
		s, err := weedability.SmallestSafeSize(context.Background(), p, weedability.LimitsFor(weedability.Cast), weedability.Options{})
		require.NoError(t, err)
		assert.InEpsilon(t, c.strict, 40*s.Scale, 0.001)
	}
}

// TestDotOfARegistryFont sets the i of Liberation Sans (metric-compatible with
// Helvetica, with dots of its own) and measures its dot with another reader.
func TestDotOfARegistryFont(t *testing.T) {
	for name, data := range map[string][]byte{"Regular": liberationsansregular.TTF, "Bold": liberationsansbold.TTF} {
		other, err := truetype.Parse(data)
		require.NoError(t, err)
		var g truetype.GlyphBuf
		require.NoError(t, g.Load(other, fixed.Int26_6(other.FUnitsPerEm()), other.Index('i'), font.HintingNone))
		// The dot is the higher contour, and a rectangle.
		var w, h float64
		start := 0
		for _, end := range g.Ends {
			box := outline.EmptyBox()
			for _, p := range g.Points[start:end] {
				box = box.Extend(outline.Pt(float64(p.X), float64(p.Y)))
			}
			if start = end; box.Min.Y > 0 {
				w, h = box.Width()/float64(other.FUnitsPerEm()), box.Height()/float64(other.FUnitsPerEm())
			}
		}
		require.NotZero(t, w*h)
		f, err := lettering.ParseFont(data, lettering.FontOptions{})
		require.NoError(t, err)
		for _, points := range []float64{40, 44, 55, 63, 70} {
			size := units.Length(points) * units.Point
			text, err := lettering.Set("i", lettering.Options{Fonts: []*lettering.Font{f}, Height: size, HeightOf: lettering.EmHeight})
			require.NoError(t, err)
			r := inspect(t, text.Path, weedability.Cast)
			require.Len(t, r.Islands, 2)
			least := math.Min(r.Islands[0].Area, r.Islands[1].Area)
			area := w * h * float64(size) * float64(size)
			assert.InDelta(t, area, least, 0.002, "%s %v pt", name, points)
			assert.Equal(t, area < 4, len(of(r, weedability.IslandArea)) > 0, "%s %v pt", name, points)
		}
	}
}

// TestDocumentedFailure: letters 0.077 in tall with strokes of 0.018 in were
// dragged by the blade at every setting, and their counters pulled them up ("How Small is
// Too Small?", tapeworks.com, 11 February 2016). No film may pass them.
func TestDocumentedFailure(t *testing.T) {
	const stroke, height = 0.018 * units.Inch, 0.077 * units.Inch
	assert.InDelta(t, 0.4572, float64(stroke), 1e-6)
	assert.InDelta(t, 1.9558, float64(height), 1e-6)
	h, w := float64(height), float64(stroke)
	letters := map[string]outline.Path{
		"O": outline.Ring(outline.Pt(0, 0), height/2, height/2-stroke),
		"I": {rect(0, 0, w, h)},
		"L": {outline.Polygon(outline.Pt(0, 0), outline.Pt(h/2, 0), outline.Pt(h/2, w), outline.Pt(w, w), outline.Pt(w, h), outline.Pt(0, h))},
	}
	for name, p := range letters {
		for _, class := range weedability.FilmClasses() {
			r := inspect(t, p, class)
			require.NotEmpty(t, r.Findings)
			assert.Equal(t, weedability.Refuse, r.Findings[0].Severity, "%s in %v", name, class)
			f := of(r, weedability.StrokeThin)
			require.Len(t, f, 1, name)
			assert.Equal(t, weedability.Refuse, f[0].Severity)
			assert.InDelta(t, w, f[0].Value, 0.001, name)
		}
	}
	// As set: Liberation Sans Bold at that height has strokes about that thin.
	f, err := lettering.ParseFont(liberationsansbold.TTF, lettering.FontOptions{})
	require.NoError(t, err)
	text, err := lettering.Set("TAPE WORKS", lettering.Options{Fonts: []*lettering.Font{f}, Height: height, Weld: true})
	require.NoError(t, err)
	assert.Equal(t, weedability.Refuse, inspect(t, text.Path, weedability.Cast).Findings[0].Severity)
}

// TestStemOfL: at 10 mm cap height the l of Nimbus Sans is 1.152 mm wide in
// Regular and 1.920 mm in Bold (measured: 84 and 140 of a cap height of 729 units):
// both below the 2 mm that eastvanvinyl.com asks of strokes.
func TestStemOfL(t *testing.T) {
	for _, c := range []struct{ unit, width float64 }{{84, 1.152}, {140, 1.920}} {
		k := 10.0 / 729
		r := inspect(t, outline.Path{rect(0, 0, c.unit*k, 10)}, weedability.Cast)
		f := of(r, weedability.StrokeThin)
		require.Len(t, f, 1)
		assert.InDelta(t, c.width, f[0].Value, 0.001)
		assert.Equal(t, 2.0, f[0].Limit)
	}
}

// TestCountersPerLetter checks the counts of Nimbus Sans, which hold in the
// metric-compatible Liberation Sans too.
func TestCountersPerLetter(t *testing.T) {
	f, err := lettering.ParseFont(liberationsansregular.TTF, lettering.FontOptions{})
	require.NoError(t, err)
	for chars, want := range map[string][2]int{ // counters, pieces of film
		"ADOPQRabdegopq0469": {1, 1},
		"B8&":                {2, 1},
		"Cl":                 {0, 1},
		"ij!?":               {0, 2},
		"%":                  {2, 3},
	} {
		for _, c := range chars {
			text, err := lettering.Set(string(c), lettering.Options{Fonts: []*lettering.Font{f}, Height: 20 * units.Millimetre, Weld: true})
			require.NoError(t, err)
			r := inspect(t, text.Path, weedability.Cast)
			assert.Len(t, r.Counters, want[0], "%c", c)
			assert.Len(t, r.Islands, want[1], "%c", c)
		}
	}
}
