package lettering

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

func mustSet(t testing.TB, text string, opt Options) Text {
	t.Helper()
	got, err := Set(text, opt)
	require.NoError(t, err)
	require.NoError(t, got.Path.Check())
	return got
}

// "2 inch letters" are letters whose H is two inches high.
func TestHeightMeanings(t *testing.T) {
	const height = 2 * units.Inch
	h := mustSet(t, "H", Options{Height: height}).Bounds()
	assert.InDelta(t, 50.8, h.Height(), 1e-9)
	assert.InDelta(t, 0, h.Min.Y, 1e-9)
	x := mustSet(t, "x", Options{Height: height, HeightOf: XHeight}).Bounds()
	assert.InDelta(t, 50.8, x.Height(), 1e-9)
	em := mustSet(t, "H", Options{Height: height, HeightOf: EmHeight})
	assert.InDelta(t, 50.8, float64(em.Metrics.Em), 1e-9)
	assert.InDelta(t, 50.8*1480/2048, em.Bounds().Height(), 1e-9)
	ink := mustSet(t, "gÅ\nx", Options{Height: height, HeightOf: InkHeight})
	tallest := ink.Glyphs[0].Box.Union(ink.Glyphs[1].Box)
	assert.InDelta(t, 50.8, tallest.Height(), 1e-9)
	assert.Less(t, float64(ink.Metrics.CapHeight), 50.8)
}

// A size is a size: twice the height gives twice every coordinate, and
// heights with fractions are not rounded by the shaper.
func TestScalesExactly(t *testing.T) {
	a := mustSet(t, "Wave 3", Options{Height: 12.3456789})
	b := mustSet(t, "Wave 3", Options{Height: 2 * 12.3456789})
	twice := a.Transform(outline.Scale(2, 2))
	require.Len(t, b.Path, len(a.Path))
	for i := range b.Path {
		for j, s := range b.Path[i].Segments {
			assert.InDelta(t, 0, s.End.Distance(twice.Path[i].Segments[j].End), 1e-10)
		}
	}
}

func TestKerningAndLigaturesCanBeSwitchedOff(t *testing.T) {
	f := testFont(t, "typesetting-utils common/Raleway-v4020-Regular.otf")
	opt := Options{Fonts: []*Font{f}, Height: 1000, HeightOf: EmHeight}
	kerned := mustSet(t, "AVA To", opt)
	opt.NoKerning = true
	plain := mustSet(t, "AVA To", opt)
	assert.Less(t, float64(kerned.Advance), float64(plain.Advance)-50)
	// HarfBuzz without kern: the sum of the fonts' own advances.
	sum := 0.0
	for _, g := range plain.Glyphs {
		sum += float64(f.newFace().HorizontalAdvance(fontGID(g.ID)))
	}
	assert.InDelta(t, sum, float64(plain.Advance), 1e-6)

	opt = Options{Fonts: []*Font{f}, Height: 20}
	joined := mustSet(t, "office", opt)
	require.Len(t, joined.Glyphs, 4)
	assert.Equal(t, "ffi", joined.Glyphs[1].Text)
	opt.NoLigatures = true
	assert.Len(t, mustSet(t, "office", opt).Glyphs, 6)
	opt = Options{Fonts: []*Font{f}, Height: 20, Tracking: 1}
	assert.Len(t, mustSet(t, "office", opt).Glyphs, 6, "tracked letters make no ligatures")
}

