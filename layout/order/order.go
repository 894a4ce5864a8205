package order

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/vinylgeom/vinyl/units"
)

// Order is what a shop is asked to cut. Decals of several customers can be
// ganged in one order: see Item.For.
type Order struct {
	Title    string `json:"title"`
	Customer string `json:"customer,omitempty"`

	Film      Film       `json:"film"`                // what items that name none are cut from
	Films     []Film     `json:"films,omitempty"`     // further films
	Leftovers []Leftover `json:"leftovers,omitempty"` // used before the rolls

	Gap        units.Length `json:"gap"`         // between decals
	EdgeMargin units.Length `json:"edge_margin"` // from the film's long edges to the outermost cut
	Lead       units.Length `json:"lead,omitzero"`
	Tail       units.Length `json:"tail,omitzero"`     // film after the cut-off line that the machine needs
	MaxLoad    units.Length `json:"max_load,omitzero"` // greatest length of a load; absent: no limit
	// MaxLoadMinutes bounds the machine's time for a load; absent: no limit.
	MaxLoadMinutes float64 `json:"max_load_minutes,omitempty"`

	// BorderClearance is kept between decals and the weed border round
	// them, and between the outermost cut and the cut-off line; absent: the gap.
	BorderClearance units.Length `json:"border_clearance,omitzero"`
	// WeedBorder is what a weed border is cut round: "load" (the default: all
	// decals of a load at once), "decal" (a box round every decal, turned with
	// it; then the gap is kept between boxes) or "none".
	WeedBorder string `json:"weed_border,omitempty"`
	// WeedLines slits the waste within each weed border where it would tear or
	// surrounds many pieces, clear of every decal; the border's clearance must
	// be as wide as the film's waste has to be to peel.
	WeedLines bool `json:"weed_lines,omitempty"`
	// LeastLeftover is the side of the smallest square worth keeping of a
	// load's rest; absent: 3 in.
	LeastLeftover units.Length `json:"least_leftover,omitzero"`

	// KeepTogether lays the decals of each customer (Item.For) side by side,
	// for packing.
	KeepTogether bool `json:"keep_together,omitempty"`
	// IdenticalLoads prefers loads that are copies of one another, and writes
	// one file for them.
	IdenticalLoads bool `json:"identical_loads,omitempty"`

	// Mend changes designs before they are cut so that they keep the film's
	// limits of this severity: "caution", "warn" or "refuse"; absent: designs are
	// cut as drawn. Thin strokes are thickened, narrow gaps widened, small
	// counters filled, specks joined and sharp tips blunted; what was done stands
	// in the report, and the approval page shows the result. Designs in several
	// colours are left alone, their films would no longer fit one another.
	Mend string `json:"mend,omitempty"`

	// Gang is how decals are laid out: "irregular" (the default), "straight" or whichever is
	// "cheaper"; on a leftover that is no rectangle they are irregular in any case.
	Gang string `json:"gang,omitempty"`

	Shop      Shop              `json:"shop,omitzero"`
	Machine   Machine           `json:"machine,omitzero"`
	Lettering Lettering         `json:"lettering,omitzero"`
	Words     map[string]string `json:"words,omitempty"` // by slot, for items that give none of their own
	// Alike sizes all items that give no size of their own.
	Alike Alike  `json:"alike,omitzero"`
	Items []Item `json:"items"`
}

// Alike is one size for many designs: one of its fields, each as in [Item].
// The same area makes designs look equally large, the same height stand in line,
// the same cap height read from equally far.
type Alike struct {
	Height    units.Length `json:"height,omitzero"`
	Width     units.Length `json:"width,omitzero"`
	Area      units.Area   `json:"area,omitzero"`
	CapHeight units.Length `json:"cap_height,omitzero"`
}

// Film is a film on the shelf.
type Film struct {
	Name   string       `json:"name"`
	Colour string       `json:"colour"` // "#rrggbb"
	Width  units.Length `json:"width"`
	Class  string       `json:"class,omitempty"` // cast, calendered, reflective or heat-transfer; absent: calendered
	// Rolls says how much is left on each roll, used in this order; absent:
	// enough.
	Rolls []units.Length `json:"rolls,omitempty"`
}

// Leftover is a piece of film that is used before the roll: a rectangle, or
// any shape as SVG path data in millimetres, y up, with holes already cut.
type Leftover struct {
	Name   string       `json:"name"`            // as it is labelled on the shelf; absent: its place in the list
	Film   string       `json:"film,omitempty"`  // absent: the order's film
	Length units.Length `json:"length,omitzero"` // of a rectangle, along x
	Width  units.Length `json:"width,omitzero"`  // of a rectangle, along y
	// Path is instead the shape of an irregular one: closed contours, by the
	// even-odd rule, so that a contour within another is a hole; any origin.
	Path string `json:"path_mm,omitempty"`
}

