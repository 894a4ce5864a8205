package order

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/artwork"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// Layout is what layout.json holds: every design's outline and where each
// decal lies, so that any of them can be cut again without the artwork.
type Layout struct {
	Order   Order          `json:"order"`
	Designs []LayoutDesign `json:"designs"`
	Loads   []LayoutLoad   `json:"loads"`
}

// LayoutDesign is the outline of a design at its size.
type LayoutDesign struct {
	Letter string       `json:"letter"` // the first part of its decals' ids
	Name   string       `json:"name"`
	Item   int          `json:"item"`   // index of the order's items
	First  int          `json:"first"`  // number of its first decal
	Copies int          `json:"copies"` // decals, spares included
	Words  []LayoutText `json:"words"`
	Path   string       `json:"path_mm"` // SVG path data in millimetres, y UP
}

// LayoutText is the text of one slot.
type LayoutText struct {
	Slot        string  `json:"slot"`          // its name in the design
	Text        string  `json:"text"`          // as it is cut
	CapHeightMM float64 `json:"cap_height_mm"` // height of the capitals before they are bent
}

// LayoutLoad is where the decals of a load lie, in the order in which they are
// cut.
type LayoutLoad struct {
	Name     string        `json:"name"`               // the stem of its files, such as "load-03"
	Film     string        `json:"film"`               // the film's name
	Leftover string        `json:"leftover,omitempty"` // the leftover it is cut from; absent: the roll
	LengthMM float64       `json:"length_mm"`          // along x, lead and tail included
	WidthMM  float64       `json:"width_mm"`           // of the film or of the leftover's box, along y
	Decals   []LayoutDecal `json:"decals"`
	// Rest is the film of the load that is worth keeping, as SVG path data in
	// millimetres, y up: a leftover of a later order.
	Rest string `json:"rest_path_mm,omitempty"`
}

// LayoutDecal places its design's outline on the load: turned counter-clockwise
// by RotationDeg degrees about (0, 0), then shifted by XMM along the film and
// YMM across it, y up.
type LayoutDecal struct {
	ID          string  `json:"id"`     // such as "B-07"
	Design      int     `json:"design"` // index of the layout's designs
	Number      int     `json:"number"` // among the design's decals, from 1
	RotationDeg float64 `json:"rotation_deg"`
	XMM         float64 `json:"x_mm"`
	YMM         float64 `json:"y_mm"`
}

// Layout returns the placements for layout.json.
func (r *Result) Layout() Layout {
	out := Layout{Order: r.Order}
	for _, d := range r.Designs {
		ld := LayoutDesign{Letter: d.Letter, Name: d.Name, Item: d.item, First: d.First, Copies: d.Copies, Path: svg.PathData(d.Path)}
		for _, w := range d.Filled.Words {
			ld.Words = append(ld.Words, LayoutText{w.Slot, w.Text, float64(w.CapHeight)})
		}
		out.Designs = append(out.Designs, ld)
	}
	for _, load := range r.Loads {
		l := LayoutLoad{Name: load.Sheet.Name, Film: load.Sheet.Film.Name, Leftover: load.Leftover,
			LengthMM: float64(load.Sheet.Length), WidthMM: float64(load.Sheet.Film.Width)}
		for _, k := range load.cuttingOrder() {
			p := load.Placed[k]
			l.Decals = append(l.Decals, LayoutDecal{load.Sheet.Decals[k].ID, p.Design, p.Number, p.Rotation.Degrees(), float64(p.X), float64(p.Y)})
		}
		if load.Rest != nil {
			l.Rest = svg.PathData(load.Rest.Shape)
		}
		out.Loads = append(out.Loads, l)
	}
	return out
}

// cuttingOrder returns the indexes of the sheet's decals in the order in which
// they are begun.
func (l Load) cuttingOrder() []int {
	var out []int
	seen := make([]bool, len(l.Sheet.Decals))
	for _, s := range l.Job.Strokes {
		if s.Decal >= 0 && s.Decal < len(seen) && !seen[s.Decal] {
			seen[s.Decal] = true
			out = append(out, s.Decal)
		}
	}
	return out
}

// ReadLayout reads a layout.json. The error is an [*Error].
func ReadLayout(r io.Reader) (Layout, error) { return readLayout(r, MaxLayoutSize) }

