package order

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/artwork"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// Design is one wording of an item of an order, ready to be placed.
type Design struct {
	Letter string // of its item, A, B, ..., Z, AA, ...: the first part of its decals' ids
	Name   string // the design's
	Item   Item
	Film   Film
	First  int // number of its first decal within the item, from 1
	Copies int // decals, spares included
	Spares int // of them, the last ones

	Filled *artwork.Filled
	// Path is what is cut, at its size, the lower left corner of its box at
	// (0, 0); mirrored where the item goes inside glass.
	Path   outline.Path
	Report weedability.Report
	// SafeScale is the least scale at which the path breaks no limit that size can cure (see
	// weedability.SmallestSafeSize); 0 where no size does, and in orders of many designs, where it is not worked out.
	SafeScale float64
	// Changes are what the order's Mend did to the path.
	Changes []weedability.Change
	// WeedBorder and WeedLines are cut round every decal, where the order wants
	// them so; in the path's coordinates.
	WeedBorder outline.Path
	WeedLines  []outline.Curve
	Notes      []string // what somebody should know of it besides the report's findings

	item int // index of the order's items
}

// Words returns what the design says, slot by slot.
func (d Design) Words() []string {
	var words []string
	for _, w := range d.Filled.Words {
		words = append(words, w.Text)
	}
	return words
}

// Describe names what segments of the given origin come from: the design, and
// the letter and word or the art.
func (d Design) Describe(origin int32) string {
	if what := d.Filled.Describe(origin); what != "" {
		return what + " in " + d.Letter + " " + d.Name
	}
	return d.Letter + " " + d.Name
}

// id returns the id of the design's n-th decal, n from 1, such as "B-07".
func (d Design) id(n, digits int) string {
	return fmt.Sprintf("%s-%0*d", d.Letter, digits, d.First+n-1)
}

// ids returns the ids of the design's decals from the n-th to the last.
func (d Design) ids(n, last, digits int) string {
	if last <= n {
		return d.id(n, digits)
	}
	return d.id(n, digits) + " to " + d.id(last, digits)
}

// letters returns the i-th of A, B, ..., Z, AA, AB, ...
func letters(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('A'+(i-1)%26)) + s
	}
	return s
}

