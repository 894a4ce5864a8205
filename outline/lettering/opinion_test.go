package lettering

import (
	"math"
	"os"
	"testing"

	"github.com/go-fonts/liberation/liberationsansbold"
	"github.com/go-fonts/liberation/liberationsansregular"
	"github.com/golang/freetype/truetype"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

const opinionLetters = "ABDEGHMOQRSWXZabdegjkmpqsyz0123456789&?!;@%"

// The same letters read by golang.org/x/image/font/sfnt, which has its own
// reader for both outline formats. At a size of one pixel per unit its 26.6
// fixed point holds every node exactly. It refuses OldaniaADFStd-Bold, whose
// tables are not in order.
func TestOutlinesAgainstSfnt(t *testing.T) {
	kerned := 0
	for _, name := range []string{"gofont/gobold", "gofont/goregular", "typesetting-utils common/Raleway-v4020-Regular.otf", "typesetting-utils common/Roboto-BoldItalic.ttf"} {
		f := testFont(t, name)
		other, err := sfnt.Parse(fontData(t, name))
		require.NoError(t, err, name)
		var buf sfnt.Buffer
		upem := int(other.UnitsPerEm())
		for _, r := range opinionLetters {
			id, err := other.GlyphIndex(&buf, r)
			require.NoError(t, err)
			if id == 0 {
				continue
			}
			orders, err := other.LoadGlyph(&buf, id, fixed.I(upem), nil)
			require.NoError(t, err)
			var theirs outline.Path
			var open outline.Curve
			pt := func(k int, s sfnt.Segment) outline.Point {
				return outline.Pt(float64(s.Args[k].X)/64, -float64(s.Args[k].Y)/64) // y down
			}
			for _, s := range orders {
				switch s.Op {
				case sfnt.SegmentOpMoveTo:
					if len(open.Segments) > 0 {
						theirs = append(theirs, open.Closed())
					}
					open = outline.Curve{Start: pt(0, s)}
				case sfnt.SegmentOpLineTo:
					open.Segments = append(open.Segments, outline.LineTo(pt(0, s)))
				case sfnt.SegmentOpQuadTo:
					open.Segments = append(open.Segments, outline.QuadTo(pt(0, s), pt(1, s)))
				case sfnt.SegmentOpCubeTo:
					open.Segments = append(open.Segments, outline.CubicTo(pt(0, s), pt(1, s), pt(2, s)))
				}
			}
			theirs = append(theirs, open.Closed())
			ours := mustSet(t, string(r), Options{Fonts: []*Font{f}, Height: units.Length(upem), HeightOf: EmHeight})
			assert.EqualValues(t, id, ours.Glyphs[0].ID, "%s %c", name, r)
			// It rounds the nodes that TrueType implies to whole units: half a
			// unit here and there along letters a thousand units wide.
			assert.InEpsilon(t, math.Abs(float64(theirs.Area())), float64(ours.Path.Area()), 1e-3, "%s %c", name, r)
			a, b := theirs.Bounds(), ours.Bounds()
			// It leaves out the shift to the stated side bearing, two units in
			// Roboto, which fontTools and HarfBuzz make as we do.
			assert.InDelta(t, a.Width(), b.Width(), 1, "%s %c", name, r)
			assert.InDelta(t, a.Min.Y, b.Min.Y, 1, "%s %c", name, r)
			assert.InDelta(t, a.Max.Y, b.Max.Y, 1, "%s %c", name, r)
			advance, err := other.GlyphAdvance(&buf, id, fixed.I(upem), font.HintingNone)
			require.NoError(t, err)
			assert.InDelta(t, float64(advance)/64, float64(ours.Advance), 1e-6, "%s %c", name, r)
		}
		for _, pair := range []string{"AV", "To"} {
			if k, err := kern(other, &buf, pair, upem); err == nil && k != 0 { // a font may kern by other tables than it reads
				kerned++
				a := mustSet(t, pair, Options{Fonts: []*Font{f}, Height: units.Length(upem), HeightOf: EmHeight})
				b := mustSet(t, pair, Options{Fonts: []*Font{f}, Height: units.Length(upem), HeightOf: EmHeight, NoKerning: true})
				assert.InDelta(t, k, float64(a.Advance-b.Advance), 1e-6, "%s %s", name, pair)
			}
		}
	}
	assert.Positive(t, kerned)
}

func kern(f *sfnt.Font, buf *sfnt.Buffer, pair string, upem int) (float64, error) {
	a, err := f.GlyphIndex(buf, rune(pair[0]))
	if err != nil {
		return 0, err
	}
	b, err := f.GlyphIndex(buf, rune(pair[1]))
	if err != nil {
		return 0, err
	}
	k, err := f.Kern(buf, a, b, fixed.I(upem), font.HintingNone)
	return float64(k) / 64, err
}

// The points of TrueType letters as golang/freetype/truetype reads them: the
// signed area of the contours and their number.
func TestOutlinesAgainstFreetype(t *testing.T) {
	for name, data := range map[string][]byte{"Go Bold": gobold.TTF, "Liberation Sans": liberationsansregular.TTF} {
		other, err := truetype.Parse(data)
		require.NoError(t, err)
		f, err := ParseFont(data, FontOptions{})
		require.NoError(t, err)
		upem := other.FUnitsPerEm()
		var g truetype.GlyphBuf
		for _, r := range opinionLetters {
			require.NoError(t, g.Load(other, fixed.Int26_6(upem), other.Index(r), font.HintingNone))
			ours := mustSet(t, string(r), Options{Fonts: []*Font{f}, Height: units.Length(upem), HeightOf: EmHeight})
			assert.Len(t, ours.Path, len(g.Ends), "%s %c", name, r)
			area, start := 0.0, 0
			for _, end := range g.Ends {
				area += truetypeArea(g.Points[start:end])
				start = end
			}
			// Loaded at one 1/64 of a pixel per unit, truetype's numbers are
			// font units.
			assert.InDelta(t, math.Abs(area), float64(ours.Path.Area()), 1e-3, "%s %c", name, r)
			assert.EqualValues(t, g.AdvanceWidth, ours.Advance, "%s %c", name, r)
		}
	}
}

// truetypeArea is the signed area of a contour of on- and off-curve points: of
// its polygon through all of them, and two thirds of every triangle between
// an off-curve point and the curve's ends taken off.
func truetypeArea(points []truetype.Point) float64 {
	var nodes []outline.Point // implied on-curve points put in
	var on []bool
	for i, p := range points {
		prev := points[(i+len(points)-1)%len(points)]
		if p.Flags&1 == 0 && prev.Flags&1 == 0 {
			nodes, on = append(nodes, outline.Pt(float64(p.X+prev.X)/2, float64(p.Y+prev.Y)/2)), append(on, true)
		}
		nodes, on = append(nodes, outline.Pt(float64(p.X), float64(p.Y))), append(on, p.Flags&1 != 0)
	}
	area := 0.0
	for i, b := range nodes {
		a, c := nodes[(i+len(nodes)-1)%len(nodes)], nodes[(i+1)%len(nodes)]
		area += a.Cross(b) / 2
		if !on[i] {
			area -= b.Sub(a).Cross(c.Sub(b)) / 2 / 3 // a parabola's triangle is 3/2 its segment
		}
	}
	return area
}

// Counters per letter, check 7 of the trade reference (measured there with
// fontTools on Nimbus Sans of the fonts-urw-base35 package): one each in
// A D O P Q R a b d e g o p q 0 4 6 9; two in B, 8, &; none in C, i, l; i, j,
// ! and ? are two pieces; % has three pieces and two holes, @ one hole.
// Liberation Sans is drawn to the same plan, but for the 4 of its slashed
// zero, so it is tested everywhere and Nimbus Sans where it is installed.
func TestCountersPerLetter(t *testing.T) {
	holes := map[rune]int{'C': 0, 'i': 0, 'l': 0, 'j': 0, '!': 0, '?': 0, 'B': 2, '8': 2, '&': 2, '%': 2, '@': 1}
	for _, r := range "ADOPQRabdegopq0469" {
		holes[r] = 1
	}
	pieces := map[rune]int{'i': 2, 'j': 2, '!': 2, '?': 2, '%': 3}
	fonts := map[string][]byte{"Liberation Sans": liberationsansregular.TTF, "Liberation Sans Bold": liberationsansbold.TTF}
	for _, name := range []string{"NimbusSans-Regular", "NimbusSans-Bold"} {
		data, err := os.ReadFile("/usr/share/fonts/opentype/urw-base35/" + name + ".otf")
		if err != nil {
			t.Logf("%s is not installed here (package fonts-urw-base35): not checked", name)
			continue
		}
		fonts[name] = data
	}
	for name, data := range fonts {
		f, err := ParseFont(data, FontOptions{})
		require.NoError(t, err)
		for r, want := range holes {
			outer, inner := 0, 0
			for _, c := range mustSet(t, string(r), Options{Fonts: []*Font{f}, Height: 50}).Path {
				if c.Area() > 0 {
					outer++
				} else {
					inner++
				}
			}
			assert.Equal(t, want, inner, "%s: counters of %c", name, r)
			assert.Equal(t, max(1, pieces[r]), outer, "%s: pieces of %c", name, r)
		}
	}
}

// The dot of the i of Nimbus Sans, checks 1, 2 and 6 of the trade reference.
func TestNimbusSansMeasures(t *testing.T) {
	for _, c := range []struct {
		name          string
		em            units.Length
		w, h, area    float64
		stemAt10mmCap float64
	}{
		{"NimbusSans-Regular", 63 * units.Point, 1.8669, 2.3336, 4.3566, 1.152},
		{"NimbusSans-Bold", 44 * units.Point, 2.1731, 1.9403, 4.2164, 1.920},
	} {
		f, err := OpenFontFile("/usr/share/fonts/opentype/urw-base35/"+c.name+".otf", FontOptions{})
		if err != nil {
			t.Skipf("%s is not installed here (package fonts-urw-base35)", c.name)
		}
		text := mustSet(t, "i", Options{Fonts: []*Font{f}, Height: c.em, HeightOf: EmHeight})
		dot := text.Path[0]
		for _, contour := range text.Path {
			if contour.Bounds().Min.Y > dot.Bounds().Min.Y {
				dot = contour
			}
		}
		assert.InDelta(t, c.w, dot.Bounds().Width(), 0.001)
		assert.InDelta(t, c.h, dot.Bounds().Height(), 0.001)
		assert.InDelta(t, c.area, float64(dot.Area()), 0.002)
		// The reference measured the ink of H, 729 units, where the font
		// states a cap height of its own.
		ink := mustSet(t, "H", Options{Fonts: []*Font{f}, Height: 10, HeightOf: InkHeight})
		l := mustSet(t, "l", Options{Fonts: []*Font{f}, Height: ink.Metrics.Em, HeightOf: EmHeight})
		assert.InDelta(t, c.stemAt10mmCap, l.Bounds().Width(), 0.001)
	}
}
