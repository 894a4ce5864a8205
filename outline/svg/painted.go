package svg

import (
	"encoding/xml"
)

// attribute returns an attribute without namespace.
func attribute(name, value string) xml.Attr {
	return xml.Attr{Name: xml.Name{Local: name}, Value: value}
}

// paint adds the shape s with its painted areas to the drawing. subpaths are
// its geometry in user space, placed the same in millimetres.
func (r *reader) paint(e *element, c context, s Shape, subpaths, placed []Subpath) error {
	filled := c.style.fill.kind != paintNone && c.style.fillOpacity > 0 && e.name != "line"
	if filled {
		s.Path = fill(placed, c.style.fillRule)
		if c.style.fill.kind == paintServer {
			r.warn(e, "a gradient or pattern is not applied: the area is cut in one colour")
		}
		if len(s.Path) > 0 {
			s.Fill = c.style.fill.hex(c.style.color)
		}
	}
	r.drawing.Shapes = append(r.drawing.Shapes, s)
	return nil
}