func TestTrackingAndWordSpacing(t *testing.T) {
	plain := mustSet(t, "BIG SUR", Options{Height: 30})
	tracked := mustSet(t, "BIG SUR", Options{Height: 30, Tracking: 2.5})
	assert.InDelta(t, float64(plain.Advance)+6*2.5, float64(tracked.Advance), 1e-9, "after every letter but the last")
	spaced := mustSet(t, "BIG SUR", Options{Height: 30, WordSpacing: -1.5})
	assert.InDelta(t, float64(plain.Advance)-1.5, float64(spaced.Advance), 1e-9)
	assert.InDelta(t, plain.Glyphs[3].Pen.X, spaced.Glyphs[3].Pen.X, 1e-9)
	assert.InDelta(t, plain.Glyphs[4].Pen.X-1.5, spaced.Glyphs[4].Pen.X, 1e-9)

	// Tracking follows a letter and its marks, not each of them.
	f := testFont(t, "typesetting-utils common/DejaVuSans.ttf")
	opt := Options{Fonts: []*Font{f}, Height: 30}
	marks := "x\u0323\u0301y" // no composed form exists
	loose := opt
	loose.Tracking = 4
	a, b := mustSet(t, marks, opt), mustSet(t, marks, loose)
	assert.InDelta(t, float64(a.Advance)+4, float64(b.Advance), 1e-9)
	for i, g := range b.Glyphs[:len(b.Glyphs)-1] {
		assert.Equal(t, "x\u0323\u0301", g.Text)
		assert.InDelta(t, a.Glyphs[i].Box.Min.X, g.Box.Min.X, 1e-9, "marks stay on their letter")
	}
}

func TestLines(t *testing.T) {
	opt := Options{Height: 20, Leading: 35}
	text := mustSet(t, "MARLOW CREEK\nFAIR\r\n\nII  ", opt)
	require.Len(t, text.Lines, 4)
	assert.Equal(t, []string{"MARLOW", "CREEK", "FAIR", "II"}, text.Words)
	for i, l := range text.Lines {
		assert.InDelta(t, -35*float64(i), l.Start.Y, 1e-9)
		assert.InDelta(t, 0, l.Start.X, 1e-9)
	}
	assert.Equal(t, []int{0, 13, 19, 20}, []int{text.Lines[0].Offset, text.Lines[1].Offset, text.Lines[2].Offset, text.Lines[3].Offset})
	assert.Equal(t, text.Lines[0].Advance, text.Advance)
	assert.InDelta(t, float64(mustSet(t, "II", opt).Advance), float64(text.Lines[3].Advance), 1e-9, "white space at the end takes no room")

	opt.Align = AlignCentre
	for _, l := range mustSet(t, "MARLOW CREEK\nFAIR", opt).Lines {
		assert.InDelta(t, float64(text.Advance)/2, l.Start.X+float64(l.Advance)/2, 1e-9)
	}
	opt.Align = AlignRight
	for _, l := range mustSet(t, "MARLOW CREEK\nFAIR", opt).Lines {
		assert.InDelta(t, float64(text.Advance), l.Start.X+float64(l.Advance), 1e-9)
	}
	opt.Leading = 0
	assert.InDelta(t, -float64(text.Metrics.LineDistance), mustSet(t, "a\nb", opt).Lines[1].Start.Y, 1e-9)
}

func TestRightToLeft(t *testing.T) {
	arabic := testFont(t, "typesetting-utils common/NotoSansArabic.ttf")
	opt := Options{Fonts: []*Font{arabic, Default()}, Height: 20}
	text := mustSet(t, "مدرسة النهر", opt)
	assert.True(t, text.Lines[0].RightToLeft)
	first := text.Glyphs[len(text.Glyphs)-1]
	assert.Equal(t, 0, first.Offset, "the first letter stands at the right end")
	assert.Equal(t, 0, first.Word)
	assert.Equal(t, 1, text.Glyphs[0].Word)
	// Joined letters stay joined whatever the tracking.
	loose := opt
	loose.Tracking = 5
	tracked := mustSet(t, "مدرسة النهر", loose)
	assert.InDelta(t, float64(text.Advance)+5, float64(tracked.Advance), 1e-9, "only the space is tracked")

	// Mixed text, worked out by hand from UAX 9: in a line from left to right
	// the Arabic words stand in reverse order between the Latin ones, and the
	// number inside them reads from left to right.
	read := func(text Text) string {
		var s strings.Builder
		for _, g := range text.Glyphs {
			s.WriteString(g.Text)
		}
		return s.String()
	}
	mixed := mustSet(t, "Go مدر 26 كم now", opt)
	assert.False(t, mixed.Lines[0].RightToLeft)
	assert.Equal(t, "Go مك 26 ردم now", read(mixed))
	opt.Direction = RightToLeft
	assert.Equal(t, "now مك 26 ردم Go", read(mustSet(t, "Go مدر 26 كم now", opt)))

	// A line from right to left starts at the right, a later one too.
	opt.Direction = DirectionAuto
	two := mustSet(t, "مدرسة النهر\nنهر", opt)
	assert.InDelta(t, float64(two.Advance), two.Lines[1].Start.X+float64(two.Lines[1].Advance), 1e-9)
	opt.Align = AlignLeft
	assert.InDelta(t, 0, mustSet(t, "مدرسة النهر\nنهر", opt).Lines[1].Start.X, 1e-9)
}

