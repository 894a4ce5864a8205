package svg

import (
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Options tells [Read] how to take a drawing. The zero value is the usual.
type Options struct {
	// Tolerance bounds how far arcs, strokes and overlapping fills may leave
	// the exact shape at the drawing's physical size; zero means
	// [outline.DefaultTolerance].
	Tolerance units.Length

	// Pixel is the size of a pixel, the unit of lengths without one on the
	// outermost svg element; zero means the standard's 1/96 in. Artwork saved
	// at 72 pixels to the inch needs 1/72 in.
	Pixel units.Length

	// MaxNodes lowers the limit of the same name, for a service that reads
	// strangers' files; zero means that constant.
	MaxNodes int
}

// Drawing is one file: a page and the shapes on it.
type Drawing struct {
	// Width and Height are the page's physical size, from the outermost svg
	// element's width and height or else from its viewBox.
	Width, Height units.Length

	// Shapes are in the order of painting, later ones on top. Shapes that are
	// not displayed or hidden are not among them.
	Shapes []Shape

	// Warnings tell what is not cut, or not as drawn, in the order of the file.
	Warnings []Warning
}

// Path returns the area that the drawing paints in any colour, welded: what is
// cut when all of it is one film. The Origin of a segment is 1 + the index into
// Shapes of what it was drawn by, see [Drawing.Describe]. A drawing that paints
// nothing gives the empty path.
func (d *Drawing) Path(opt outline.BooleanOptions) (outline.Path, error) {
	var parts []outline.Path
	for i, s := range d.Shapes {
		if len(s.Path) > 0 {
			parts = append(parts, s.Path.WithOrigin(int32(i+1)))
		}
	}
	return outline.Weld(parts, opt)
}

// Describe names the shape that an origin of [Drawing.Path] stands for: its id,
// or "the circle of line 12"; "an unknown shape" for a number that is none of
// them.
func (d *Drawing) Describe(origin int32) string {
	i := int(origin) - 1
	if i < 0 || i >= len(d.Shapes) {
		return "an unknown shape"
	}
	s := d.Shapes[i]
	if s.ID != "" {
		return s.ID
	}
	return fmt.Sprintf("the %s of line %d", s.Element, s.Line)
}

// Part tells which of its paints a Shape stands for.
type Part uint8

// The parts of an element's painting.
const (
	// Whole is fill and stroke together, in one colour.
	Whole Part = iota
	// FillOnly is the fill of an element whose stroke has another colour.
	FillOnly
	// StrokeOnly is that stroke, a Shape of its own that follows the fill.
	StrokeOnly
)

// String names the part.
func (p Part) String() string {
	switch p {
	case Whole:
		return "whole"
	case FillOnly:
		return "fill"
	case StrokeOnly:
		return "stroke"
	}
	return "unknown part"
}

// Shape is one element that paints, in millimetres, y up, (0, 0) at the
// page's lower left corner.
type Shape struct {
	ID, Class string
	Element   string // such as path or circle
	Line      int    // of the element in the file, from 1
	Part      Part

	// Groups are the ancestors that say something (g, svg, symbol and use
	// elements), outermost first, without the outermost svg.
	Groups []Group

	// Data holds the data-* attributes without that prefix; nil if none.
	Data map[string]string

	// Fill is the colour as "#rrggbb", "" for a shape that paints nothing,
	// such as a guide line or the edge of a slot.
	Fill string

	// Path is the painted area, strokes included: outer contours
	// counter-clockwise, holes clockwise, nothing overlapping. Empty where
	// Fill is "".
	Path outline.Path

	// Curves is the geometry as drawn, before filling and stroking, one curve
	// for every subpath, each in its drawn direction; closed subpaths end
	// exactly at their start. Empty in a StrokeOnly shape.
	Curves []outline.Curve
}

// Group is an element around a shape.
type Group struct {
	ID, Class string
	Label     string // the name of a layer, as editors write it in a label attribute
	Data      map[string]string
}
