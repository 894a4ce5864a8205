package weedability_test

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/go-text/typesetting-utils/opentype"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

func readJSON(t testing.TB, name string, to any) {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, to))
}

func referenceFont(t testing.TB, name string) *lettering.Font {
	t.Helper()
	data := map[string][]byte{"gofont/gobold": gobold.TTF, "gofont/goregular": goregular.TTF}[name]
	if data == nil {
		var err error
		data, err = opentype.Files.ReadFile(strings.TrimPrefix(name, "typesetting-utils "))
		require.NoError(t, err)
	}
	f, err := lettering.ParseFont(data, lettering.FontOptions{})
	require.NoError(t, err)
	return f
}

// TestEveryReferenceGlyph checks the pieces and counters of every glyph in
// testdata/text.json (fontTools 4.38.0: contours and signed areas): as many
// as it has contours, and as much film as it has area.
func TestEveryReferenceGlyph(t *testing.T) {
	var ref struct {
		Glyphs []struct {
			Font       string
			Upem       int
			Char       string
			SignedArea float64 `json:"signed_area"`
			Contours   int
		}
	}
	readJSON(t, "../testdata/text.json", &ref)
	require.Len(t, ref.Glyphs, 105)
	fonts := map[string]*lettering.Font{}
	overlapping := 0
	for _, g := range ref.Glyphs {
		if fonts[g.Font] == nil {
			fonts[g.Font] = referenceFont(t, g.Font)
		}
		const em = 50.0
		text, err := lettering.Set(g.Char, lettering.Options{Fonts: []*lettering.Font{fonts[g.Font]}, Height: em, HeightOf: lettering.EmHeight})
		require.NoError(t, err)
		r := inspect(t, text.Path, weedability.Cast)
		film := 0.0
		for _, i := range r.Islands {
			film += i.Area
		}
		k := em / float64(g.Upem)
		area := math.Abs(g.SignedArea) * k * k
		if len(r.Islands)+len(r.Counters) != g.Contours {
			// Contours that overlap inside the glyph are welded: their sum of areas is more.
			overlapping++
			assert.Less(t, film, area+1e-6, "%s %s", g.Font, g.Char)
			continue
		}
		assert.InEpsilon(t, area, film, 1e-4, "%s %s", g.Font, g.Char)
	}
	assert.LessOrEqual(t, overlapping, 5)
	t.Logf("%d of %d glyphs have contours that overlap", overlapping, len(ref.Glyphs))
}

// TestAgainstGEOS checks testdata/geometry.json (GEOS 3.11.1): largest inscribed
// circles to 1e-5, and what an opening with a disc of radius 1 removes.
func TestAgainstGEOS(t *testing.T) {
	var ref struct {
		Shapes []struct {
			Name    string
			WKT     string
			Area    float64
			Holes   int
			Radius  float64 `json:"max_inscribed_circle_radius"`
			Opening struct {
				Removed float64
			} `json:"opening_1.0"`
		}
		ClosedForms []struct {
			What             string
			S, Radius        float64
			R, Small, Narrow float64
			MinWidth         float64 `json:"min_width"`
		} `json:"closed_forms"`
	}
	readJSON(t, "../testdata/geometry.json", &ref)
	require.Len(t, ref.Shapes, 6)
	for _, s := range ref.Shapes {
		t.Run(s.Name, func(t *testing.T) {
			g, err := geom.UnmarshalWKT(s.WKT)
			require.NoError(t, err)
			polygon := g.MustAsPolygon()
			var p outline.Path
			for i := range polygon.NumRings() {
				ring := polygon.ExteriorRing()
				if i > 0 {
					ring = polygon.InteriorRingN(i - 1)
				}
				var points []outline.Point
				seq := ring.Coordinates()
				for k := range seq.Length() - 1 {
					points = append(points, outline.Pt(seq.GetXY(k).X, seq.GetXY(k).Y))
				}
				c := outline.Polygon(points...)
				if (c.Area() > 0) != (i == 0) {
					c = c.Reversed()
				}
				p = append(p, c)
			}
			limits := weedability.LimitsFor(weedability.Cast)
			limits.Tip.Caution = units.Length(2 * math.Tan(25*math.Pi/180)) // points up to 50 degrees
			r, err := inspectLimits(p, limits)
			require.NoError(t, err)
			require.Len(t, r.Islands, 1)
			assert.Len(t, r.Counters, s.Holes)
			assert.InDelta(t, s.Area, r.Islands[0].Area, 1e-6)
			assert.InDelta(t, s.Radius, r.Islands[0].Width/2, 0.002)
			// No film of these is thinner than the disc of the opening, 2 mm: what the opening
			// removes are corners, and corners are no thin strokes.
			assert.Empty(t, of(r, weedability.StrokeThin))
			tips := of(r, weedability.TipSharp)
			if s.Name == "star5" {
				// Of a corner of angle a the opening removes r²(cot(a/2) - (π-a)/2).
				removed := 0.0
				for _, f := range tips {
					a := f.Degrees * math.Pi / 180
					removed += 1/math.Tan(a/2) - (math.Pi-a)/2
				}
				assert.Len(t, tips, 5)
				assert.InDelta(t, s.Opening.Removed, removed, 0.01)
			} else {
				assert.Empty(t, tips)
			}
		})
	}
	// Closed forms: a hexagon of side 10 and a ring of 20 and 14 mm.
	r := inspect(t, outline.Path{outline.RegularPolygon(outline.Pt(0, 0), 10, 6, 0)}, weedability.Cast)
	assert.InDelta(t, 8.660254037844386, r.Islands[0].Width/2, 1e-3)
	limits := weedability.LimitsFor(weedability.Cast)
	limits.Stroke.Caution = 6.1
	r, err := inspectLimits(outline.Ring(outline.Pt(0, 0), 20, 14), limits)
	require.NoError(t, err)
	require.Len(t, of(r, weedability.StrokeThin), 1)
	assert.InDelta(t, 6, of(r, weedability.StrokeThin)[0].Value, 0.01)
}

// TestDeclaredStem checks stems against the width that the font itself
// declares: StdVW of Raleway Regular is 68 of 1000 units.
func TestDeclaredStem(t *testing.T) {
	const name = "typesetting-utils common/Raleway-v4020-Regular.otf"
	data, err := opentype.Files.ReadFile("common/Raleway-v4020-Regular.otf")
	require.NoError(t, err)
	private, err := cffPrivate(data)
	require.NoError(t, err)
	require.Equal(t, []float64{68}, private[11])
	f := referenceFont(t, name)
	for _, em := range []float64{6, 15, 25} {
		text, err := lettering.Set("i", lettering.Options{Fonts: []*lettering.Font{f}, Height: units.Length(em), HeightOf: lettering.EmHeight})
		require.NoError(t, err)
		want := 0.068 * em
		found := false
		for _, s := range of(inspect(t, text.Path, weedability.Cast), weedability.StrokeThin) {
			if s.Length > want { // the stem, not the dot
				found = true
				assert.InDelta(t, want, s.Value, 0.002)
			}
		}
		assert.True(t, found)
	}
}