// artOf reads the item's design.
func artOf(it Item, base fs.FS) (*artwork.Design, error) {
	name := it.Design
	var f io.ReadCloser
	var err error
	if it.File != "" {
		name = strings.TrimSuffix(filepath.Base(it.File), filepath.Ext(it.File))
		f, err = openFile(base, it.File, ErrUnknownDesign, "put the SVG file beside the order")
	} else {
		f, err = openDemo(it.Design)
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return artwork.Read(f, name)
}

// openFile opens a file that an order names, within the order's own folder.
func openFile(base fs.FS, name string, cause error, fix string) (fs.File, error) {
	if base == nil {
		return nil, &Error{Cause: cause, Detail: fmt.Sprintf("file %q, but the order has no folder", name), Fix: "set Options.Files"}
	}
	f, err := base.Open(filepath.ToSlash(name))
	if err != nil {
		return nil, &Error{Cause: cause, Detail: err.Error(), Fix: fix}
	}
	return f, nil
}

// fontsOf opens the order's font, nil for the default.
func fontsOf(l Lettering, base fs.FS) ([]*lettering.Font, error) {
	if l.Font == "" {
		return nil, nil
	}
	if base == nil {
		return nil, &Error{Where: "lettering.font", Cause: ErrInvalid, Detail: fmt.Sprintf("font %q, but the order has no folder", l.Font), Fix: "set Options.Files"}
	}
	font, err := lettering.OpenFont(base, filepath.ToSlash(l.Font), lettering.FontOptions{})
	if err != nil {
		return nil, &Error{Where: "lettering.font", Cause: err}
	}
	return []*lettering.Font{font}, nil
}

// wordings returns the item's sets of words, each with its copies.
func (o Order) wordings(it Item, art *artwork.Design, base fs.FS) ([]Wording, []Warning, error) {
	list, warnings := it.Wordings, []Warning(nil)
	switch {
	case it.Roster != "":
		f, err := openFile(base, it.Roster, ErrInvalid, "put the CSV file beside the order")
		if err != nil {
			return nil, nil, err
		}
		defer f.Close()
		if list, warnings, err = ReadRoster(f); err != nil {
			return nil, nil, err
		}
	case len(list) > 0:
	case len(it.Words) > 0:
		list = []Wording{{Words: it.Words}}
	default:
		list = []Wording{{Words: o.Words}}
	}
	out := make([]Wording, len(list))
	for i, w := range list {
		if it.Wordings != nil || it.Roster != "" { // slots that a wording leaves out keep the order's words
			words := map[string]string{}
			for slot, text := range o.Words {
				words[slot] = text
			}
			for slot, text := range bySlot(art, w.Words) {
				words[slot] = text
			}
			w.Words = words
		}
		if w.Copies == 0 {
			w.Copies = it.copies()
		}
		if w.Copies < 1 {
			return nil, nil, &Error{Cause: ErrInvalid, Detail: fmt.Sprintf("roster line %d has no copies and the item neither", w.Line), Fix: "give copies in one of them"}
		}
		out[i] = w
	}
	return out, warnings, nil
}

func (it Item) size() layout.Size {
	s := layout.Size{Measure: layout.Height, Value: it.Height, Border: it.Border}
	if it.Width > 0 {
		s.Measure, s.Value = layout.Width, it.Width
	} else if it.Area > 0 {
		s.Measure, s.Value = layout.Surface, units.Length(math.Sqrt(float64(it.Area)))
	}
	return s
}

// factor returns by what a filled design must be scaled to have the item's size.
func (it Item) factor(f *artwork.Filled) (float64, error) {
	if it.CapHeight == 0 {
		return it.size().Factor(f.Path)
	}
	if len(f.Words) == 0 {
		return 0, &Error{Cause: ErrInvalid, Detail: "a size by cap height of a design without words", Fix: "give words, or a height"}
	}
	return float64(it.CapHeight / f.Words[0].CapHeight), nil
}

// maxSizingRounds bounds the search for the scale at which a design with its
// words has its size: the words' own height depends on it only through
// letters that stick out of the art, so two or three rounds settle it.
const maxSizingRounds = 8

// sizeSlack is the relative error of size at which scaling by the rest cannot
// be seen any more.
const sizeSlack = 1e-12

// fill sets the words in the art at the scale at which the whole has the
// item's size.
func fill(art *artwork.Design, it Item, words map[string]string, opt artwork.Options) (*artwork.Filled, error) {
	k := 1.0
	if it.CapHeight == 0 {
		var err error
		if k, err = it.size().Factor(art.Art); err != nil {
			return nil, err
		}
	} else {
		opt.LeastHeight = 0 // the height is given
	}
	var filled *artwork.Filled
	for range maxSizingRounds {
		var err error
		if filled, err = art.Transform(outline.Scale(k, k)).Fill(words, opt); err != nil {
			return nil, err
		}
		more, err := it.factor(filled)
		if err != nil {
			return nil, err
		}
		k *= more
		if math.Abs(more-1) < sizeSlack {
			break
		}
	}
	return filled, nil
}

// outermost returns what is cut of a filled design: scaled by the last hair to
// its exact size, its border added, mirrored for the inside of glass, its
// corner at (0, 0).
func outermost(filled *artwork.Filled, it Item) (outline.Path, error) {
	k, err := it.factor(filled)
	if err != nil {
		return nil, err
	}
	path := filled.Path.Transform(outline.Scale(k, k))
	if it.Border > 0 {
		if path, err = outline.Offset(path, it.Border, outline.OffsetOptions{}); err != nil {
			return nil, err
		}
		// The border lies within the offset's tolerance; the size is met to the
		// last bit by scaling away what is left of it.
		if it.CapHeight == 0 {
			whole := it.size()
			whole.Border = 0
			if k, err = whole.Factor(path); err != nil {
				return nil, err
			}
			path = path.Transform(outline.Scale(k, k))
		}
	}
	if it.InsideGlass {
		path = path.Transform(outline.MirrorX())
	}
	path = clean(path)
	return path.Transform(outline.Translate(path.Bounds().Min.Mul(-1))), nil
}

// designs fills and sizes every wording of every item. Every item's problem is
// reported.
func designs(ctx context.Context, o Order, opt Options) ([]Design, error) {
	fonts, err := fontsOf(o.Lettering, opt.Files)
	if err != nil {
		return nil, err
	}
	set := artwork.Options{Fonts: fonts, CondenseTo: o.Lettering.CondenseTo, LeastHeight: o.Lettering.LeastHeight}
	if set.LeastHeight == 0 {
		set.LeastHeight = defaultLeastHeight
	}
	var out []Design
	arts := make([]*artwork.Design, len(o.Items))
	var words []Wording // of each design
	var problems []error
	var found wordingProblems
	total, nodes := 0, 0
	for i, it := range o.Items {
		art, err := artOf(it, opt.Files)
		if err != nil {
			problems = append(problems, itemError(i, it, err))
			continue
		}
		arts[i] = art
		list, warnings, err := o.wordings(it, art, opt.Files)
		if err != nil {
			problems = append(problems, itemError(i, it, err))
			continue
		}
		slips := map[int][]string{} // by the line of the roster
		for _, w := range warnings {
			slips[w.Line] = append(slips[w.Line], it.Roster+", "+w.String())
		}
		film, _ := o.film(it) // Check has seen that there is one
		first := 1
		for j, w := range list {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			d := Design{item: i, Letter: letters(i), Name: art.Name, Item: it, Film: film, First: first, Copies: w.Copies + it.Spares, Spares: it.Spares}
			first += d.Copies
			if total += d.Copies; total > MaxCopies {
				return nil, &Error{Where: "items", Cause: ErrTooLarge, Detail: fmt.Sprintf("more than %d decals in all", MaxCopies), Fix: "split the order"}
			}
			d.Notes = append(d.Notes, slips[w.Line]...)
			d.Notes = append(d.Notes, artNotes(art, it)...)
			if d.Filled, err = fill(art, it, w.Words, set); err != nil {
				found.add(i, it, w, err)
				continue
			}
			d.Notes = append(d.Notes, emptySlots(art, d.Filled)...)
			nodes += d.Copies * d.Filled.Path.Nodes()
			// A long roster is refused by its first name, not after an hour: names
			// change a design's segments by less than a quarter.
			if first := len(list) * d.Filled.Path.Nodes() * 3 / 4; nodes > MaxNodes || j == 0 && first > MaxNodes {
				return nil, itemError(i, it, &Error{Cause: ErrTooLarge, Detail: fmt.Sprintf("%d wordings, and more than %d segments in all decals together", len(list), MaxNodes), Fix: "split the order, or simplify its designs"})
			}
			out, words = append(out, d), append(words, w)
		}
	}
	if problems = append(problems, found.errors()...); len(problems) > 0 {
		return nil, errors.Join(problems...)
	}
	if o.Lettering.Rule == "same" {
		set.CapHeight = leastCapHeight(out)
	}
	for k := range out {
		d := &out[k]
		var err error
		if set.CapHeight > 0 && d.Item.CapHeight == 0 {
			d.Filled, err = fill(arts[d.item], d.Item, words[k].Words, set)
		}
		if err == nil {
			d.Path, err = outermost(d.Filled, d.Item)
		}
		if err != nil {
			found.add(d.item, d.Item, words[k], err)
			continue
		}
		d.Notes = append(d.Notes, legibility(*d)...)
	}
	if problems = append(problems, found.errors()...); len(problems) > 0 {
		return nil, errors.Join(problems...)
	}
	return o.parted(out)
}

// parted replaces designs that are cut from several films by their parts.
func (o Order) parted(list []Design) ([]Design, error) {
	var out []Design
	var problems []error
	for _, d := range list {
		if len(d.Item.Colours) == 0 {
			out = append(out, d)
			continue
		}
		parts, err := o.byFilm(d)
		if err != nil {
			problems = append(problems, itemError(d.item, d.Item, err))
		}
		out = append(out, parts...)
	}
	return out, errors.Join(problems...)
}

// artNotes warns of what is drawn in the item's file but will not be cut so: what
// cannot be cut at all, and several colours that are cut as one (white on top of
// a colour leaves no hole, it is welded into it).
func artNotes(art *artwork.Design, it Item) []string {
	notes := make([]string, 0, len(art.Warnings)+1)
	for _, w := range art.Warnings {
		notes = append(notes, it.File+", "+w)
	}
	if len(art.Layers) > 1 && len(it.Colours) == 0 {
		names := make([]string, len(art.Layers))
		for i, l := range art.Layers {
			names[i] = l.Colour
		}
		notes = append(notes, fmt.Sprintf(`drawn in %d colours (%s) and cut as one piece of film; draw holes as holes, or name a film for each in "colours"`, len(names), strings.Join(names, ", ")))
	}
	return notes
}

// emptySlots tells which slots got no words: a forgotten name is cut as a blank.
func emptySlots(art *artwork.Design, f *artwork.Filled) []string {
	var empty []string
	for _, s := range art.Slots {
		if !slices.ContainsFunc(f.Words, func(w artwork.SetWords) bool { return w.Slot == s.Name }) {
			empty = append(empty, s.Name)
		}
	}
	if len(empty) == 0 {
		return nil
	}
	return []string{"nothing to set in " + strings.Join(empty, ", ") + ": cut without words there"}
}

// legibility warns of a vehicle's decal that the driver behind cannot read.
func legibility(d Design) []string {
	if !d.Item.OnVehicle {
		return nil
	}
	var notes []string
	for _, w := range d.Filled.Words {
		distance := readable(w)
		if distance < layout.TwoCarLengths {
			notes = append(notes, fmt.Sprintf("%q can be read from %.1f m at most, not from two car lengths (%.0f m)", w.Text, distance.Metres(), layout.TwoCarLengths.Metres()))
		}
	}
	return notes
}

func itemError(i int, it Item, err error) error {
	name := it.Design
	if name == "" {
		name = it.File
	}
	where := fmt.Sprintf("items[%d] (%s)", i, name)
	var own *Error
	if errors.As(err, &own) && own.Where == "" {
		return &Error{Where: where, Cause: own.Cause, Detail: own.Detail, Fix: own.Fix}
	}
	return &Error{Where: where, Cause: err}
}

// leastCapHeight returns the least cap height of all words of designs that give
// none, 0 where there are none.
func leastCapHeight(designs []Design) units.Length {
	var least units.Length
	for _, d := range designs {
		if d.Item.CapHeight > 0 {
			continue
		}
		for _, w := range d.Filled.Words {
			if least == 0 || w.CapHeight < least {
				least = w.CapHeight
			}
		}
	}
	return least
}