func readLayout(r io.Reader, most int64) (Layout, error) {
	var l Layout
	limited := &io.LimitedReader{R: r, N: most + 1}
	dec := json.NewDecoder(limited)
	dec.DisallowUnknownFields()
	err := dec.Decode(&l)
	if limited.N <= 0 {
		return l, &Error{Where: "layout file", Cause: ErrTooLarge, Detail: fmt.Sprintf("more than %d bytes", most), Fix: "give a layout.json as this library writes it"}
	}
	if err != nil {
		return l, &Error{Where: "layout file", Cause: ErrNotJSON, Detail: err.Error(), Fix: "give a layout.json as this library writes it"}
	}
	return l, l.check()
}

// MaxLayoutSize is the largest layout.json that is read, in bytes: several
// times what an order of [MaxCopies] decals takes.
const MaxLayoutSize = 128 << 20

func (l Layout) check() error {
	bad := func(where, detail string) error {
		return &Error{Where: "layout file, " + where, Cause: ErrInvalid, Detail: detail, Fix: "give a layout.json as this library writes it"}
	}
	if err := l.Order.Check(); err != nil {
		return bad("order", err.Error())
	}
	for i, d := range l.Designs {
		if d.Item < 0 || d.Item >= len(l.Order.Items) || d.Copies < 1 || d.First < 1 {
			return bad(fmt.Sprintf("designs[%d]", i), "its numbers are out of range")
		}
	}
	decals := 0
	for _, load := range l.Loads {
		if decals += len(load.Decals); decals > MaxCopies {
			return &Error{Where: "layout file, loads", Cause: ErrTooLarge, Detail: fmt.Sprintf("more than %d decals in all", MaxCopies), Fix: "run the order in parts"}
		}
		for _, d := range load.Decals {
			if d.Design < 0 || d.Design >= len(l.Designs) || d.Number < 1 || d.Number > l.Designs[d.Design].Copies {
				return bad("load "+load.Name+", decal "+d.ID, "its numbers are out of range")
			}
		}
	}
	return nil
}

// runner returns a runner that has the layout's designs.
func (l Layout) runner(ctx context.Context, opt Options, prefix string) (*runner, error) {
	if err := l.check(); err != nil {
		return nil, err
	}
	r := &runner{order: l.Order, opt: opt, prefix: prefix}
	for i, d := range l.Designs {
		it := l.Order.Items[d.Item]
		curves, err := svg.ParsePathData(d.Path)
		if err != nil {
			return nil, &Error{Where: fmt.Sprintf("layout file, designs[%d]", i), Cause: err}
		}
		design := Design{item: d.Item, Letter: d.Letter, Name: d.Name, Item: it, First: d.First, Copies: d.Copies, Spares: it.Spares, Filled: &artwork.Filled{}}
		design.Film, _ = l.Order.film(it) // Check has seen that there is one
		for _, c := range curves {
			design.Path = append(design.Path, c.Curve.Closed())
		}
		for _, w := range d.Words {
			design.Filled.Words = append(design.Filled.Words, artwork.SetWords{Slot: w.Slot, Text: w.Text, CapHeight: units.Length(w.CapHeightMM)})
		}
		if design.Report, err = weedability.Inspect(ctx, design.Path, limits(design.Film), weedability.Options{OmitWeedLines: true}); err == nil {
			err = design.addBorder(ctx, l.Order)
		}
		if err != nil {
			return nil, &Error{Where: fmt.Sprintf("layout file, designs[%d]", i), Cause: err}
		}
		r.designs = append(r.designs, design)
	}
	return r, nil
}

