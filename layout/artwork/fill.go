package artwork

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/units"
)

// Options say how words are set. The zero value fills each slot with the
// default font, condenses to 70 % at most and allows any height.
type Options struct {
	Fonts []*lettering.Font // tried in order for each character; nil: the default font

	// CapHeight, where it is not zero, is the height of the capitals in every
	// slot, so that a whole order can share one; a slot that is lower is
	// filled. Zero fills each slot.
	CapHeight units.Length

	// CondenseTo is how far long words may be narrowed, as a share of their
	// natural width; zero is 0.7.
	CondenseTo float64

	// SpreadTo is how far short words may be spaced out between their letters
	// to use the slot's length, as a multiple of their natural width; zero is
	// 1.15, 1 leaves them as they are.
	SpreadTo float64

	// LeastHeight is the smallest cap height that long words may shrink to
	// after condensing.
	LeastHeight units.Length

	// Tolerance bounds the deviation of bending and welding; zero is
	// [outline.DefaultTolerance].
	Tolerance units.Length
}

const (
	defaultCondense = 0.7
	defaultSpread   = 1.15
)

// ArtOrigin is the origin index of segments that come from the art; those
// from letters have higher ones, see [Filled.Describe].
const ArtOrigin int32 = 1

// Filled is a design with its words in place.
type Filled struct {
	Path   outline.Path // welded
	Layers []Layer      // the same by film, the words applied to each that they touch
	Words  []SetWords   // slot by slot, in the design's order
	Nodes  NodeCount
}

// NodeCount tells how the number of segments changed on the way.
type NodeCount struct {
	Art, Letters, Bent, Result int
}

// SetWords tells how the words of one slot were set.
type SetWords struct {
	Slot      string
	Text      string
	CapHeight units.Length // of the letters in the middle of the slot
	Condensed float64      // share of the natural width, 1: not at all
	Spread    float64      // multiple of the natural width through spacing, 1: not at all
	Mode      Mode

	text  lettering.Text
	first int32 // origin index of its first glyph, minus one
}

// Describe says what the segments with the given origin index come from: "the
// art" or "the A of MARLOW"; empty for an index that is not known.
func (f *Filled) Describe(origin int32) string {
	if origin == ArtOrigin {
		return "the art"
	}
	for _, w := range slices.Backward(f.Words) {
		if origin > w.first {
			return w.text.Describe(origin - w.first)
		}
	}
	return ""
}

// Fill sets words, by slot name, in the design. A slot without words stays
// empty; the words of an unknown slot are an error. The design itself is not
// changed; where nothing touches its art, the result shares its paths. The error
// is a [*FitError] for words too long to fit, else a [*DesignError].
func (d *Design) Fill(words map[string]string, opt Options) (*Filled, error) {
	if err := opt.check(); err != nil {
		return nil, &DesignError{Design: d.Name, Cause: ErrInvalid, Fix: err.Error()}
	}
	for _, name := range sortedKeys(words) {
		if _, err := d.Slot(name); err != nil {
			return nil, err
		}
	}
	f := &Filled{Nodes: NodeCount{Art: d.Art.Nodes()}}
	next := ArtOrigin
	var weld, subtract []outline.Path
	for _, slot := range d.Slots {
		text := strings.TrimSpace(words[slot.Name])
		if text == "" {
			continue
		}
		set, bent, err := d.set(slot, text, opt)
		if err != nil {
			return nil, err
		}
		set.first = next
		next += int32(len(set.text.Glyphs))
		f.Words = append(f.Words, set)
		f.Nodes.Letters += set.text.Path.Nodes()
		f.Nodes.Bent += bent.Nodes()
		for _, c := range bent {
			for i := range c.Segments {
				c.Segments[i].Origin += set.first
			}
		}
		if slot.Mode == Subtract {
			subtract = append(subtract, bent)
		} else {
			weld = append(weld, bent)
		}
	}
	var err error
	if f.Path, err = combine(d.Art, weld, subtract, opt); err != nil {
		return nil, &DesignError{Design: d.Name, Cause: err}
	}
	f.Nodes.Result = f.Path.Nodes()
	if f.Layers, err = d.layers(weld, subtract, opt); err != nil {
		return nil, &DesignError{Design: d.Name, Cause: err}
	}
	return f, nil
}

