package lettering

import (
	"fmt"
	"slices"
	"strings"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Text is a text that has been set. The zero Text is an empty one.
type Text struct {
	// Path is the text as film: millimetres, y up, the first baseline at
	// y = 0. A segment's Origin is 1 + the index into Glyphs of the letter it
	// came from.
	Path   outline.Path
	Glyphs []Glyph  // line by line from left to right
	Words  []string // in the order of the text
	Lines  []Line

	Advance units.Length // of the widest line, pen to pen
	Metrics Metrics      // of the first font at the size set
}

// Glyph is one drawn sign of a text: a letter, a ligature, a mark.
type Glyph struct {
	Text    string // the characters it shows
	Offset  int    // of the first of them in the text, in bytes
	Word    int    // index into Text.Words, -1 between words
	Line    int    // index into Text.Lines
	ID      uint32 // index of the drawing in Font
	Font    *Font
	Pen     outline.Point // where the drawing's own (0, 0) lies
	Advance units.Length  // how far it moves the pen, spacing included
	Box     outline.Box   // of its ink, empty for white space
}

// Line is one line of a text.
type Line struct {
	Offset      int           // of its first character in the text, in bytes
	Start       outline.Point // where the pen starts, on the baseline
	Advance     units.Length  // white space at the end not counted
	RightToLeft bool
}

// Bounds returns the box of the text's ink, empty where there is none.
func (t Text) Bounds() outline.Box { return t.Path.Bounds() }

// Transform returns the text moved, turned or stretched by m. Lengths that
// measure the text as it was set (Advance, Metrics) stay as they are.
func (t Text) Transform(m outline.Transform) Text {
	t.Path = t.Path.Transform(m)
	t.Glyphs = slices.Clone(t.Glyphs)
	for i := range t.Glyphs {
		t.Glyphs[i].Pen = m.Apply(t.Glyphs[i].Pen)
	}
	t.Lines = slices.Clone(t.Lines)
	for i := range t.Lines {
		t.Lines[i].Start = m.Apply(t.Lines[i].Start)
	}
	t.measureBoxes()
	return t
}

// measureBoxes brings every glyph's box up to date with the path.
func (t *Text) measureBoxes() {
	for i := range t.Glyphs {
		t.Glyphs[i].Box = outline.EmptyBox()
	}
	for _, c := range t.Path {
		at := c.Start
		for _, s := range c.Segments {
			if g := t.glyph(s.Origin); g != nil {
				g.Box = g.Box.Union(s.Bounds(at))
			}
			at = s.End
		}
	}
}

// glyph returns the glyph that a segment's origin stands for, nil for none.
func (t *Text) glyph(origin int32) *Glyph {
	if origin < 1 || int(origin) > len(t.Glyphs) {
		return nil
	}
	return &t.Glyphs[origin-1]
}

// Describe names the letter that an origin stands for, as in "the A in
// MARLOW"; "the 2nd T in OTTERS" where a word has it more than once. An origin
// that is none of this text gives "an unknown letter".
func (t Text) Describe(origin int32) string {
	g := t.glyph(origin)
	if g == nil {
		return "an unknown letter"
	}
	letter := strings.TrimSpace(g.Text)
	if letter == "" {
		return "a space"
	}
	if g.Word < 0 || t.Words[g.Word] == letter {
		return "the " + letter
	}
	// Count the signs that look the same before it in the word. They stand in
	// reading order by offset, whatever the direction.
	place, count := 1, 0
	for _, other := range t.Glyphs {
		if other.Word != g.Word || other.Text != g.Text {
			continue
		}
		count++
		if other.Offset < g.Offset {
			place++
		}
	}
	if count > 1 {
		letter = ordinal(place) + " " + letter
	}
	return "the " + letter + " in " + t.Words[g.Word]
}

// DescribeContour names a contour of the text, or of what booleans, bends and
// offsets made of it: "the A in MARLOW" for an outer contour, "the counter of
// the A in MARLOW" for a hole. A contour that came from several letters is
// named by the one that gave it most segments, and the others are counted.
func (t Text) DescribeContour(c outline.Contour) string {
	votes := map[int32]int{}
	best := int32(0)
	for _, s := range c.Segments {
		if t.glyph(s.Origin) == nil {
			continue
		}
		votes[s.Origin]++
		if v, b := votes[s.Origin], votes[best]; v > b || v == b && s.Origin < best {
			best = s.Origin
		}
	}
	name := t.Describe(best)
	if c.Area() < 0 {
		name = "the counter of " + name
	}
	switch n := len(votes) - 1; {
	case n == 1:
		name += " and 1 other letter"
	case n > 1:
		name += fmt.Sprintf(" and %d other letters", n)
	}
	return name
}

// ordinal writes 1st, 2nd, 3rd, 4th.
func ordinal(n int) string {
	suffix := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return fmt.Sprintf("%d%s", n, suffix)
}
