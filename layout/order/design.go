package order

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"path/filepath"
	"strings"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/artwork"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// Design is one item of an order, ready to be placed.
type Design struct {
	Letter string // A, B, ..., Z, AA, ...: the first part of its decals' ids
	Name   string
	Item   Item
	Filled *artwork.Filled
	// Path is what is cut, at its size, the lower left corner of its box at
	// (0, 0); mirrored where the item goes inside glass.
	Path   outline.Path
	Report weedability.Report
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

// letters returns the i-th of A, B, ..., Z, AA, AB, ...
func letters(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('A'+(i-1)%26)) + s
	}
	return s
}

// maxSizingRounds bounds the search for the scale at which a design with its
// words has its size: the words' own height depends on it only through
// letters that stick out of the art, so two or three rounds settle it.
const maxSizingRounds = 8

// sizeSlack is the relative error of size at which scaling by the rest cannot
// be seen any more.
const sizeSlack = 1e-12

// artOf reads the item's design.
func artOf(it Item, base fs.FS) (*artwork.Design, error) {
	var f io.ReadCloser
	var err error
	name := it.Design
	if it.File != "" {
		name = strings.TrimSuffix(filepath.Base(it.File), filepath.Ext(it.File))
		if base == nil {
			return nil, &Error{Cause: ErrInvalid, Detail: fmt.Sprintf("file %q, but the order has no folder", it.File), Fix: "set Options.Files"}
		}
		f, err = base.Open(filepath.ToSlash(it.File))
		if err != nil {
			return nil, &Error{Cause: ErrUnknownDesign, Detail: err.Error(), Fix: "put the SVG file beside the order"}
		}
	} else if f, err = openDemo(it.Design); err != nil {
		return nil, err
	}
	defer f.Close()
	return artwork.Read(f, name)
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

func (it Item) size() layout.Size {
	if it.Width > 0 {
		return layout.Size{Measure: layout.Width, Value: it.Width, Border: it.Border}
	}
	return layout.Size{Measure: layout.Height, Value: it.Height, Border: it.Border}
}

// fill sets the words in the art at the scale at which the whole has the
// item's size.
func fill(art *artwork.Design, it Item, words map[string]string, opt artwork.Options) (*artwork.Filled, error) {
	size := it.size()
	k, err := size.Factor(art.Art)
	if err != nil {
		return nil, err
	}
	var filled *artwork.Filled
	for range maxSizingRounds {
		if filled, err = art.Transform(outline.Scale(k, k)).Fill(words, opt); err != nil {
			return nil, err
		}
		more, err := size.Factor(filled.Path)
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
	path, err := it.size().Apply(filled.Path)
	if err != nil {
		return nil, err
	}
	if it.Border > 0 {
		if path, err = outline.Offset(path, it.Border, outline.OffsetOptions{}); err != nil {
			return nil, err
		}
	}
	if it.InsideGlass {
		path = path.Transform(outline.MirrorX())
	}
	return path.Transform(outline.Translate(path.Bounds().Min.Mul(-1))), nil
}

// designs fills and sizes every item. Every item's problem is reported.
func designs(o Order, opt Options) ([]Design, error) {
	fonts, err := fontsOf(o.Lettering, opt.Files)
	if err != nil {
		return nil, err
	}
	least := o.Lettering.LeastHeight
	if least == 0 {
		least = defaultLeastHeight
	}
	set := artwork.Options{Fonts: fonts, CondenseTo: o.Lettering.CondenseTo, LeastHeight: least}
	out := make([]Design, len(o.Items))
	arts := make([]*artwork.Design, len(o.Items))
	var problems []error
	for i, it := range o.Items {
		art, err := artOf(it, opt.Files)
		if err == nil {
			arts[i] = art
			out[i] = Design{Letter: letters(i), Name: art.Name, Item: it}
			out[i].Filled, err = fill(art, it, o.words(it), set)
		}
		if err != nil {
			problems = append(problems, itemError(i, it, err))
		}
	}
	if len(problems) > 0 {
		return nil, errors.Join(problems...)
	}
	if o.Lettering.Rule == "same" {
		set.CapHeight = leastCapHeight(out)
	}
	for i, it := range o.Items {
		var err error
		if set.CapHeight > 0 {
			out[i].Filled, err = fill(arts[i], it, o.words(it), set)
		}
		if err == nil {
			out[i].Path, err = outermost(out[i].Filled, it)
		}
		if err != nil {
			problems = append(problems, itemError(i, it, err))
		}
	}
	return out, errors.Join(problems...)
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

// leastCapHeight returns the least cap height of all words, 0 where there are
// none.
func leastCapHeight(designs []Design) units.Length {
	var least units.Length
	for _, d := range designs {
		for _, w := range d.Filled.Words {
			if least == 0 || w.CapHeight < least {
				least = w.CapHeight
			}
		}
	}
	return least
}
