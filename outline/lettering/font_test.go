package lettering

import (
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/go-fonts/liberation/liberationsansregular"
	"github.com/go-text/typesetting-utils/opentype"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

func TestFontSources(t *testing.T) {
	want, err := Set("MARLOW", Options{Height: 50})
	require.NoError(t, err)

	fromBytes, err := ParseFont(gobold.TTF, FontOptions{})
	require.NoError(t, err)
	assert.Equal(t, "Go", fromBytes.Name(), "the family of the font's name table")

	fsys := fstest.MapFS{"fonts/bold.ttf": {Data: gobold.TTF}}
	fromFS, err := OpenFont(fsys, "fonts/bold.ttf", FontOptions{})
	require.NoError(t, err)
	assert.Equal(t, "fonts/bold.ttf", fromFS.Name())

	name := filepath.Join(t.TempDir(), "bold.ttf")
	require.NoError(t, os.WriteFile(name, gobold.TTF, 0o600))
	fromFile, err := OpenFontFile(name, FontOptions{Name: "shop bold"})
	require.NoError(t, err)
	assert.Equal(t, "shop bold", fromFile.Name())

	for _, f := range []*Font{fromBytes, fromFS, fromFile} {
		got, err := Set("MARLOW", Options{Fonts: []*Font{f}, Height: 50})
		require.NoError(t, err)
		assertSamePath(t, want.Path, got.Path)
	}
}

func TestFontErrors(t *testing.T) {
	ttc, err := opentype.Files.ReadFile("toys/3cmaps.ttc")
	require.NoError(t, err)
	dfont, err := opentype.Files.ReadFile("collections/Gacha_9.dfont")
	require.NoError(t, err)
	for _, c := range []struct {
		name string
		open func() (*Font, error)
		want error
	}{
		{"empty", func() (*Font, error) { return ParseFont(nil, FontOptions{}) }, ErrBadFont},
		{"not a font", func() (*Font, error) { return ParseFont([]byte("%PDF-1.7 something else entirely"), FontOptions{}) }, ErrBadFont},
		{"cut off", func() (*Font, error) { return ParseFont(gobold.TTF[:200], FontOptions{}) }, ErrBadFont},
		{"index", func() (*Font, error) { return ParseFont(gobold.TTF, FontOptions{Index: 1}) }, ErrNoSuchFont},
		{"negative index", func() (*Font, error) { return ParseFont(gobold.TTF, FontOptions{Index: -1}) }, ErrNoSuchFont},
		{"collection index", func() (*Font, error) { return ParseFont(ttc, FontOptions{Index: 99}) }, ErrNoSuchFont},
		{"resource file", func() (*Font, error) { return ParseFont(dfont, FontOptions{}) }, ErrBadFont},
		{"no axis", func() (*Font, error) {
			return ParseFont(gobold.TTF, FontOptions{Axes: map[string]float64{"wght": 700}})
		}, ErrNoSuchAxis},
		{"no file", func() (*Font, error) { return OpenFontFile("testdata/no such file.ttf", FontOptions{}) }, fs.ErrNotExist},
		{"no file in fs", func() (*Font, error) { return OpenFont(fstest.MapFS{}, "x.ttf", FontOptions{}) }, fs.ErrNotExist},
		{"directory", func() (*Font, error) { return OpenFontFile(t.TempDir(), FontOptions{}) }, nil},
	} {
		_, err := c.open()
		var fe *FontError
		require.ErrorAs(t, err, &fe, c.name)
		if c.want != nil {
			assert.ErrorIs(t, err, c.want, c.name)
		}
		assert.NotEmpty(t, fe.Fix, c.name)
	}
}

// msgothic.ttc holds MS Gothic, MS PGothic and MS UI Gothic, which differ in
// their metrics.
func TestCollections(t *testing.T) {
	if testing.Short() {
		t.Skip("reads 9 MB")
	}
	data, err := opentype.Files.ReadFile("collections/msgothic.ttc")
	require.NoError(t, err)
	names := []string{"MS Gothic", "MS PGothic", "MS UI Gothic"}
	var widths []units.Length
	for i, want := range names {
		f, err := ParseFont(data, FontOptions{Index: i})
		require.NoError(t, err)
		assert.Equal(t, want, f.Name())
		text, err := Set("will", Options{Fonts: []*Font{f}, Height: 20, HeightOf: EmHeight})
		require.NoError(t, err)
		widths = append(widths, text.Advance)
	}
	assert.InDelta(t, 40, float64(widths[0]), 1e-9, "MS Gothic's Latin is half an em wide")
	assert.Less(t, widths[1], widths[0], "MS PGothic is proportional")
}

// The stem of the l of Mada, a variable TrueType font, grows with the weight,
// and every instance between two masters lies between them.
func TestVariableFont(t *testing.T) {
	data, err := opentype.Files.ReadFile("common/Mada-VF.ttf")
	require.NoError(t, err)
	var before float64
	for _, weight := range []float64{200, 400, 650, 900} {
		f, err := ParseFont(data, FontOptions{Axes: map[string]float64{"wght": weight}})
		require.NoError(t, err)
		text, err := Set("l", Options{Fonts: []*Font{f}, Height: 1000, HeightOf: EmHeight})
		require.NoError(t, err)
		area := float64(text.Path.Area())
		assert.Greater(t, area, before*1.1, "weight %v", weight)
		before = area
	}
	plain, err := ParseFont(data, FontOptions{})
	require.NoError(t, err)
	axes := plain.Axes()
	require.Len(t, axes, 1)
	assert.Equal(t, Axis{Tag: "wght", Min: 100, Default: 520, Max: 1000, Value: 520}, axes[0])
	stated, err := ParseFont(data, FontOptions{Axes: map[string]float64{"wght": 520}})
	require.NoError(t, err)
	a, err := Set("Mada", Options{Fonts: []*Font{plain}, Height: 20})
	require.NoError(t, err)
	b, err := Set("Mada", Options{Fonts: []*Font{stated}, Height: 20})
	require.NoError(t, err)
	assertSamePath(t, a.Path, b.Path, "520 is the font's default weight")

	_, err = ParseFont(data, FontOptions{Axes: map[string]float64{"wght": 1001}})
	var oe *OptionError
	require.ErrorAs(t, err, &oe)
	assert.Equal(t, "Axes[wght]", oe.Option)
	_, err = ParseFont(data, FontOptions{Axes: map[string]float64{"wdth": 100}})
	assert.ErrorIs(t, err, ErrNoSuchAxis)
	assert.ErrorContains(t, err, "wght 100 to 1000")
}

// A variable font with CFF2 outlines, from go-text's collection of small test
// fonts: an axis changes the drawing and not the number of its nodes.
func TestVariableCFF2(t *testing.T) {
	data, err := opentype.Files.ReadFile("toys/CFF2-VF.otf")
	require.NoError(t, err)
	plain, err := ParseFont(data, FontOptions{})
	require.NoError(t, err)
	axes := plain.Axes()
	require.NotEmpty(t, axes)
	far, err := ParseFont(data, FontOptions{Axes: map[string]float64{axes[0].Tag: axes[0].Max}})
	require.NoError(t, err)
	opt := Options{Height: 1000, HeightOf: EmHeight}
	opt.Fonts = []*Font{plain}
	a := mustSet(t, "T", opt)
	opt.Fonts = []*Font{far}
	b := mustSet(t, "T", opt)
	assert.NotEmpty(t, a.Path)
	assert.Equal(t, a.Path.Nodes(), b.Path.Nodes())
	assert.NotEqual(t, a.Path.Area(), b.Path.Area())
}

// Overlapping contours inside a letter are welded: variable fonts draw them so.
func TestOverlapInsideGlyphIsWelded(t *testing.T) {
	data, err := opentype.Files.ReadFile("common/Commissioner-VF.ttf")
	require.NoError(t, err)
	f, err := ParseFont(data, FontOptions{Axes: map[string]float64{"wght": 600}})
	require.NoError(t, err)
	face := f.newFace()
	welded := 0
	for _, r := range "ABDEFHKNPQRTWXYabdeghnpqtu&@" {
		id, ok := face.NominalGlyph(r)
		require.True(t, ok)
		drawn, ok := face.GlyphDataOutline(id)
		require.True(t, ok)
		raw := contours(drawn.Segments)
		g := f.outline(face, id)
		require.NoError(t, g.err)
		// The judge: winding numbers on a grid, by the slow obvious way. The weld
		// has the same inside, once, and nothing else was welded.
		twice := 0
		raws, welds := polygons(raw), polygons(g.path)
		b := raw.Bounds()
		for i := range 45 {
			for j := range 45 {
				p := outline.Pt(b.Min.X+b.Width()*(float64(i)+0.37)/45, b.Min.Y+b.Height()*(float64(j)+0.41)/45)
				w := winding(raws, p)
				if w > 1 {
					twice++
				}
				if got := winding(welds, p); got != min(w, 1) {
					t.Errorf("%c at %v: %d times around it, want %d", r, p, got, min(w, 1))
				}
			}
		}
		changed := !reflect.DeepEqual(raw, g.path)
		if changed {
			welded++
		} else {
			assert.Zero(t, twice, "%c", r)
		}
	}
	assert.Positive(t, welded, "the font draws some letters with overlapping contours")
	// The Go fonts draw without overlaps: every letter is as it was drawn.
	face = Default().newFace()
	for r := rune('!'); r < 0x17f; r++ {
		id, ok := face.NominalGlyph(r)
		if !ok {
			continue
		}
		drawn, _ := face.GlyphDataOutline(id)
		assertSamePath(t, contours(drawn.Segments), Default().outline(face, id).path, "%c", r)
	}
}

func TestMetrics(t *testing.T) {
	// The H of Go Bold is 1480 of 2048 units high, by fontTools' boxes in
	// testdata/text.json too, where A and B end at 1480.
	m := Default().Metrics(2048)
	assert.InDelta(t, 1480, float64(m.CapHeight), 1e-9)
	assert.InDelta(t, 2048, float64(m.Em), 1e-9)
	assert.Positive(t, m.Ascent)
	assert.Negative(t, m.Descent)
	assert.GreaterOrEqual(t, float64(m.LineDistance), float64(m.Ascent-m.Descent))
	em, err := Default().EmFor(2*units.Inch, CapHeight)
	require.NoError(t, err)
	assert.InDelta(t, 50.8*2048/1480, float64(em), 1e-9)
	_, err = Default().EmFor(10, InkHeight)
	assert.ErrorIs(t, err, ErrInvalidOption)
}

// A font that is shared shapes the same in every goroutine.
func TestEmForErrors(t *testing.T) {
	var option *OptionError
	_, err := Default().EmFor(20, InkHeight)
	assert.ErrorAs(t, err, &option)
	_, err = Default().EmFor(units.Length(math.NaN()), CapHeight)
	assert.ErrorAs(t, err, &option)
}

func TestConcurrentUse(t *testing.T) {
	f, err := ParseFont(liberationsansregular.TTF, FontOptions{})
	require.NoError(t, err)
	texts := []string{"Marlow Creek", "Science Fair", "AVATAR", "office"}
	want := make([]Text, len(texts))
	for i, s := range texts {
		g, err := ParseFont(liberationsansregular.TTF, FontOptions{})
		require.NoError(t, err)
		want[i], err = Set(s, Options{Fonts: []*Font{g}, Height: 25})
		require.NoError(t, err)
	}
	var wg sync.WaitGroup
	for k := range 8 {
		wg.Go(func() {
			for i := range 40 {
				n := (i + k) % len(texts)
				got, err := Set(texts[n], Options{Fonts: []*Font{f}, Height: 25, NoKerning: i%5 == 4})
				if assert.NoError(t, err) && i%5 != 4 {
					assertSamePath(t, want[n].Path, got.Path)
				}
			}
		})
	}
	wg.Wait()
}

func TestCachesAreBounded(t *testing.T) {
	f, err := ParseFont(gobold.TTF, FontOptions{})
	require.NoError(t, err)
	for i := range 3 * maxCachedTexts {
		_, err := Set(string(rune('A'+i%26))+units.Length(i).String(), Options{Fonts: []*Font{f}, Height: 10})
		require.NoError(t, err)
	}
	assert.Equal(t, maxCachedTexts, f.texts.recent.Len())
	assert.Len(t, f.texts.byKey, maxCachedTexts)
	assert.LessOrEqual(t, f.cached.Load(), int32(maxCachedOutlines))
}

func polygons(p outline.Path) (rings [][]outline.Point) {
	for _, c := range p {
		rings = append(rings, c.Curve().Flatten(nil, 0.01))
	}
	return rings
}

// winding counts how often the rings turn around p counter-clockwise.
func winding(rings [][]outline.Point, p outline.Point) (n int) {
	for _, ring := range rings {
		for i, b := range ring {
			a := ring[(i+len(ring)-1)%len(ring)]
			if (a.Y <= p.Y) != (b.Y <= p.Y) && (b.Sub(a).Cross(p.Sub(a)) > 0) == (b.Y > a.Y) {
				if b.Y > a.Y {
					n++
				} else {
					n--
				}
			}
		}
	}
	return n
}
