package lettering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// A slant is a shear about each baseline: areas and heights stay, the stem of
// an I leans by the tangent.
func TestSlant(t *testing.T) {
	plain := mustSet(t, "I\nI", Options{Height: 30})
	slanted := mustSet(t, "I\nI", Options{Height: 30, Slant: 12 * units.Degree})
	assert.InEpsilon(t, float64(plain.Path.Area()), float64(slanted.Path.Area()), 1e-12)
	for i := range 2 {
		a, b := plain.Glyphs[i].Box, slanted.Glyphs[i].Box
		assert.InDelta(t, a.Min.X, b.Min.X, 1e-9, "the foot stays")
		assert.InDelta(t, a.Max.X+30*math.Tan(12*math.Pi/180), b.Max.X, 1e-9)
		assert.InDelta(t, a.Height(), b.Height(), 1e-9)
	}
}

func TestWidth(t *testing.T) {
	const text = "MARLOW CREEK\nFAIR"
	plain := mustSet(t, text, Options{Height: 30})
	natural := plain.Bounds().Width()
	for _, width := range []float64{100, 180, natural, 400} {
		for _, slant := range []units.Angle{0, 10 * units.Degree} {
			got := mustSet(t, text, Options{Height: 30, Width: units.Length(width), Slant: slant})
			assert.InDelta(t, width, got.Bounds().Width(), fitTolerance)
			assert.InDelta(t, plain.Bounds().Height(), got.Bounds().Height(), 1e-9, "the height stays")
			if slant == 0 {
				k := width / natural
				assert.InEpsilon(t, float64(plain.Advance)*k, float64(got.Advance), 1e-5)
				assert.InEpsilon(t, plain.Glyphs[5].Pen.X*k, got.Glyphs[5].Pen.X, 1e-5)
			}
		}
	}
	narrow := mustSet(t, text, Options{Height: 30, MaxWidth: 100})
	assert.InDelta(t, 100, narrow.Bounds().Width(), fitTolerance)
	wide := mustSet(t, text, Options{Height: 30, MaxWidth: 400})
	assertSamePath(t, plain.Path, wide.Path, "text that fits is not condensed")
}

// A square grown by d is wider by 2d; its area grows by its perimeter times d
// and a round corner's circle (Steiner's formula). The | of Go Bold is a
// rectangle.
func TestHeavier(t *testing.T) {
	plain := mustSet(t, "|", Options{Height: 30})
	require.Len(t, plain.Path, 1)
	w, h := plain.Bounds().Width(), plain.Bounds().Height()
	require.InDelta(t, w*h, float64(plain.Path.Area()), 1e-9, "a rectangle")
	for _, d := range []float64{0.5, 1, 2} {
		round := mustSet(t, "|", Options{Height: 30, Heavier: units.Length(d)})
		assert.InDelta(t, w+2*d, round.Bounds().Width(), 0.01)
		assert.InDelta(t, h+2*d, round.Bounds().Height(), 0.01)
		assert.InEpsilon(t, w*h+2*(w+h)*d+math.Pi*d*d, float64(round.Path.Area()), 1e-3)
		mitred := mustSet(t, "|", Options{Height: 30, Heavier: units.Length(d), Corner: outline.CornerMitre})
		assert.InEpsilon(t, (w+2*d)*(h+2*d), float64(mitred.Path.Area()), 1e-6)
	}
	light := mustSet(t, "|", Options{Height: 30, Heavier: -0.5})
	assert.InEpsilon(t, (w-1)*(h-1), float64(light.Path.Area()), 1e-6)

	_, err := Set("|", Options{Height: 30, Heavier: -units.Length(w)})
	assert.ErrorIs(t, err, ErrNoInk)
	_, err = Set("|", Options{Height: 30, Heavier: 5, Width: 8})
	assert.ErrorIs(t, err, ErrNoFit)
}

// Width and ink height are met by the letters as they will be cut.
func TestHeavierMeetsItsSize(t *testing.T) {
	for _, corner := range []outline.Corner{outline.CornerRound, outline.CornerMitre, outline.CornerBevel} {
		for _, heavier := range []units.Length{-0.4, 0.8} {
			got := mustSet(t, "WAVE 7", Options{Height: 25, HeightOf: InkHeight, Heavier: heavier, Corner: corner, Width: 140})
			assert.InDelta(t, 140, got.Bounds().Width(), fitTolerance, "%v %v", corner, heavier)
			assert.InDelta(t, 25, got.Bounds().Height(), fitTolerance, "%v %v", corner, heavier)
		}
	}
}

// Welded letters: overlapping ones become one piece, no film is lost, and the
// pieces still know their letters.
func TestWeld(t *testing.T) {
	opt := Options{Height: 30, Tracking: -4}
	apart := mustSet(t, "OTTER", opt)
	opt.Weld = true
	joined := mustSet(t, "OTTER", opt)
	outer := 0
	for _, c := range joined.Path {
		if c.Area() > 0 {
			outer++
		}
	}
	assert.Less(t, outer, 5)
	assert.Less(t, float64(joined.Path.Area()), float64(apart.Path.Area()))
	raw, welded := polygons(apart.Path), polygons(joined.Path)
	b := apart.Bounds()
	for i := range 80 {
		for j := range 40 {
			p := outline.Pt(b.Min.X+b.Width()*(float64(i)+0.37)/80, b.Min.Y+b.Height()*(float64(j)+0.41)/40)
			assert.Equal(t, min(winding(raw, p), 1), winding(welded, p), "%v", p)
		}
	}
	again, err := outline.Weld([]outline.Path{joined.Path}, outline.BooleanOptions{})
	require.NoError(t, err)
	assert.InDelta(t, float64(joined.Path.Area()), float64(again.Area()), 0.05)

	// Letters that do not touch are not changed by a weld.
	opt = Options{Height: 30}
	a := mustSet(t, "MARLOW", opt)
	opt.Weld = true
	b2 := mustSet(t, "MARLOW", opt)
	assert.InEpsilon(t, float64(a.Path.Area()), float64(b2.Path.Area()), 1e-4)
	assert.Len(t, b2.Path, len(a.Path))
}