// combine welds letters to the art and cuts others out of it.
func combine(art outline.Path, weld, subtract []outline.Path, opt Options) (outline.Path, error) {
	var err error
	b := outline.BooleanOptions{Tolerance: opt.Tolerance}
	if len(weld) > 0 {
		if art, err = outline.Weld(append([]outline.Path{art}, weld...), b); err != nil {
			return nil, err
		}
	}
	if len(subtract) > 0 {
		return outline.Subtract(art, subtract, b)
	}
	return art, nil
}

// layers applies the words to each film: letters that are cut out are cut out
// of all, letters of film belong to the uppermost.
func (d *Design) layers(weld, subtract []outline.Path, opt Options) ([]Layer, error) {
	if len(d.Layers) < 2 {
		return nil, nil
	}
	out := slices.Clone(d.Layers)
	for i := range out {
		var own []outline.Path
		if i == len(out)-1 {
			own = weld
		}
		var err error
		if out[i].Path, err = combine(out[i].Path, own, subtract, opt); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (o Options) check() error {
	switch {
	case !(o.CapHeight >= 0) || !o.CapHeight.IsFinite():
		return fmt.Errorf("a cap height of %v; give zero to fill the slots or a height above it", o.CapHeight)
	case !(o.LeastHeight >= 0) || !o.LeastHeight.IsFinite():
		return fmt.Errorf("a least height of %v; give zero or more", o.LeastHeight)
	case o.CondenseTo != 0 && !(o.CondenseTo > 0 && o.CondenseTo <= 1):
		return fmt.Errorf("condensing to %v; give a share above 0 and up to 1", o.CondenseTo)
	case o.SpreadTo != 0 && !(o.SpreadTo >= 1 && o.SpreadTo <= 10):
		return fmt.Errorf("spreading to %v; give a multiple from 1 to 10", o.SpreadTo)
	}
	return nil
}

// slotSize returns the slot's length (the mean of its edges) and its height in
// the middle.
func slotSize(s Slot, w outline.Warp) (length, height float64) {
	length = float64(s.Bottom.Length(0)+s.Top.Length(0)) / 2
	height = w.Map(0.5, 0).Distance(w.Map(0.5, 1))
	return length, height
}

// wall is the film that accents and descenders reaching out of a slot leave
// beside them, as a share of the cap height; common practice, no source.
const wall = 0.1

// MaxCharacters bounds the words of one slot: more could not be read on any
// decal, and tens of thousands of letters take minutes to weld.
const MaxCharacters = 1000

// set shapes the words, makes them fit and bends them into the slot. Accents and
// descenders may reach out of it while they stay well within the art, so that
// JULIE is as high as ANNA; where they would cut through its edge they stay in
// the slot, with lower capitals. Letters that are welded on stand on the slot's
// bottom edge in any case, where they touch the art.
func (d *Design) set(slot Slot, words string, opt Options) (SetWords, outline.Path, error) {
	if n := utf8.RuneCountInString(words); n > MaxCharacters {
		return SetWords{}, nil, &DesignError{Design: d.Name, Slot: slot.Name, Cause: ErrTooLong, Fix: fmt.Sprintf("they have %d characters; give at most %d", n, MaxCharacters)}
	}
	set, bent, err := d.setWithin(slot, words, opt, false)
	if err != nil || slot.Mode != Subtract {
		return set, bent, err
	}
	if above, below := excess(set.text, float64(set.CapHeight)); above+below == 0 {
		return set, bent, nil
	}
	around, err := outline.Offset(bent, set.CapHeight*wall, outline.OffsetOptions{Tolerance: opt.Tolerance})
	if err == nil {
		around, err = outline.Subtract(around, []outline.Path{d.Art}, outline.BooleanOptions{Tolerance: opt.Tolerance})
	}
	if err != nil {
		return SetWords{}, nil, &DesignError{Design: d.Name, Slot: slot.Name, Cause: err}
	}
	if len(around) == 0 {
		return set, bent, nil
	}
	return d.setWithin(slot, words, opt, true)
}

// setWithin sets the words with their capitals as high as the slot or, whole,
// with accents and descenders within it.
func (d *Design) setWithin(slot Slot, words string, opt Options, whole bool) (SetWords, outline.Path, error) {
	fail := func(err error) (SetWords, outline.Path, error) {
		return SetWords{}, nil, &DesignError{Design: d.Name, Slot: slot.Name, Cause: err}
	}
	warp, err := outline.Between(slot.Bottom, slot.Top)
	if err != nil {
		return fail(err)
	}
	length, height := slotSize(slot, warp)
	capHeight := height
	if opt.CapHeight > 0 && float64(opt.CapHeight) < height {
		capHeight = float64(opt.CapHeight)
	}
	set := SetWords{Slot: slot.Name, Text: words, Mode: slot.Mode, Condensed: 1, Spread: 1}
	text, err := lettering.Set(words, lettering.Options{Fonts: opt.Fonts, Height: units.Length(capHeight)})
	if err != nil {
		return fail(err)
	}
	above, below := 0.0, 0.0 // as shares of the cap height
	if whole {
		above, below = excess(text, capHeight)
	}
	if most := height / (1 + above + below); capHeight > most {
		capHeight = most
		if text, err = lettering.Set(words, lettering.Options{Fonts: opt.Fonts, Height: units.Length(capHeight)}); err != nil {
			return fail(err)
		}
	}
	width := inkWidth(text)
	if !(width > 0) {
		return fail(fmt.Errorf("%w: %q has no ink; leave the slot out or give it letters", ErrInvalid, words))
	}
	switch condense := orElse(opt.CondenseTo, defaultCondense); {
	case width > length:
		set.Condensed = max(condense, length/width)
		if set.Condensed*width > length {
			capHeight *= length / (set.Condensed * width)
		}
	case len(text.Glyphs) > 1:
		set.Spread = min(orElse(opt.SpreadTo, defaultSpread), length/width)
		tracking := (set.Spread - 1) * width / float64(len(text.Glyphs)-1)
		text, err = lettering.Set(words, lettering.Options{Fonts: opt.Fonts, Height: units.Length(capHeight), Tracking: units.Length(tracking)})
		if err != nil {
			return fail(err)
		}
	}
	set.CapHeight = units.Length(capHeight)
	if set.CapHeight < opt.LeastHeight {
		return SetWords{}, nil, &FitError{Design: d.Name, Slot: slot.Name, Words: words, Height: set.CapHeight, Least: opt.LeastHeight, Condensed: set.Condensed}
	}
	if set.Condensed < 1 {
		if text, err = lettering.Set(words, lettering.Options{Fonts: opt.Fonts, Height: set.CapHeight}); err != nil {
			return fail(err)
		}
	}
	set.text = text
	path := text.Path.Transform(outline.Scale(set.Condensed, 1))
	if path, err = outline.Weld([]outline.Path{path}, outline.BooleanOptions{Tolerance: opt.Tolerance}); err != nil {
		return fail(err)
	}
	ink := path.Bounds()
	// The box that fills the slot: the ink in the middle of its length, the
	// capitals, with what reaches beyond them, in the middle of its height.
	low, high := -below*capHeight, (1+above)*capHeight
	rest := (height - (high - low)) / 2
	from := outline.Box{
		Min: outline.Pt(ink.Centre().X-length/2, low-rest),
		Max: outline.Pt(ink.Centre().X+length/2, high+rest),
	}
	bent, err := outline.Bend(path, from, warp, outline.BendOptions{Tolerance: opt.Tolerance})
	if err != nil {
		return fail(err)
	}
	return set, bent, nil
}

// overshoot is by how much, as a share of the cap height, round and pointed
// letters may reach past capitals and baseline and count as even with them: type
// is drawn so to look even (1 to 3 %; from memory, no source).
const overshoot = 0.04

// excess returns how far the text reaches above its capitals and below its
// baseline, as shares of the cap height.
func excess(t lettering.Text, capHeight float64) (above, below float64) {
	ink := t.Path.Bounds()
	if above = ink.Max.Y/capHeight - 1; !(above > overshoot) {
		above = 0
	}
	if below = -ink.Min.Y / capHeight; !(below > overshoot) {
		below = 0
	}
	return above, below
}

func inkWidth(t lettering.Text) float64 { return t.Path.Bounds().Width() }

func orElse(v, otherwise float64) float64 {
	if v == 0 {
		return otherwise
	}
	return v
}

func sortedKeys(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