// Lettering says how words are set in their slots.
type Lettering struct {
	Font string `json:"font,omitempty"` // a font file beside the order; absent: Go Bold
	// Rule is "fill" (the default: letters as high as their slot) or "same"
	// (one cap height across the whole order: the least that filling gives,
	// save for items that are sized by their cap height).
	Rule        string       `json:"rule,omitempty"`
	CondenseTo  float64      `json:"condense_to,omitempty"` // share of the natural width, absent: 0.7
	LeastHeight units.Length `json:"least_height,omitzero"` // absent: 1/4 in
}

// Item is one design of an order and how many decals of it are cut.
type Item struct {
	Design string `json:"design,omitempty"` // the name of a design in the library's demo set
	File   string `json:"file,omitempty"`   // or an SVG file beside the order
	Film   string `json:"film,omitempty"`   // the name of one of the order's films; absent: the order's film
	For    string `json:"for,omitempty"`    // whose decals these are, where an order gangs several customers'

	Words    map[string]string `json:"words,omitempty"`    // by slot, instead of the order's
	Wordings []Wording         `json:"wordings,omitempty"` // several sets of words, each cut Copies times or as it says
	Roster   string            `json:"roster,omitempty"`   // or a CSV file of them beside the order, see [ReadRoster]

	// One of these is the size of the outermost cut, before turning; absent: the
	// order's Alike. Cap height is that of the first slot's letters.
	Height    units.Length `json:"height,omitzero"`
	Width     units.Length `json:"width,omitzero"`
	Area      units.Area   `json:"area,omitzero"` // of film, so that designs look equally large
	CapHeight units.Length `json:"cap_height,omitzero"`

	Border   units.Length `json:"border,omitzero"`     // an outline of film added round the decal
	Copies   int          `json:"copies,omitempty"`    // of each wording; with packs, their number times their size
	Spares   int          `json:"spares,omitempty"`    // cut besides, of each wording
	PackSize int          `json:"pack_size,omitempty"` // decals in a pack; absent: packed as they come
	Packs    int          `json:"packs,omitempty"`     // instead of copies

	// Turn is how the decal may lie on the film: "none" (the default), "half",
	// "quarter" or "any".
	Turn string `json:"turn,omitempty"`
	// InsideGlass cuts the decal mirrored, to be read through glass.
	InsideGlass bool `json:"inside_glass,omitempty"`
	// Colours names the film for each colour of a design in several, such as
	// {"#d62828": "gloss red"}; absent: all colours are cut as one.
	Colours map[string]string `json:"colours,omitempty"`
	// Trap is by how much a lower colour reaches under an upper one; absent:
	// 1/16 in.
	Trap units.Length `json:"trap,omitzero"`
	// OnVehicle warns where letters cannot be read from two car lengths.
	OnVehicle bool `json:"on_vehicle,omitempty"`
}

// Limits that keep a faulty or hostile order file cheap.
const (
	MaxFileSize = 16 << 20 // bytes of an order file
	MaxItems    = 10_000   // designs of one order
	MaxCopies   = 100_000  // decals of one order
	MaxNodes    = 20 << 20 // segments of all decals together: some 3 GB in memory

	// MaxLength bounds every length of an order: longer than any film, and short
	// enough that a missing unit is seen.
	MaxLength = 1000 * units.Metre
)

// defaultLeastHeight is the least cap height of an order that states none: a
// film maker gives 0.25 in for cast film (3M Product Bulletin 7725, 2016).
const defaultLeastHeight = 0.25 * units.Inch

// Read reads an order file. Every problem of its fields is reported at once:
// the error joins [*Error] values.
func Read(r io.Reader) (Order, error) {
	var o Order
	data, err := io.ReadAll(io.LimitReader(r, MaxFileSize+1))
	if err != nil {
		return o, &Error{Where: "order file", Cause: err}
	}
	if len(data) > MaxFileSize {
		return o, &Error{Where: "order file", Cause: ErrTooLarge, Detail: fmt.Sprintf("more than %d bytes", MaxFileSize), Fix: "split the order"}
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&o); err != nil {
		return o, decodeError(err, data, dec.InputOffset())
	}
	if rest := bytes.TrimSpace(data[dec.InputOffset():]); len(rest) > 0 {
		return o, &Error{Where: position(data, dec.InputOffset()), Cause: ErrNotJSON, Detail: "there is more text after the order", Fix: "keep one JSON object in the file"}
	}
	return o, o.Check()
}

