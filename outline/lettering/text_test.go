package lettering

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

func TestDescribe(t *testing.T) {
	text := mustSet(t, "MARLOW CREEK & 4H", Options{Height: 2 * units.Inch})
	want := []string{
		"the M in MARLOW", "the A in MARLOW", "the R in MARLOW", "the L in MARLOW", "the O in MARLOW", "the W in MARLOW", "a space",
		"the C in CREEK", "the R in CREEK", "the 1st E in CREEK", "the 2nd E in CREEK", "the K in CREEK", "a space",
		"the &", "a space", "the 4 in 4H", "the H in 4H",
	}
	for i, w := range want {
		assert.Equal(t, w, text.Describe(int32(i+1)))
	}
	for _, origin := range []int32{-1, 0, int32(len(want) + 1)} {
		assert.Equal(t, "an unknown letter", text.Describe(origin))
	}
	counters := map[string]int{}
	for _, c := range text.Path {
		counters[text.DescribeContour(c)]++
	}
	assert.Equal(t, 1, counters["the counter of the A in MARLOW"])
	assert.Equal(t, 1, counters["the A in MARLOW"])
	assert.Equal(t, 1, counters["the counter of the 4 in 4H"])
	assert.Zero(t, counters["the counter of the M in MARLOW"])
	assert.Equal(t, "an unknown letter", text.DescribeContour(outline.Polygon(outline.Pt(0, 0), outline.Pt(1, 0), outline.Pt(0, 1))))
	assert.Equal(t, []string{"1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "112th"},
		[]string{ordinal(1), ordinal(2), ordinal(3), ordinal(4), ordinal(11), ordinal(12), ordinal(13), ordinal(21), ordinal(112)})
}

// The same word twice is counted apart.
func TestDescribeCountsWithinTheWord(t *testing.T) {
	text := mustSet(t, "ADA ADA", Options{Height: 20})
	assert.Equal(t, "the 1st A in ADA", text.Describe(1))
	assert.Equal(t, "the 2nd A in ADA", text.Describe(7))
}

func TestBoxesAndTransform(t *testing.T) {
	text := mustSet(t, "Quick fox\njumps", Options{Height: 20})
	union := outline.EmptyBox()
	for i, g := range text.Glyphs {
		got := outline.EmptyBox()
		for _, c := range text.Path {
			if c.Segments[0].Origin == int32(i+1) {
				got = got.Union(c.Bounds())
			}
		}
		assert.Equal(t, got.IsEmpty(), g.Box.IsEmpty())
		if !got.IsEmpty() {
			assert.InDelta(t, 0, got.Min.Distance(g.Box.Min)+got.Max.Distance(g.Box.Max), 1e-9, g.Text)
		}
		union = union.Union(g.Box)
	}
	assert.InDelta(t, 0, union.Min.Distance(text.Bounds().Min)+union.Max.Distance(text.Bounds().Max), 1e-9)

	m := outline.Rotate(30 * units.Degree).Then(outline.Translate(outline.Pt(5, 7)))
	turned := text.Transform(m)
	assert.InDelta(t, 0, turned.Glyphs[3].Pen.Distance(m.Apply(text.Glyphs[3].Pen)), 1e-12)
	assert.InDelta(t, float64(text.Path.Area()), float64(turned.Path.Area()), 1e-9)
	union = outline.EmptyBox()
	for _, g := range turned.Glyphs {
		union = union.Union(g.Box)
	}
	assert.InDelta(t, 0, union.Min.Distance(turned.Bounds().Min)+union.Max.Distance(turned.Bounds().Max), 1e-9)
	assert.NotEqual(t, text.Glyphs[0].Pen, turned.Glyphs[0].Pen, "the text itself is not changed")
}

func TestZeroValues(t *testing.T) {
	var text Text
	assert.True(t, text.Bounds().IsEmpty())
	assert.Equal(t, "an unknown letter", text.Describe(1))
	assert.Empty(t, text.Transform(outline.Scale(2, 2)).Path)
	for _, s := range []string{CapHeight.String(), XHeight.String(), EmHeight.String(), InkHeight.String(), HeightMeaning(9).String(),
		AlignStart.String(), AlignLeft.String(), AlignCentre.String(), AlignRight.String(), Align(9).String(),
		DirectionAuto.String(), LeftToRight.String(), RightToLeft.String(), Direction(9).String()} {
		assert.NotEmpty(t, s)
	}
}
