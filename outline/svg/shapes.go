package svg

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// frame is the viewport that percentages refer to, in user units.
type frame struct{ width, height float64 }

// diagonal is what percentages of neither width nor height refer to (SVG 2,
// 8.9).
func (f frame) diagonal() float64 {
	return math.Sqrt((f.width*f.width + f.height*f.height) / 2)
}

// lengths reads attributes of e in user units.
type lengths struct {
	e   *element
	in  frame
	err error
}

// get returns the named attribute in user units, and whether it is there and
// not "auto".
func (l *lengths) get(name string, whole float64) (float64, bool) {
	text := l.e.attr(name)
	if text == "" || text == "auto" || l.err != nil {
		return 0, false
	}
	m, err := parseMeasure(text)
	if err != nil {
		l.err = l.e.fail(name, err)
		return 0, false
	}
	v := m.user(whole)
	if !(math.Abs(v) <= maxRelative) {
		l.err = l.e.fail(name, &syntaxError{want: "a smaller length", cause: ErrTooFar})
	}
	return v, true
}

// size is get for what must not be negative.
func (l *lengths) size(name string, whole float64) (float64, bool) {
	v, ok := l.get(name, whole)
	if v < 0 && l.err == nil {
		l.err = l.e.fail(name, &syntaxError{want: "a length of zero or more"})
	}
	return v, ok
}

// geometry returns the subpaths of a shape element in user space, with arcs
// as cubics within tolerance user units. ok is false for other elements.
func (r *reader) geometry(e *element, in frame, tolerance float64) (subpaths []Subpath, ok bool, err error) {
	l := lengths{e: e, in: in}
	switch e.name {
	case "path":
		p := pathParser{scanner: scanner{text: e.attr("d")}, tolerance: tolerance, budget: r.nodes}
		if p.text != "none" {
			if err := p.parse(); err != nil {
				return nil, true, e.fail("d", err)
			}
		}
		return p.subpaths, true, nil
	case "rect":
		subpaths = l.rect(tolerance)
	case "circle", "ellipse":
		subpaths = l.ellipse(tolerance)
	case "line":
		x1, _ := l.get("x1", in.width)
		y1, _ := l.get("y1", in.height)
		x2, _ := l.get("x2", in.width)
		y2, _ := l.get("y2", in.height)
		subpaths = []Subpath{{Curve: outline.Polyline(outline.Pt(x1, y1), outline.Pt(x2, y2))}}
	case "polyline", "polygon":
		subpaths, l.err = polyline(e)
	default:
		return nil, false, nil
	}
	return subpaths, true, l.err
}

// rect returns a rectangle, from its upper left corner clockwise as seen, by
// the steps of SVG 2, 10.2.
func (l *lengths) rect(tolerance float64) []Subpath {
	x, _ := l.get("x", l.in.width)
	y, _ := l.get("y", l.in.height)
	w, _ := l.size("width", l.in.width)
	h, _ := l.size("height", l.in.height)
	rx, okX := l.size("rx", l.in.width)
	ry, okY := l.size("ry", l.in.height)
	if w == 0 || h == 0 || l.err != nil {
		return nil
	}
	if !okX {
		rx = ry
	}
	if !okY {
		ry = rx
	}
	rx, ry = min(rx, w/2), min(ry, h/2)
	if rx == 0 || ry == 0 {
		c := outline.Polygon(outline.Pt(x, y), outline.Pt(x+w, y), outline.Pt(x+w, y+h), outline.Pt(x, y+h))
		return []Subpath{{c.Curve(), true}}
	}
	c := outline.Curve{Start: outline.Pt(x+rx, y)}
	corner := func(cx, cy, from float64, end outline.Point) {
		e := ellipse{outline.Pt(cx, cy), outline.Pt(rx, 0), outline.Pt(0, ry)}
		c.Segments = e.arc(c.Segments, from, math.Pi/2, tolerance)
		c.Segments[len(c.Segments)-1].End = end
	}
	side := func(end outline.Point) {
		if c.End() != end {
			c.Segments = append(c.Segments, outline.LineTo(end))
		}
	}
	side(outline.Pt(x+w-rx, y))
	corner(x+w-rx, y+ry, -math.Pi/2, outline.Pt(x+w, y+ry))
	side(outline.Pt(x+w, y+h-ry))
	corner(x+w-rx, y+h-ry, 0, outline.Pt(x+w-rx, y+h))
	side(outline.Pt(x+rx, y+h))
	corner(x+rx, y+h-ry, math.Pi/2, outline.Pt(x, y+h-ry))
	side(outline.Pt(x, y+ry))
	corner(x+rx, y+ry, math.Pi, c.Start)
	return []Subpath{{c, true}}
}

// ellipse returns a circle or ellipse, from its rightmost point clockwise as
// seen (SVG 2, 10.3 and 10.4).
func (l *lengths) ellipse(tolerance float64) []Subpath {
	cx, _ := l.get("cx", l.in.width)
	cy, _ := l.get("cy", l.in.height)
	var rx, ry float64
	if l.e.name == "circle" {
		rx, _ = l.size("r", l.in.diagonal())
		ry = rx
	} else {
		var okX, okY bool
		rx, okX = l.size("rx", l.in.width)
		ry, okY = l.size("ry", l.in.height)
		if !okX {
			rx = ry
		}
		if !okY {
			ry = rx
		}
	}
	if rx == 0 || ry == 0 || l.err != nil {
		return nil
	}
	e := ellipse{outline.Pt(cx, cy), outline.Pt(rx, 0), outline.Pt(0, ry)}
	c := outline.Curve{Start: outline.Pt(cx+rx, cy)}
	c.Segments = e.arc(nil, 0, 2*math.Pi, tolerance)
	c.Segments[len(c.Segments)-1].End = c.Start
	return []Subpath{{c, true}}
}

func polyline(e *element) ([]Subpath, error) {
	text := e.attr("points")
	v, err := numbers(text)
	if err == nil && len(v)%2 == 1 {
		err = &syntaxError{offset: len(text), want: "a y for the last x"}
	}
	if err != nil {
		return nil, e.fail("points", err)
	}
	if len(v) == 0 {
		return nil, nil
	}
	points := make([]outline.Point, 0, len(v)/2)
	for i := 0; i < len(v); i += 2 {
		points = append(points, outline.Pt(v[i], v[i+1]))
	}
	if e.name == "polygon" {
		return []Subpath{{outline.Polygon(points...).Curve(), true}}, nil
	}
	return []Subpath{{Curve: outline.Polyline(points...)}}, nil
}
