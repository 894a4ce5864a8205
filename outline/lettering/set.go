package lettering

import (
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Set sets text in lines, as opt says. Line breaks in the text start new
// lines; white space at the end of a line takes no room. An empty text gives
// an empty Text. Errors: [*OptionError], [*MissingGlyphError], [*TextError],
// [*FontError].
func Set(text string, opt Options) (Text, error) {
	if err := opt.check(); err != nil {
		return Text{}, err
	}
	var one [1]*Font
	fonts := opt.Fonts
	if len(fonts) == 0 {
		one[0] = Default()
		fonts = one[:]
	}
	st, err := shape(text, fonts, opt)
	if err != nil {
		return Text{}, err
	}
	em, err := st.em(fonts[0], opt)
	if err != nil {
		return Text{}, err
	}
	if opt.modifies() {
		return st.modified(text, fonts[0], em, opt)
	}
	return st.place(text, fonts[0], em, opt), nil
}

// em returns the first font's em that gives the height asked for.
func (st *shapedText) em(first *Font, opt Options) (units.Length, error) {
	if opt.HeightOf != InkHeight {
		return first.EmFor(opt.Height, opt.HeightOf)
	}
	ink := 0.0 // of the tallest line, in ems
	for _, line := range st.lines {
		low, high := math.Inf(1), math.Inf(-1)
		for _, g := range st.glyphs[line.first:line.last] {
			if g.glyph.box.IsEmpty() {
				continue
			}
			low = math.Min(low, (g.dy+g.glyph.box.Min.Y)/g.font.upem)
			high = math.Max(high, (g.dy+g.glyph.box.Max.Y)/g.font.upem)
		}
		ink = math.Max(ink, high-low)
	}
	if ink <= 0 {
		if len(st.words) == 0 {
			return opt.Height, nil // nothing to draw, so any size will do
		}
		return 0, &TextError{-1, ErrNoInk, "", "set it by the cap height"}
	}
	return opt.Height / units.Length(ink), nil
}

// scale returns millimetres per unit of f where the first font's em is em.
func (f *Font) scale(em units.Length, opt Options) float64 {
	if opt.HeightOf != InkHeight {
		if own, err := f.EmFor(opt.Height, opt.HeightOf); err == nil {
			em = own
		}
	}
	return float64(em) / f.upem
}

// place scales the shaped text and puts its lines under one another.
func (st *shapedText) place(text string, first *Font, em units.Length, opt Options) Text {
	t := Text{
		Path:    make(outline.Path, 0, st.paths),
		Glyphs:  make([]Glyph, len(st.glyphs)),
		Words:   slices.Clone(st.words), // st is shared with later texts
		Lines:   make([]Line, len(st.lines)),
		Metrics: first.Metrics(em),
	}
	leading := float64(opt.Leading)
	if leading == 0 {
		leading = float64(t.Metrics.LineDistance)
	}
	widest := math.Inf(-1)
	var font *Font
	var k float64
	for i, line := range st.lines {
		pen := 0.0
		for j := line.first; j < line.last; j++ {
			g := &st.glyphs[j]
			if g.font != font {
				font, k = g.font, g.font.scale(em, opt)
			}
			advance := g.advance * k
			if g.tracked {
				advance += float64(opt.Tracking)
			}
			if g.space {
				advance += float64(opt.WordSpacing)
			}
			out := &t.Glyphs[j]
			out.Text, out.Offset = text[g.start:g.end], int(g.start)
			out.Word, out.Line = int(g.word), i
			out.ID, out.Font = uint32(g.id), g.font
			out.Pen.X, out.Pen.Y = pen+g.dx*k, g.dy*k
			out.Advance = units.Length(advance)
			pen += advance
		}
		t.Lines[i] = Line{Offset: line.start, Advance: units.Length(pen), RightToLeft: line.rightToLeft}
		widest = math.Max(widest, pen)
	}
	t.Advance = units.Length(widest)
	for i, line := range st.lines {
		x := 0.0
		switch slack := widest - float64(t.Lines[i].Advance); {
		case opt.Align == AlignRight, opt.Align == AlignStart && line.rightToLeft:
			x = slack
		case opt.Align == AlignCentre:
			x = slack / 2
		}
		y := -float64(i) * leading
		t.Lines[i].Start = outline.Pt(x, y)
		for j := line.first; j < line.last; j++ {
			t.Glyphs[j].Pen.X += x
			t.Glyphs[j].Pen.Y += y
		}
	}
	st.draw(&t, em, opt)
	return t
}

// draw adds every glyph's contours to the path, all segments in one block of
// memory.
func (st *shapedText) draw(t *Text, em units.Length, opt Options) {
	block := make([]outline.Segment, st.nodes)
	used := 0
	var font *Font
	var k float64
	for i := range st.glyphs {
		g := &st.glyphs[i]
		if g.font != font {
			font, k = g.font, g.font.scale(em, opt)
		}
		pen := t.Glyphs[i].Pen
		t.Glyphs[i].Box = g.glyph.box
		if len(g.glyph.path) == 0 {
			continue
		}
		box := g.glyph.box
		t.Glyphs[i].Box = outline.Box{
			Min: outline.Pt(box.Min.X*k+pen.X, box.Min.Y*k+pen.Y),
			Max: outline.Pt(box.Max.X*k+pen.X, box.Max.Y*k+pen.Y),
		}
		origin := int32(i + 1)
		for _, c := range g.glyph.path {
			n := len(c.Segments)
			segments := block[used : used+n : used+n]
			used += n
			for j := range c.Segments {
				s, to := &c.Segments[j], &segments[j]
				to.Kind, to.Origin = s.Kind, origin
				switch s.Kind {
				case outline.Cubic:
					to.C2.X, to.C2.Y = s.C2.X*k+pen.X, s.C2.Y*k+pen.Y
					fallthrough
				case outline.Quad:
					to.C1.X, to.C1.Y = s.C1.X*k+pen.X, s.C1.Y*k+pen.Y
				}
				to.End.X, to.End.Y = s.End.X*k+pen.X, s.End.Y*k+pen.Y
			}
			// The last end is computed as the start is: they are the same bits.
			t.Path = append(t.Path, outline.Contour{Start: segments[n-1].End, Segments: segments})
		}
	}
}
