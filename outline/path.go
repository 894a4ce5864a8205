package outline

import (
	"slices"

	"github.com/vinylgeom/vinyl/units"
)

// Curve is an open run of segments: a slot's edge, a weed line, a knife's way.
// The zero Curve is the empty one at (0, 0).
type Curve struct {
	Start    Point
	Segments []Segment
}

// Contour is a closed run of segments: the last one ends at Start. It encloses
// area to its left where it runs counter-clockwise.
type Contour struct {
	Start    Point
	Segments []Segment
}

// Path is a set of closed contours. Where several lie inside one another,
// direction and depth tell film from hole by the non-zero rule. The nil Path
// is the empty shape.
type Path []Contour

// End returns where c ends: Start if it has no segments.
func (c Curve) End() Point {
	if len(c.Segments) == 0 {
		return c.Start
	}
	return c.Segments[len(c.Segments)-1].End
}

// Closed returns c as a contour, with a straight closing segment where the
// ends differ.
func (c Curve) Closed() Contour {
	segments := slices.Clone(c.Segments)
	if c.End() != c.Start {
		segments = append(segments, LineTo(c.Start))
	}
	return Contour{c.Start, segments}
}

// Curve returns the contour as a curve that ends where it starts.
func (c Contour) Curve() Curve { return Curve(c) }

// Polyline returns the curve through points, straight from each to the next.
func Polyline(points ...Point) Curve {
	if len(points) == 0 {
		return Curve{}
	}
	c := Curve{Start: points[0], Segments: make([]Segment, 0, len(points)-1)}
	for _, p := range points[1:] {
		c.Segments = append(c.Segments, LineTo(p))
	}
	return c
}

// Polygon returns the closed contour through points; the first need not be
// repeated.
func Polygon(points ...Point) Contour { return Polyline(points...).Closed() }

// Clone returns a deep copy.
func (p Path) Clone() Path {
	q := slices.Clone(p)
	for i := range q {
		q[i].Segments = slices.Clone(q[i].Segments)
	}
	return q
}

// Nodes returns the number of segments of all contours.
func (p Path) Nodes() int {
	n := 0
	for _, c := range p {
		n += len(c.Segments)
	}
	return n
}

// Bounds returns the exact box of the path's curves, empty for an empty path.
func (p Path) Bounds() Box {
	b := EmptyBox()
	for _, c := range p {
		b = b.Union(c.Bounds())
	}
	return b
}

// Bounds returns the exact box of the contour.
func (c Contour) Bounds() Box { return Curve(c).Bounds() }

// Bounds returns the exact box of the curve; of a curve without segments, its
// start.
func (c Curve) Bounds() Box {
	b := Box{c.Start, c.Start}
	at := c.Start
	for _, s := range c.Segments {
		b = b.Union(s.Bounds(at))
		at = s.End
	}
	return b
}

// Area returns the exact signed area enclosed by the contour (Green's
// theorem): positive counter-clockwise.
func (c Contour) Area() units.Area {
	// Measured from the first point, so that a small shape far from the origin
	// keeps its digits.
	o := c.Start
	var sum float64
	at := Point{}
	for _, s := range c.Segments {
		s.C1, s.C2, s.End = s.C1.Sub(o), s.C2.Sub(o), s.End.Sub(o)
		sum += s.signedArea(at)
		at = s.End
	}
	return units.Area(sum)
}

// Area returns the sum of the contours' signed areas: of a welded path, the
// film's area.
func (p Path) Area() units.Area {
	var sum units.Area
	for _, c := range p {
		sum += c.Area()
	}
	return sum
}

// Reversed returns the curve run backwards.
func (c Curve) Reversed() Curve {
	n := len(c.Segments)
	r := Curve{Start: c.End(), Segments: make([]Segment, n)}
	at := c.Start
	for i, s := range c.Segments {
		r.Segments[n-1-i] = s.Reversed(at)
		at = s.End
	}
	return r
}

// Reversed returns the contour run the other way round from the same start.
func (c Contour) Reversed() Contour { return Contour(Curve(c).Reversed()) }

// WithOrigin returns a copy of p whose segments all carry origin.
func (p Path) WithOrigin(origin int32) Path {
	q := p.Clone()
	for _, c := range q {
		for i := range c.Segments {
			c.Segments[i].Origin = origin
		}
	}
	return q
}