// é as one character and as e with a mark is the same letter where the font
// has it; where it has not, the mark stands above its letter.
func TestCombiningMarks(t *testing.T) {
	composed, decomposed := mustSet(t, "Béla", Options{Height: 20}), mustSet(t, "Be\u0301la", Options{Height: 20})
	assertSamePath(t, composed.Path, decomposed.Path)
	assert.Equal(t, "e\u0301", decomposed.Glyphs[1].Text)

	f := testFont(t, "typesetting-utils common/DejaVuSans.ttf")
	text := mustSet(t, "q\u0301", Options{Fonts: []*Font{f}, Height: 20})
	require.Len(t, text.Glyphs, 2)
	letter, mark := text.Glyphs[0].Box, text.Glyphs[1].Box
	assert.Greater(t, mark.Min.Y, letter.Max.Y-1e-9)
	assert.Greater(t, mark.Centre().X, letter.Min.X)
	assert.Less(t, mark.Centre().X, letter.Max.X)
}

func TestFallback(t *testing.T) {
	arabic := testFont(t, "typesetting-utils common/NotoSansArabic.ttf")
	raleway := testFont(t, "typesetting-utils common/Raleway-v4020-Regular.otf")
	text := mustSet(t, "Fair نهر 7", Options{Fonts: []*Font{raleway, arabic}, Height: 20})
	for _, g := range text.Glyphs {
		want := raleway
		if strings.ContainsAny(g.Text, "نهر") {
			want = arabic
		}
		if g.Text != " " {
			assert.Same(t, want, g.Font, g.Text)
		}
	}
	// Every font is brought to the height: capitals of a fallback font are
	// as high as the others.
	cap := mustSet(t, "H", Options{Fonts: []*Font{arabic, Default()}, Height: 20})
	assert.InDelta(t, 20, cap.Bounds().Height(), 1e-6)
}

func TestMissingCharacter(t *testing.T) {
	raleway := testFont(t, "typesetting-utils common/Raleway-v4020-Regular.otf")
	_, err := Set("Tea 茶", Options{Fonts: []*Font{Default(), raleway}, Height: 20})
	var missing *MissingGlyphError
	require.ErrorAs(t, err, &missing)
	assert.Equal(t, '茶', missing.Rune)
	assert.Equal(t, 4, missing.Offset)
	assert.Equal(t, []string{"Go Bold", "typesetting-utils common/Raleway-v4020-Regular.otf"}, missing.Fonts)
	assert.ErrorIs(t, err, ErrNoGlyph)
	assert.ErrorContains(t, err, `"茶" (U+8336) at byte 4`)

	// Of a letter and a mark, the one that is missing is named.
	_, err = Set("x\u20e3", Options{Height: 20})
	require.ErrorAs(t, err, &missing)
	assert.Equal(t, '\u20e3', missing.Rune)
	assert.Equal(t, 1, missing.Offset)
	_, err = Set("a\tb", Options{Height: 20})
	require.ErrorAs(t, err, &missing)
	assert.ErrorContains(t, err, "U+0009 at byte 1")

	// A font of pictures has nothing to cut.
	emoji, err := ParseFont(fontData(t, "typesetting-utils bitmap/NotoColorEmoji.ttf"), FontOptions{})
	require.NoError(t, err)
	_, err = Set("🚀", Options{Fonts: []*Font{emoji}, Height: 20, HeightOf: EmHeight})
	assert.ErrorIs(t, err, ErrNoOutline)
}

