package verify

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
)

// Crossing finds two edges of an outline that cross one another or run along one another, and reports where. Rings may touch
// themselves and one another in single points.
func Crossing(outline orb.MultiPolygon) (at orb.Point, found bool) {
	body := NewBody(outline)
	list := make([]boxedEdge, len(body.edges))
	for i := range body.edges {
		list[i] = boxedEdge{body.edges[i].box(), &body.edges[i]}
	}
	slices.SortStableFunc(list, func(u, v boxedEdge) int { return cmp.Compare(u.box.x0, v.box.x0) })
	for i, e := range list {
		for _, f := range list[i+1:] {
			if f.box.x0 > e.box.x1 {
				break
			}
			if e.box.within(f.box, 0) && conflict(e.edge, f.edge) {
				return crossingPoint(e.edge, f.edge), true
			}
		}
	}
	return orb.Point{}, false
}

// conflict reports whether two edges of one body share more than a single touching point.
func conflict(e, f *edge) bool {
	fa, fb := orient(e.a, e.b, f.a), orient(e.a, e.b, f.b)
	if fa == 0 && fb == 0 {
		// On one line: in conflict if they share a stretch, that is if their boxes share more than a point.
		b := box{max(e.box().x0, f.box().x0), max(e.box().y0, f.box().y0), min(e.box().x1, f.box().x1), min(e.box().y1, f.box().y1)}
		return b.x0 <= b.x1 && b.y0 <= b.y1 && (b.x0 < b.x1 || b.y0 < b.y1)
	}
	return fa*fb < 0 && orient(f.a, f.b, e.a)*orient(f.a, f.b, e.b) < 0
}

// crossingPoint is the crossing of the two lines in float64, for a message.
func crossingPoint(e, f *edge) orb.Point {
	dx, dy := e.b[0]-e.a[0], e.b[1]-e.a[1]
	fx, fy := f.b[0]-f.a[0], f.b[1]-f.a[1]
	den := dx*fy - dy*fx
	if den == 0 {
		return e.a
	}
	t := ((f.a[0]-e.a[0])*fy - (f.a[1]-e.a[1])*fx) / den
	return orb.Point{e.a[0] + t*dx, e.a[1] + t*dy}
}
