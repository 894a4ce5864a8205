package artwork_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/artwork"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
)

// plate is a plate of film, 200 by 100 mm, with a straight slot of 160 by 20 mm
// in it and one of 100 by 10 mm above it, in SVG's y down.
const plate = `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="150mm" viewBox="0 0 200 150">
<rect x="0" y="50" width="200" height="100" fill="#000"/>
<g class="slot" id="inside" data-mode="subtract"><path class="bottom" fill="none" d="M20 110H180"/><path class="top" fill="none" d="M20 90H180"/></g>
<g class="slot" id="above" data-mode="weld"><path class="bottom" fill="none" d="M50 51H150"/><path class="top" fill="none" d="M50 41H150"/></g>
</svg>`

func read(t *testing.T, text string) *artwork.Design {
	t.Helper()
	d, err := artwork.Read(strings.NewReader(text), "plate")
	require.NoError(t, err)
	return d
}

func TestRead(t *testing.T) {
	d := read(t, plate)
	assert.Equal(t, "plate", d.Name)
	assert.InDelta(t, 20000, float64(d.Art.Area()), 1e-6)
	require.Len(t, d.Slots, 2)
	inside, err := d.Slot("inside")
	require.NoError(t, err)
	assert.Equal(t, artwork.Subtract, inside.Mode)
	assert.Equal(t, outline.Pt(20, 40), inside.Bottom.Start, "y runs up from the page's lower left corner")
	assert.Equal(t, outline.Pt(180, 60), inside.Top.End())
	_, err = d.Slot("nowhere")
	assert.ErrorIs(t, err, artwork.ErrUnknownSlot)
	assert.ErrorContains(t, err, "inside, above")
}

func TestReadErrors(t *testing.T) {
	for name, test := range map[string]struct {
		old, new string
		cause    error
	}{
		"no art":       {`fill="#000"`, `fill="none"`, artwork.ErrNoArt},
		"no name":      {` id="inside"`, ``, artwork.ErrNoName},
		"unknown mode": {`"subtract"`, `"etch"`, artwork.ErrInvalid},
		"no top":       {`<path class="top" fill="none" d="M20 90H180"/>`, ``, artwork.ErrNoEdge},
		"no class":     {`class="top" fill="none" d="M20 90H180"`, `fill="none" d="M20 90H180"`, artwork.ErrInvalid},
		"two runs":     {`M20 90H180`, `M20 90H80M90 90H180`, artwork.ErrInvalid},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, plate, test.old)
			_, err := artwork.Read(strings.NewReader(strings.Replace(plate, test.old, test.new, 1)), "plate")
			require.ErrorIs(t, err, test.cause)
			var e *artwork.DesignError
			require.ErrorAs(t, err, &e)
			assert.NotEmpty(t, e.Fix)
		})
	}
	_, err := artwork.Read(strings.NewReader("<svg"), "broken")
	assert.Error(t, err)
}

// A word that fits fills the slot's height; its area is what the letters' is.
func TestFillsTheSlot(t *testing.T) {
	d := read(t, plate)
	f, err := d.Fill(map[string]string{"inside": "OXO"}, artwork.Options{SpreadTo: 1})
	require.NoError(t, err)
	require.Len(t, f.Words, 1)
	assert.InDelta(t, 20, float64(f.Words[0].CapHeight), 1e-6)
	assert.Equal(t, 1.0, f.Words[0].Condensed)
	text, err := lettering.Set("OXO", lettering.Options{Height: 20})
	require.NoError(t, err)
	assert.InDelta(t, 20000-float64(text.Path.Area()), float64(f.Path.Area()), 0.5)
	assert.Equal(t, d.Art.Bounds(), f.Path.Bounds())
	// The letters stand in the middle: the plate is cut out alike on both sides.
	mirrored := f.Path.Transform(outline.MirrorX()).Transform(outline.Translate(outline.Pt(200, 0)))
	rest, err := outline.SymmetricDifference([]outline.Path{f.Path, mirrored}, outline.BooleanOptions{})
	require.NoError(t, err)
	assert.Less(t, float64(rest.Area()), 0.1*float64(text.Path.Area()), "OXO is nearly its own mirror image")
}