func TestTextErrors(t *testing.T) {
	var te *TextError
	_, err := Set("ab\xffc", Options{Height: 20})
	require.ErrorAs(t, err, &te)
	assert.ErrorIs(t, err, ErrNotUTF8)
	assert.Equal(t, 2, te.Offset)
	_, err = Set(strings.Repeat("x", MaxTextBytes+1), Options{Height: 20})
	assert.ErrorIs(t, err, ErrTooLarge)
	_, err = Set("\u200b", Options{Height: 20, HeightOf: InkHeight})
	assert.ErrorIs(t, err, ErrNoInk)
}

func TestOptionErrors(t *testing.T) {
	nan, inf := units.Length(math.NaN()), units.Length(math.Inf(1))
	for field, opt := range map[string]Options{
		"Height":      {},
		"Tracking":    {Height: 1, Tracking: nan},
		"WordSpacing": {Height: 1, WordSpacing: inf},
		"Leading":     {Height: 1, Leading: nan},
		"HeightOf":    {Height: 1, HeightOf: 9},
		"Align":       {Height: 1, Align: 9},
		"Direction":   {Height: 1, Direction: 9},
		"Fonts":       {Height: 1, Fonts: make([]*Font, MaxFonts+1)},
		"Fonts[0]":    {Height: 1, Fonts: []*Font{{}}},
		"Corner":      {Height: 1, Corner: 9},
		"Language":    {Height: 1, Language: strings.Repeat("x", 1000)},
		"Slant":       {Height: 1, Slant: 2},
		"Width":       {Height: 1, Width: -1},
		"MaxWidth":    {Height: 1, Width: 1, MaxWidth: 1},
		"Heavier":     {Height: 1, Heavier: inf},
		"Tolerance":   {Height: 1, Tolerance: -1},
	} {
		_, err := Set("A", opt)
		var oe *OptionError
		if assert.ErrorAs(t, err, &oe, field) {
			assert.Equal(t, field, oe.Option)
			assert.ErrorIs(t, err, ErrInvalidOption)
		}
	}
	for _, h := range []units.Length{-1, nan, inf, 2 * MaxLength} {
		_, err := Set("A", Options{Height: h})
		assert.ErrorIs(t, err, ErrInvalidOption)
	}
}

// What a caller does to a text does not show in the next one, though both were
// shaped once.
func TestTextsAreTheCallersOwn(t *testing.T) {
	opt := Options{Height: 20}
	before := mustSet(t, "MARLOW CREEK", opt)
	spoiled := mustSet(t, "MARLOW CREEK", opt)
	spoiled.Words[0] = "?"
	spoiled.Glyphs[0] = Glyph{}
	spoiled.Lines[0] = Line{}
	spoiled.Path[0].Segments[0].End = outline.Pt(1e9, 1e9)
	assert.Equal(t, before, mustSet(t, "MARLOW CREEK", opt))
}

func TestEmptyText(t *testing.T) {
	for _, s := range []string{"", " ", "\n", "  \n "} {
		for of := range InkHeight + 1 {
			text := mustSet(t, s, Options{Height: 20, HeightOf: of, Weld: true, Heavier: 1})
			assert.Empty(t, text.Path)
			assert.Empty(t, text.Words)
			assert.True(t, text.Bounds().IsEmpty())
		}
	}
}

// Outer contours run counter-clockwise and counters clockwise, whatever the
// font format, so that the area of the path is the film's area.
func TestDirectionOfContours(t *testing.T) {
	for _, name := range []string{"gofont/gobold", "typesetting-utils common/Raleway-v4020-Regular.otf"} {
		text := mustSet(t, "O", Options{Fonts: []*Font{testFont(t, name)}, Height: 20})
		require.Len(t, text.Path, 2)
		a, b := text.Path[0].Area(), text.Path[1].Area()
		assert.Negative(t, float64(a)*float64(b), name)
		assert.Positive(t, float64(a+b), name)
	}
}
