package lettering

import (
	"encoding/json"
	"github.com/go-text/typesetting/font"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/go-text/typesetting-utils/opentype"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// reference is testdata/text.json: shaping by HarfBuzz hb-shape 6.0.0, areas
// and boxes by fontTools 4.38.0, all in font units, y up.
type reference struct {
	Shaping []struct {
		Font         string
		Upem         int
		Text         string
		TotalAdvance float64 `json:"total_advance"`
		Glyphs       []struct {
			ID         uint32
			Cluster    int // rune index
			DX, DY, AX float64
		}
	}
	Glyphs []struct {
		Font       string
		Upem       int
		Char       string
		SignedArea float64 `json:"signed_area"`
		Bounds     [4]float64
		Contours   int
	}
}

func readReference(t testing.TB) (ref reference) {
	data, err := os.ReadFile("../../testdata/text.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &ref))
	return ref
}

func fontData(t testing.TB, name string) []byte {
	switch name {
	case "gofont/gobold":
		return gobold.TTF
	case "gofont/goregular":
		return goregular.TTF
	}
	data, err := opentype.Files.ReadFile(strings.TrimPrefix(name, "typesetting-utils "))
	require.NoError(t, err)
	return data
}

func testFont(t testing.TB, name string) *Font {
	f, err := ParseFont(fontData(t, name), FontOptions{Name: name})
	require.NoError(t, err)
	return f
}

// Every glyph, cluster, offset and advance as HarfBuzz gives it. At an em of
// as many millimetres as the font has units, one unit is one millimetre.
func TestShapingAgainstHarfBuzz(t *testing.T) {
	ref := readReference(t)
	require.Len(t, ref.Shaping, 31)
	for _, want := range ref.Shaping {
		f := testFont(t, want.Font)
		text, err := Set(want.Text, Options{Fonts: []*Font{f}, Height: units.Length(want.Upem), HeightOf: EmHeight})
		require.NoError(t, err, "%s %q", want.Font, want.Text)
		assert.InDelta(t, want.TotalAdvance, float64(text.Advance), 1e-6, "%s %q", want.Font, want.Text)
		require.Len(t, text.Glyphs, len(want.Glyphs), "%s %q", want.Font, want.Text)
		runeAt := map[int]int{}
		n := 0
		for i := range want.Text {
			runeAt[i] = n
			n++
		}
		pen := 0.0
		for i, g := range text.Glyphs {
			w := want.Glyphs[i]
			assert.Equal(t, w.ID, g.ID, "%s %q glyph %d", want.Font, want.Text, i)
			assert.Equal(t, w.Cluster, runeAt[g.Offset], "%s %q glyph %d", want.Font, want.Text, i)
			assert.InDelta(t, w.AX, float64(g.Advance), 1e-6, "%s %q glyph %d", want.Font, want.Text, i)
			assert.InDelta(t, pen+w.DX, g.Pen.X, 1e-6, "%s %q glyph %d", want.Font, want.Text, i)
			assert.InDelta(t, w.DY, g.Pen.Y, 1e-6, "%s %q glyph %d", want.Font, want.Text, i)
			pen += w.AX
		}
	}
}

// Areas, boxes and contour counts as fontTools' pens give them.
func TestOutlinesAgainstFontTools(t *testing.T) {
	ref := readReference(t)
	require.Len(t, ref.Glyphs, 105)
	for _, want := range ref.Glyphs {
		f := testFont(t, want.Font)
		text, err := Set(want.Char, Options{Fonts: []*Font{f}, Height: units.Length(want.Upem), HeightOf: EmHeight})
		require.NoError(t, err, "%s %q", want.Font, want.Char)
		area := want.SignedArea
		if area < 0 { // TrueType's clockwise letters come out counter-clockwise
			area = -area
		}
		assert.InEpsilon(t, area, float64(text.Path.Area()), 1e-9, "%s %q", want.Font, want.Char)
		b := text.Bounds()
		got := [4]float64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y}
		for k := range got {
			// fontTools gives the bounds rounded outwards to whole units where a curve bulges.
			assert.InDelta(t, want.Bounds[k], got[k], 0.51, "%s %q side %d", want.Font, want.Char, k)
		}
		assert.Len(t, text.Path, want.Contours, "%s %q", want.Font, want.Char)
	}
}

func fontGID(id uint32) font.GID { return font.GID(id) }

// assertSamePath is assert.Equal without pages of coordinates.
func assertSamePath(t testing.TB, want, got outline.Path, message ...any) {
	t.Helper()
	assert.True(t, reflect.DeepEqual(want, got), message...)
}
