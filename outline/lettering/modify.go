package lettering

import (
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// fitTolerance bounds how far the ink may be from the width or height asked
// for, in millimetres: far below what a knife can follow.
const fitTolerance = 1e-4

// maxFitSteps bounds how often a text is set to meet a size. Without heavier
// letters the ink grows as the letters do and two steps are enough; rounding
// and corners of heavier letters cost two or three more.
const maxFitSteps = 12

// modifies reports whether letters are not just scaled and placed.
func (opt Options) modifies() bool {
	return opt.Slant != 0 || opt.Width != 0 || opt.MaxWidth != 0 || opt.Heavier != 0 || opt.Weld
}

// modified sets the text with its letters slanted, condensed, made heavier and
// welded, in this order: an offset after the condensing keeps it the same in
// all directions.
func (st *shapedText) modified(text string, first *Font, em units.Length, opt Options) (Text, error) {
	condense := 1.0
	for step := 0; ; step++ {
		t := st.place(text, first, em, opt)
		t.lean(condense, math.Tan(opt.Slant.Radians()))
		plain := t.Bounds()
		if plain.IsEmpty() { // white space has no size to meet
			return t, nil
		}
		if opt.Heavier != 0 {
			if err := t.makeHeavier(opt); err != nil {
				return Text{}, err
			}
		}
		short, low := st.misses(&t, opt)
		if math.Abs(short) <= fitTolerance && math.Abs(low) <= fitTolerance {
			if opt.Weld && opt.Heavier == 0 {
				return t, t.weld(opt)
			}
			return t, nil
		}
		if step == maxFitSteps {
			return Text{}, &TextError{-1, ErrNoFit, fmt.Sprintf("still %.3f mm too narrow and %.3f mm too low", short, low), "change the width, the height or the weight"}
		}
		condense += short / plain.Width() * condense
		em += units.Length(low/plain.Height()) * em
		if !(condense > 0 && em > 0) {
			return Text{}, &TextError{-1, ErrNoFit, fmt.Sprintf("borders of %v leave no room", opt.Heavier), "change the width, the height or the weight"}
		}
	}
}

// misses returns by how much the ink is narrower and lower than asked for.
func (st *shapedText) misses(t *Text, opt Options) (short, low float64) {
	width := t.Bounds().Width()
	if opt.Width != 0 || opt.MaxWidth != 0 && width > float64(opt.MaxWidth) {
		short = float64(opt.Width+opt.MaxWidth) - width
	}
	if opt.HeightOf == InkHeight && opt.Heavier != 0 {
		boxes := make([]outline.Box, len(t.Lines))
		for i := range boxes {
			boxes[i] = outline.EmptyBox()
		}
		for _, g := range t.Glyphs {
			boxes[g.Line] = boxes[g.Line].Union(g.Box)
		}
		tallest := 0.0
		for _, b := range boxes {
			tallest = math.Max(tallest, b.Height())
		}
		low = float64(opt.Height) - tallest
	}
	return short, low
}

// lean stretches the text along x and shears every line about its own
// baseline by lean millimetres for each millimetre of height.
func (t *Text) lean(stretch, lean float64) {
	if stretch == 1 && lean == 0 {
		return
	}
	about := func(y float64) outline.Transform {
		return outline.Transform{XX: stretch, XY: lean, X0: -lean * y, YY: 1}
	}
	for i, c := range t.Path {
		g := t.glyph(c.Segments[0].Origin)
		m := about(t.Lines[g.Line].Start.Y)
		t.Path[i] = outline.Contour(c.Curve().Transform(m))
	}
	for i := range t.Glyphs {
		g := &t.Glyphs[i]
		g.Pen = about(t.Lines[g.Line].Start.Y).Apply(g.Pen)
		g.Advance *= units.Length(stretch)
	}
	for i := range t.Lines {
		t.Lines[i].Start.X *= stretch
		t.Lines[i].Advance *= units.Length(stretch)
	}
	t.Advance *= units.Length(stretch)
	t.measureBoxes()
}

// weld joins the letters where they overlap.
func (t *Text) weld(opt Options) error {
	letters := t.Path.ByOrigin()
	welded, err := outline.Weld(letters, outline.BooleanOptions{Tolerance: opt.Tolerance})
	if err != nil {
		return &TextError{-1, err, "welding the letters", "set the text without Weld"}
	}
	t.Path = welded
	return nil
}

// makeHeavier welds the letters and moves their borders.
func (t *Text) makeHeavier(opt Options) error {
	if err := t.weld(opt); err != nil {
		return err
	}
	moved, err := outline.Offset(t.Path, opt.Heavier, outline.OffsetOptions{Corner: opt.Corner, Tolerance: opt.Tolerance})
	if err != nil {
		return &TextError{-1, err, "moving the borders by " + opt.Heavier.String(), "make the letters less heavy or light"}
	}
	if len(moved) == 0 {
		return &TextError{-1, ErrNoInk, "every stroke is thinner than " + (-2 * opt.Heavier).String(), "make the letters less light"}
	}
	t.Path = moved
	before := make([]outline.Box, len(t.Glyphs))
	for i, g := range t.Glyphs {
		before[i] = g.Box
	}
	t.measureBoxes()
	for i := range t.Glyphs {
		// A letter that has gone or was swallowed whole keeps its place.
		if g := &t.Glyphs[i]; g.Box.IsEmpty() {
			g.Box = before[i].Grow(float64(opt.Heavier))
		}
	}
	return nil
}
