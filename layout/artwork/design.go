package artwork

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
)

// Mode tells what a slot's letters do to the art.
type Mode uint8

// The modes.
const (
	Weld     Mode = iota // the letters are film, joined to the art where they overlap it
	Subtract             // the letters are cut out of the art
)

// String names the mode as a design's file does.
func (m Mode) String() string {
	switch m {
	case Weld:
		return "weld"
	case Subtract:
		return "subtract"
	}
	return "unknown mode"
}

// Slot is a place for words.
type Slot struct {
	Name   string
	Mode   Mode
	Bottom outline.Curve // the letters' feet stand on it, run in reading direction
	Top    outline.Curve // the capitals' heads reach it
}

// Layer is the part of a design's art that is cut from one film.
type Layer struct {
	Colour string // as the file gives it, "#rrggbb"
	Path   outline.Path
}

// Design is artwork with named slots, in millimetres at the size of its file,
// y up.
type Design struct {
	Name   string
	Art    outline.Path // welded, all colours together
	Layers []Layer      // by colour, in the file's order, lowest first
	Slots  []Slot
	// Warnings tells what the file holds that cannot be cut.
	Warnings []string
}

// Read reads a design from SVG, of which the limits are those of package svg.
// The error is a [*DesignError]; one of the file as such wraps that of svg.
func Read(r io.Reader, name string) (*Design, error) {
	drawing, err := svg.Read(r, svg.Options{})
	if err != nil {
		return nil, &DesignError{Design: name, Cause: err}
	}
	d := &Design{Name: name}
	for _, w := range drawing.Warnings {
		d.Warnings = append(d.Warnings, w.String())
	}
	for _, shape := range drawing.Shapes {
		slot := slotGroup(shape)
		if slot == nil {
			if len(shape.Path) > 0 && shape.Fill != "" {
				d.addArt(shape)
			}
			continue
		}
		if err := d.addEdge(shape, slot); err != nil {
			return nil, err
		}
	}
	if len(d.Layers) == 0 {
		return nil, &DesignError{Design: name, Cause: ErrNoArt, Fix: "draw at least one closed, filled shape"}
	}
	for _, s := range d.Slots {
		missing := ""
		switch {
		case len(s.Bottom.Segments) == 0:
			missing = "bottom"
		case len(s.Top.Segments) == 0:
			missing = "top"
		default:
			continue
		}
		return nil, &DesignError{Design: name, Slot: s.Name, Cause: ErrNoEdge, Fix: "draw an open path of class " + missing + " in the slot's group"}
	}
	paths := make([]outline.Path, len(d.Layers))
	for i := range d.Layers {
		l := &d.Layers[i]
		if l.Path, err = outline.Weld([]outline.Path{l.Path}, outline.BooleanOptions{}); err != nil {
			return nil, &DesignError{Design: name, Cause: err}
		}
		paths[i] = l.Path
	}
	d.Art = paths[0]
	if len(paths) > 1 {
		if d.Art, err = outline.Weld(paths, outline.BooleanOptions{}); err != nil {
			return nil, &DesignError{Design: name, Cause: err}
		}
	}
	return d, nil
}

// slotGroup returns the innermost group of class "slot" round the shape, nil
// for none.
func slotGroup(s svg.Shape) *svg.Group {
	for i := len(s.Groups) - 1; i >= 0; i-- {
		if hasClass(s.Groups[i].Class, "slot") {
			return &s.Groups[i]
		}
	}
	return nil
}

func hasClass(list, class string) bool { return slices.Contains(strings.Fields(list), class) }

func (d *Design) addArt(s svg.Shape) {
	path := s.Path.WithOrigin(ArtOrigin)
	for i := range d.Layers {
		if d.Layers[i].Colour == s.Fill {
			d.Layers[i].Path = append(d.Layers[i].Path, path...)
			return
		}
	}
	d.Layers = append(d.Layers, Layer{s.Fill, path})
}

func (d *Design) addEdge(s svg.Shape, g *svg.Group) error {
	fail := func(cause error, fix string) error {
		return &DesignError{Design: d.Name, Slot: g.ID, Line: s.Line, Cause: cause, Fix: fix}
	}
	if g.ID == "" {
		return fail(ErrNoName, "give the slot's group an id")
	}
	i := slices.IndexFunc(d.Slots, func(s Slot) bool { return s.Name == g.ID })
	if i < 0 {
		slot := Slot{Name: g.ID}
		switch mode := g.Data["mode"]; mode {
		case "", "weld":
		case "subtract":
			slot.Mode = Subtract
		default:
			return fail(ErrInvalid, fmt.Sprintf("data-mode is %q; use weld or subtract", mode))
		}
		i = len(d.Slots)
		d.Slots = append(d.Slots, slot)
	}
	if len(s.Curves) != 1 {
		return fail(ErrInvalid, "draw each edge of a slot as one open path")
	}
	switch {
	case hasClass(s.Class, "bottom"):
		d.Slots[i].Bottom = s.Curves[0]
	case hasClass(s.Class, "top"):
		d.Slots[i].Top = s.Curves[0]
	default:
		return fail(ErrInvalid, "a slot holds one path of class bottom and one of class top, nothing else")
	}
	return nil
}

// Slot returns the slot with the given name, or a [*DesignError] that wraps
// [ErrUnknownSlot] and names those that there are.
func (d *Design) Slot(name string) (Slot, error) {
	for _, s := range d.Slots {
		if s.Name == name {
			return s, nil
		}
	}
	names := make([]string, len(d.Slots))
	for i, s := range d.Slots {
		names[i] = s.Name
	}
	return Slot{}, &DesignError{Design: d.Name, Slot: name, Cause: ErrUnknownSlot, Fix: "it has " + list(names)}
}

func list(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

// Transform returns the design moved by t, slots included; d is not modified.
func (d *Design) Transform(t outline.Transform) *Design {
	out := *d
	out.Art = d.Art.Transform(t)
	out.Layers = slices.Clone(d.Layers)
	for i := range out.Layers {
		out.Layers[i].Path = out.Layers[i].Path.Transform(t)
	}
	out.Slots = slices.Clone(d.Slots)
	for i := range out.Slots {
		out.Slots[i].Bottom = out.Slots[i].Bottom.Transform(t)
		out.Slots[i].Top = out.Slots[i].Top.Transform(t)
	}
	return &out
}