// Long words are condensed to the limit, then set smaller, then refused.
func TestLongWords(t *testing.T) {
	d := read(t, plate)
	natural := func(words string) float64 {
		text, err := lettering.Set(words, lettering.Options{Height: 20})
		require.NoError(t, err)
		return text.Path.Bounds().Width()
	}
	for _, words := range []string{"MARLOW CREEK", "MARLOW CREEK SCIENCE FAIR"} {
		f, err := d.Fill(map[string]string{"inside": words}, artwork.Options{})
		require.NoError(t, err)
		w, got := natural(words), f.Words[0]
		assert.InDelta(t, math.Max(0.7, 160/w), got.Condensed, 1e-9)
		assert.InDelta(t, math.Min(20, 20*160/(0.7*w)), float64(got.CapHeight), 1e-6)
		assert.GreaterOrEqual(t, f.Path.Bounds().Min.X, 0.0)
	}
	_, err := d.Fill(map[string]string{"inside": "MARLOW CREEK SCIENCE FAIR"}, artwork.Options{LeastHeight: 15})
	var fit *artwork.FitError
	require.ErrorAs(t, err, &fit)
	assert.Equal(t, "MARLOW CREEK SCIENCE FAIR", fit.Words)
	assert.Equal(t, "inside", fit.Slot)
	assert.Less(t, fit.Height, fit.Least)
	_, err = d.Fill(map[string]string{"inside": "MARLOW CREEK"}, artwork.Options{CondenseTo: 1})
	require.NoError(t, err)
}

func TestShortWordsAreSpread(t *testing.T) {
	d := read(t, plate)
	f, err := d.Fill(map[string]string{"inside": "OAK"}, artwork.Options{})
	require.NoError(t, err)
	assert.InDelta(t, 1.15, f.Words[0].Spread, 1e-9)
	f, err = d.Fill(map[string]string{"inside": "I"}, artwork.Options{})
	require.NoError(t, err)
	assert.Equal(t, 1.0, f.Words[0].Spread, "a single letter has nothing between letters")
}

func TestOneCapHeight(t *testing.T) {
	d := read(t, plate)
	f, err := d.Fill(map[string]string{"inside": "OAK", "above": "ASH"}, artwork.Options{CapHeight: 8})
	require.NoError(t, err)
	require.Len(t, f.Words, 2)
	for _, w := range f.Words {
		assert.InDelta(t, 8, float64(w.CapHeight), 1e-9)
	}
}

// Letters of film that stand on the art become one piece with it; where they
// come from is known.
func TestWeldedLettersAreOnePiece(t *testing.T) {
	d := read(t, plate)
	f, err := d.Fill(map[string]string{"above": "HALL"}, artwork.Options{})
	require.NoError(t, err)
	outer := 0
	for _, c := range f.Path {
		if c.Area() > 0 {
			outer++
		}
	}
	assert.Equal(t, 1, outer)
	assert.InDelta(t, 110, f.Path.Bounds().Max.Y-f.Path.Bounds().Min.Y-0, 1, "10 mm letters, 1 mm in the plate")
	seen := map[string]bool{}
	for _, c := range f.Path {
		for _, s := range c.Segments {
			seen[f.Describe(s.Origin)] = true
		}
	}
	assert.True(t, seen["the art"], "%v", seen)
	letters := 0
	for what := range seen {
		if strings.Contains(what, "HALL") {
			letters++
		}
	}
	assert.GreaterOrEqual(t, letters, 3, "H, A and L: %v", seen)
	assert.Empty(t, f.Describe(-1))
}

