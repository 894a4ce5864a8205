package layout

import (
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Leftover is a piece of film that is still good: a rectangle, or any shape,
// with holes where something has been cut out of it.
type Leftover struct {
	Name  string       // as it is labelled on the shelf
	Film  string       // the film's name
	Shape outline.Path // in its own millimetres, y up
}

// RectangleLeftover returns a rectangular leftover with a corner at (0, 0),
// length along x and width along y.
func RectangleLeftover(name, film string, length, width units.Length) (Leftover, error) {
	if !(length > 0) || !(width > 0) || !length.IsFinite() || !width.IsFinite() {
		return Leftover{}, &Error{Op: "leftover", Subject: name, Cause: ErrInvalid, Detail: fmt.Sprintf("it is %v by %v", length, width), Fix: "give sizes above zero"}
	}
	return Leftover{name, film, rectangle(outline.Box{Max: outline.Pt(float64(length), float64(width))})}, nil
}

func rectangle(b outline.Box) outline.Path {
	return outline.Path{outline.Polygon(b.Min, outline.Pt(b.Max.X, b.Min.Y), b.Max, outline.Pt(b.Min.X, b.Max.Y))}
}

// Leftover returns the film of the sheet that stays whole when everything in
// its box has been cut and weeded: the load less that box, widened by
// clearance. Registration marks are in that box, trim lines are not: they part
// the load from the roll. The rest is kept if a rectangle of at least least by
// least lies in it; ok is false where none does, and where clearance or least is
// negative or no finite number.
func (s Sheet) Leftover(clearance, least units.Length) (l Leftover, ok bool) {
	whole := outline.Box{Max: outline.Pt(float64(s.Length), float64(s.Film.Width))}
	b := s.WeedBorder.Bounds()
	for _, d := range s.Decals {
		b = b.Union(d.Path.Bounds())
	}
	for _, mark := range s.Marks {
		b = b.Union(mark.Bounds())
	}
	if !(clearance >= 0) || !(least >= 0) || !clearance.IsFinite() || !least.IsFinite() || whole.IsEmpty() || b.IsEmpty() {
		return Leftover{}, false
	}
	b = b.Grow(float64(clearance))
	b.Min.X, b.Min.Y = max(b.Min.X, 0), max(b.Min.Y, 0)
	b.Max.X, b.Max.Y = min(b.Max.X, whole.Max.X), min(b.Max.Y, whole.Max.Y)
	// The box lies in the whole, so the largest rectangles beside it are these
	// four.
	useful := false
	for _, r := range [4]outline.Box{
		{Min: whole.Min, Max: outline.Pt(whole.Max.X, b.Min.Y)},
		{Min: outline.Pt(0, b.Max.Y), Max: whole.Max},
		{Min: whole.Min, Max: outline.Pt(b.Min.X, whole.Max.Y)},
		{Min: outline.Pt(b.Max.X, 0), Max: whole.Max},
	} {
		useful = useful || min(r.Width(), r.Height()) >= float64(least)
	}
	if !useful {
		return Leftover{}, false
	}
	shape, err := outline.Subtract(rectangle(whole), []outline.Path{rectangle(b)}, outline.BooleanOptions{})
	if err != nil || len(shape) == 0 {
		return Leftover{}, false
	}
	return Leftover{Name: "rest of " + s.Name, Film: s.Film.Name, Shape: shape}, true
}