// find returns the decal with the id, and its load.
func (l Layout) find(id string) (load, decal int, ok bool) {
	for i, load := range l.Loads {
		for j, d := range load.Decals {
			if d.ID == id {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}

// Recut nests only the decals with the given ids, leftovers first: those that
// were spoiled. Leftovers are those of the order that the layout did not use,
// and what its loads left. The result's loads are named recut-01 and so on.
//
// An id that is unknown or named twice, no ids, and a layout that is not whole
// are an [*Error] wrapping [ErrInvalid]; other errors, and what a ctx that ends
// leaves, are those of [Run].
func (l Layout) Recut(ctx context.Context, ids []string, opt Options) (*Result, error) {
	r, err := l.runner(ctx, opt, "recut-")
	if err != nil {
		return nil, err
	}
	fail := func(detail, fix string) (*Result, error) {
		return nil, &Error{Where: "recut", Cause: ErrInvalid, Detail: detail, Fix: fix}
	}
	if len(ids) == 0 {
		return fail("no decal is named", "give ids such as B-07")
	}
	r.numbers = make([][]int, len(r.designs))
	for _, id := range ids {
		load, decal, ok := l.find(id)
		if !ok {
			return fail(fmt.Sprintf("no decal has the id %q", id), "give an id that stands on the proof or the job sheet")
		}
		d := l.Loads[load].Decals[decal]
		if slices.Contains(r.numbers[d.Design], d.Number) {
			return fail(fmt.Sprintf("decal %q is named twice", id), "name it once")
		}
		r.numbers[d.Design] = append(r.numbers[d.Design], d.Number)
	}
	r.order.Leftovers = l.leftovers()
	return r.run(ctx)
}

// leftovers returns the film that is there after the layout has been cut: the
// order's leftovers that it did not use, and what its loads left.
func (l Layout) leftovers() []Leftover {
	var out []Leftover
	for i, rest := range l.Order.Leftovers {
		if !slices.ContainsFunc(l.Loads, func(load LayoutLoad) bool { return load.Leftover == rest.name(i) }) {
			out = append(out, rest)
		}
	}
	for _, load := range l.Loads {
		if load.Rest != "" {
			name := load.Name
			if load.Leftover != "" {
				name = load.Leftover
			}
			out = append(out, Leftover{Name: "rest of " + name, Film: load.Film, Path: load.Rest})
		}
	}
	return out
}

// Resume makes the rest of a load: the decals from the one with the given id
// on, in the order of cutting, the weed border and the cut-off line. They lie
// where they were, to go on after a jam; with fromStart they are moved to the
// start of a new roll. The load is named rest-of-load-03 after load-03.
//
// A load or decal that is unknown, and a layout that is not whole, are an
// [*Error] wrapping [ErrInvalid].
func (l Layout) Resume(ctx context.Context, name, id string, fromStart bool, opt Options) (*Result, error) {
	r, err := l.runner(ctx, opt, "rest-")
	if err != nil {
		return nil, err
	}
	fail := func(detail, fix string) (*Result, error) {
		return nil, &Error{Where: "resume", Cause: ErrInvalid, Detail: detail, Fix: fix}
	}
	i := slices.IndexFunc(l.Loads, func(load LayoutLoad) bool { return load.Name == name })
	if i < 0 {
		return fail(fmt.Sprintf("there is no load %q", name), "name a load of the layout, such as load-03")
	}
	load := l.Loads[i]
	from := slices.IndexFunc(load.Decals, func(d LayoutDecal) bool { return d.ID == id })
	if from < 0 {
		return fail(fmt.Sprintf("load %q has no decal %q", name, id), "name the first decal that is not cut yet")
	}
	film, _ := l.Order.film(Item{Film: load.Film})
	whole := Load{SameAs: -1, Leftover: load.Leftover, Gap: l.Order.Gap, Sheet: layout.Sheet{
		Name: "rest-of-" + name, Length: units.Length(load.LengthMM),
		Film: layout.Film{Name: film.Name, Colour: film.Colour, Width: units.Length(load.WidthMM), Class: filmClasses[film.Class]},
	}}
	for _, d := range load.Decals {
		whole.Placed = append(whole.Placed, Placed{d.Design, d.Number, units.Angle(d.RotationDeg) * units.Degree, units.Length(d.XMM), units.Length(d.YMM)})
	}
	r.dress(&whole.Sheet, whole.Placed)
	if load.Leftover == "" && !fromStart { // the frame is that of the whole load
		frame(&whole.Sheet, l.Order)
	}
	rest := whole
	rest.Placed = whole.Placed[from:]
	if fromStart {
		shift(rest.Placed, whole.Sheet.Decals[from:], l.Order)
	}
	r.dress(&rest.Sheet, rest.Placed)
	if fromStart {
		frame(&rest.Sheet, l.Order)
	}
	rest.Edge = rest.Sheet.EdgeDistance()
	if len(rest.Placed) < 2 {
		rest.Gap = units.Length(math.Inf(1))
	}
	r.loads = []Load{rest}
	return r.finish(ctx)
}

// shift moves the placed decals along the film so that the weed border round
// them begins behind the lead.
func shift(placed []Placed, decals []layout.PlacedDecal, o Order) {
	b := outline.EmptyBox()
	for _, d := range decals {
		b = b.Union(d.Path.Bounds())
	}
	by := o.Lead + o.clearance() - units.Length(b.Min.X)
	for i := range placed {
		placed[i].X += by
	}
}