// decodeError says where in the file encoding/json stopped, and how to mend it.
func decodeError(err error, data []byte, offset int64) error {
	var syntax *json.SyntaxError
	var mismatch *json.UnmarshalTypeError
	var parse *units.ParseError
	switch {
	case errors.As(err, &syntax):
		return &Error{Where: position(data, syntax.Offset), Cause: ErrNotJSON, Detail: syntax.Error(), Fix: "mend the JSON there"}
	case errors.As(err, &mismatch):
		return &Error{Where: position(data, mismatch.Offset), Cause: ErrInvalid, Detail: fmt.Sprintf("%s is a %s", mismatch.Field, mismatch.Value), Fix: "give " + wanted(mismatch.Type.String())}
	case errors.As(err, &parse):
		return &Error{Where: position(data, offset), Cause: ErrInvalid, Detail: parse.Error(), Fix: `write a number and a unit, such as "5 1/4 in"`}
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return &Error{Where: "order file", Cause: ErrNotJSON, Detail: "it ends too early", Fix: "give one whole JSON object"}
	}
	if field, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		return &Error{Where: position(data, offset), Cause: ErrUnknownField, Detail: field, Fix: "mend its spelling or leave it out; the fields are listed in the documentation of package order"}
	}
	var moment *time.ParseError
	if errors.As(err, &moment) {
		return &Error{Where: position(data, offset), Cause: ErrInvalid, Detail: strconv.Quote(moment.Value) + " is no moment", Fix: `write the day, the time and the hours from UTC, such as "2026-11-25T17:00:00-05:00"`}
	}
	if amount, ok := strings.CutPrefix(err.Error(), "error decoding string "); ok { // of package decimal, which has no type for it
		return &Error{Where: position(data, offset), Cause: ErrInvalid, Detail: "an amount: " + amount, Fix: `write digits only, such as "12.50"`}
	}
	return &Error{Where: position(data, offset), Cause: ErrNotJSON, Detail: err.Error()}
}

func wanted(goType string) string {
	switch {
	case strings.HasPrefix(goType, "units."):
		return `text with a unit, such as "5 1/4 in"`
	case goType == "int":
		return "a whole number"
	case goType == "string":
		return "text in quotes"
	case goType == "bool":
		return "true or false"
	case goType == "float64":
		return "a number"
	}
	return "what the documentation of package order shows there"
}

// position names the line and column of a byte offset.
func position(data []byte, offset int64) string {
	before := data[:min(max(offset, 0), int64(len(data)))]
	line := 1 + bytes.Count(before, []byte("\n"))
	column := len(before) - bytes.LastIndexByte(before, '\n')
	return fmt.Sprintf("order file, line %d, column %d", line, column)
}

// copies returns the decals of each wording that gives no number of its own.
func (it Item) copies() int {
	if it.Packs > 0 {
		return it.Packs * it.PackSize
	}
	return it.Copies
}

// sizes returns how many of the sizes are given.
func (a Alike) sizes() int {
	n := 0
	for _, given := range []bool{a.Height != 0, a.Width != 0, a.Area != 0, a.CapHeight != 0} {
		if given {
			n++
		}
	}
	return n
}

// sized returns the item with the order's size, where it has none of its own.
func (o Order) sized(it Item) Item {
	own := Alike{it.Height, it.Width, it.Area, it.CapHeight}
	if own.sizes() == 0 {
		it.Height, it.Width, it.Area, it.CapHeight = o.Alike.Height, o.Alike.Width, o.Alike.Area, o.Alike.CapHeight
	}
	return it
}

// film returns the film that the item is cut from.
func (o Order) film(it Item) (Film, bool) {
	if it.Film == "" || it.Film == o.Film.Name {
		return o.Film, true
	}
	for _, f := range o.Films {
		if f.Name == it.Film {
			return f, true
		}
	}
	return Film{}, false
}

// clearance returns the distance between decals, weed border and cut-off line.
func (o Order) clearance() units.Length {
	if o.BorderClearance == 0 {
		return o.Gap
	}
	return o.BorderClearance
}

// leastLeftover is common practice, no source.
func (o Order) leastLeftover() units.Length {
	if o.LeastLeftover == 0 {
		return 3 * units.Inch
	}
	return o.LeastLeftover
}
