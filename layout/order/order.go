package order

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/vinylgeom/vinyl/units"
)

// Order is what a shop is asked to cut.
type Order struct {
	Title    string `json:"title"`
	Customer string `json:"customer,omitempty"`
	Film     Film   `json:"film"`

	Gap        units.Length `json:"gap"`         // between decals
	EdgeMargin units.Length `json:"edge_margin"` // from the film's long edges to the outermost cut
	Lead       units.Length `json:"lead,omitzero"`
	Tail       units.Length `json:"tail,omitzero"`     // film after the cut-off line that the machine needs
	MaxLoad    units.Length `json:"max_load,omitzero"` // greatest length of a load; absent: no limit

	// BorderClearance is kept between the decals and the weed border round
	// them, and between the border and the cut-off line; absent: the gap.
	BorderClearance units.Length `json:"border_clearance,omitzero"`

	Lettering Lettering         `json:"lettering,omitzero"`
	Words     map[string]string `json:"words,omitempty"` // by slot, for items that give none of their own
	Items     []Item            `json:"items"`
}

// Film is the film an order is cut from.
type Film struct {
	Name   string       `json:"name"`
	Colour string       `json:"colour"` // "#rrggbb"
	Width  units.Length `json:"width"`
	Class  string       `json:"class,omitempty"` // cast, calendered, reflective or heat-transfer; absent: calendered
}

// Lettering says how words are set in their slots.
type Lettering struct {
	Font string `json:"font,omitempty"` // a font file beside the order; absent: Go Bold
	// Rule is "fill" (the default: letters as high as their slot) or "same"
	// (one cap height across the whole order: the least that filling gives).
	Rule        string       `json:"rule,omitempty"`
	CondenseTo  float64      `json:"condense_to,omitempty"`  // share of the natural width, absent: 0.7
	LeastHeight units.Length `json:"least_height,omitempty"` // absent: 6 mm
}

// Item is one design of an order and how many decals of it are cut.
type Item struct {
	Design string            `json:"design,omitempty"` // the name of a design in the library's demo set
	File   string            `json:"file,omitempty"`   // or an SVG file beside the order
	Words  map[string]string `json:"words,omitempty"`  // by slot, instead of the order's
	Height units.Length      `json:"height,omitzero"`  // of the outermost cut, before turning
	Width  units.Length      `json:"width,omitzero"`   // instead of the height
	Border units.Length      `json:"border,omitzero"`  // an outline of film added round the decal
	Copies int               `json:"copies"`
	// Turn is how the decal may lie on the film: "none" (the default), "half",
	// "quarter" or "any".
	Turn string `json:"turn,omitempty"`
	// InsideGlass cuts the decal mirrored, to be read through glass.
	InsideGlass bool `json:"inside_glass,omitempty"`
}

// Limits that keep a faulty or hostile order file cheap.
const (
	MaxFileSize = 16 << 20 // bytes of an order file
	MaxItems    = 10_000   // designs of one order
	MaxCopies   = 100_000  // decals of one order
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

// Check reports every problem of the order's fields that can be seen without
// its designs, joined.
func (o Order) Check() error {
	var problems []error
	add := func(where, detail, fix string) {
		problems = append(problems, &Error{Where: where, Cause: ErrInvalid, Detail: detail, Fix: fix})
	}
	length := func(where string, l units.Length, positive bool) {
		switch {
		case !l.IsFinite() || l < 0:
			add(where, "it is "+l.String(), "give a length of zero or more")
		case positive && l == 0:
			add(where, "it is missing or zero", "give a length above zero")
		}
	}
	length("film.width", o.Film.Width, true)
	length("gap", o.Gap, false)
	length("edge_margin", o.EdgeMargin, false)
	length("lead", o.Lead, false)
	length("tail", o.Tail, false)
	length("max_load", o.MaxLoad, false)
	length("border_clearance", o.BorderClearance, false)
	length("lettering.least_height", o.Lettering.LeastHeight, false)
	if o.Lettering.Rule != "" && o.Lettering.Rule != "fill" && o.Lettering.Rule != "same" {
		add("lettering.rule", fmt.Sprintf("it is %q", o.Lettering.Rule), `use "fill" or "same"`)
	}
	if c := o.Lettering.CondenseTo; c != 0 && !(c > 0 && c <= 1) {
		add("lettering.condense_to", fmt.Sprintf("it is %v", c), "give a share above 0 and up to 1")
	}
	if o.Film.Width > 0 && o.Film.Width <= 2*o.EdgeMargin {
		add("film.width", fmt.Sprintf("%s of film is narrower than its two margins of %s", o.Film.Width, o.EdgeMargin), "use a wider film or a smaller edge_margin")
	}
	if _, ok := filmClasses[o.Film.Class]; !ok {
		add("film.class", fmt.Sprintf("it is %q", o.Film.Class), "use cast, calendered, reflective or heat-transfer")
	}
	if len(o.Items) == 0 {
		add("items", "there are none", "list at least one design")
	}
	if len(o.Items) > MaxItems {
		add("items", fmt.Sprintf("there are %d", len(o.Items)), fmt.Sprintf("split the order at %d", MaxItems))
	}
	total := 0
	for i, it := range o.Items {
		where := fmt.Sprintf("items[%d]", i)
		if (it.Design == "") == (it.File == "") {
			add(where, "it names no design, or both a design and a file", `give either "design" or "file"`)
		}
		if it.Height != 0 && it.Width != 0 || it.Height == 0 && it.Width == 0 {
			add(where, "it has no size, or two", `give either "height" or "width"`)
		}
		length(where+".height", it.Height, false)
		length(where+".width", it.Width, false)
		length(where+".border", it.Border, false)
		if it.Copies < 1 {
			add(where+".copies", fmt.Sprintf("it is %d", it.Copies), "give 1 or more")
		}
		if _, ok := turns[it.Turn]; !ok {
			add(where+".turn", fmt.Sprintf("it is %q", it.Turn), `use "none", "half", "quarter" or "any"`)
		}
		total = min(total+max(it.Copies, 0), MaxCopies+1)
	}
	if total > MaxCopies {
		add("items", fmt.Sprintf("more than %d decals in all", MaxCopies), "split the order")
	}
	return errors.Join(problems...)
}

// words returns the item's own words, or the order's.
func (o Order) words(it Item) map[string]string {
	if len(it.Words) > 0 {
		return it.Words
	}
	return o.Words
}

// clearance returns the distance between decals, weed border and cut-off line.
func (o Order) clearance() units.Length {
	if o.BorderClearance == 0 {
		return o.Gap
	}
	return o.BorderClearance
}