func TestFillErrors(t *testing.T) {
	d := read(t, plate)
	_, err := d.Fill(map[string]string{"nowhere": "X"}, artwork.Options{})
	assert.ErrorIs(t, err, artwork.ErrUnknownSlot)
	_, err = d.Fill(map[string]string{"inside": "漢"}, artwork.Options{})
	var missing *lettering.MissingGlyphError
	assert.ErrorAs(t, err, &missing)
	for words, cause := range map[string]error{strings.Repeat("É", artwork.MaxCharacters+1): artwork.ErrTooLong, strings.Repeat("I", artwork.MaxCharacters): nil} {
		_, err = d.Fill(map[string]string{"inside": words}, artwork.Options{})
		assert.ErrorIs(t, err, cause)
	}
	for _, bad := range []artwork.Options{{CapHeight: -1}, {CondenseTo: 2}, {CondenseTo: math.NaN()}, {SpreadTo: 0.5}} {
		_, err = d.Fill(nil, bad)
		assert.ErrorIs(t, err, artwork.ErrInvalid, bad)
	}
	f, err := d.Fill(nil, artwork.Options{})
	require.NoError(t, err)
	assert.InDelta(t, float64(d.Art.Area()), float64(f.Path.Area()), 1e-9, "no words change nothing")
}

func FuzzFill(f *testing.F) {
	for _, s := range []string{"MARLOW", "a", "Ångström", " x ", "W.W", "AVAVAV", "\u200d"} {
		f.Add(s)
	}
	d, err := artwork.Read(strings.NewReader(plate), "plate")
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, words string) {
		if len(words) > 60 {
			return
		}
		filled, err := d.Fill(map[string]string{"inside": words, "above": words}, artwork.Options{})
		if err != nil {
			return
		}
		require.NoError(t, filled.Path.Check())
		require.False(t, math.IsNaN(float64(filled.Path.Area())))
	})
}

// Accents and descenders that are cut out may reach out of their slot where the
// art has room for them, and else stay in it; welded letters stand on its
// bottom edge.
func TestAccentsStayInTheArt(t *testing.T) {
	wide := read(t, plate)
	low := read(t, strings.Replace(plate, `y="50" width="200" height="100"`, `y="86" width="200" height="28"`, 1)) // 4 mm past the slot
	holes := func(f *artwork.Filled) outline.Box {
		b := outline.EmptyBox()
		for _, c := range f.Path {
			if c.Bounds().Width() < 150 { // the plate is wider
				b = b.Union(c.Bounds())
			}
		}
		return b
	}
	for words, fits := range map[string]bool{"ANNA": true, "JULIE": false, "Ågé": false, "ÉÈ": false, "gyp": false, "Boris": true, "Q,": false} {
		f, err := wide.Fill(map[string]string{"inside": words}, artwork.Options{})
		require.NoError(t, err)
		assert.InDelta(t, 20, float64(f.Words[0].CapHeight), 1e-6, words)

		f, err = low.Fill(map[string]string{"inside": words}, artwork.Options{})
		require.NoError(t, err)
		require.Greater(t, len(f.Path), 1)
		b := holes(f)
		if fits {
			assert.InDelta(t, 20, float64(f.Words[0].CapHeight), 1e-6, words)
			assert.GreaterOrEqual(t, b.Min.Y, 36+2-0.01, words)
			assert.LessOrEqual(t, b.Max.Y, 64-2+0.01, words)
			continue
		}
		assert.Less(t, float64(f.Words[0].CapHeight), 18.5, words)
		assert.GreaterOrEqual(t, b.Min.Y, 40-0.8, words) // round letters overshoot
		assert.LessOrEqual(t, b.Max.Y, 60+0.8, words)
	}
	f, err := low.Fill(map[string]string{"above": "ÉÉ"}, artwork.Options{})
	require.NoError(t, err)
	assert.InDelta(t, 10, float64(f.Words[0].CapHeight), 1e-6)
}
