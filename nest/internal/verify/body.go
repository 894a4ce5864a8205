package verify

import (
	"math"

	"github.com/paulmach/orb"
)

// edge runs from a to b with the interior of its body on the left; before and after are the neighbouring vertices.
type edge struct {
	before, a, b, after orb.Point
}

func (e *edge) box() box {
	return box{min(e.a[0], e.b[0]), min(e.a[1], e.b[1]), max(e.a[0], e.b[0]), max(e.a[1], e.b[1])}
}

// box is an axis-parallel rectangle.
type box struct{ x0, y0, x1, y1 float64 }

// emptyBox holds nothing.
func emptyBox() box { return box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

func (b box) union(c box) box {
	return box{min(b.x0, c.x0), min(b.y0, c.y0), max(b.x1, c.x1), max(b.y1, c.y1)}
}

// within reports whether the two boxes come within d of each other along both axes.
func (b box) within(c box, d float64) bool {
	return b.x0-c.x1 <= d && c.x0-b.x1 <= d && b.y0-c.y1 <= d && c.y0-b.y1 <= d
}

// near reports whether the two boxes come within d of each other.
func (b box) near(c box, d float64) bool {
	dx, dy := max(b.x0-c.x1, c.x0-b.x1, 0), max(b.y0-c.y1, c.y0-b.y1, 0)
	// The squares round; what is as far as d must not be lost, since its exact distance may be less.
	return dx*dx+dy*dy <= d*d*(1+0x1p-40)
}

// Body is a placed outline, made ready for measuring. It is read only after NewBody and safe for concurrent use.
type Body struct {
	edges []edge
	outer []orb.Point // one vertex of every outer ring
	box   box
}

// NewBody prepares an outline. Rings may run either way, may repeat their first point and repeat points; the first ring
// of each polygon is its outside, the others are holes. The outline is not modified and not kept.
func NewBody(outline orb.MultiPolygon) *Body {
	body := &Body{box: emptyBox()}
	for _, polygon := range outline {
		for i, ring := range polygon {
			points := distinct(ring)
			if len(points) < 3 {
				continue
			}
			if (signedArea(points) < 0) == (i == 0) {
				for l, r := 0, len(points)-1; l < r; l, r = l+1, r-1 {
					points[l], points[r] = points[r], points[l]
				}
			}
			if i == 0 {
				body.outer = append(body.outer, points[0])
			}
			n := len(points)
			for k := range points {
				e := edge{points[(k+n-1)%n], points[k], points[(k+1)%n], points[(k+2)%n]}
				body.edges = append(body.edges, e)
				body.box = body.box.union(e.box())
			}
		}
	}
	return body
}

// Empty reports whether the body has no edges.
func (b *Body) Empty() bool { return len(b.edges) == 0 }

// Bounds returns the least and greatest coordinates.
func (b *Body) Bounds() orb.Bound {
	return orb.Bound{Min: orb.Point{b.box.x0, b.box.y0}, Max: orb.Point{b.box.x1, b.box.y1}}
}

// Outside returns the body that covers everything within the box but the region: what pieces on a leftover must keep clear of.
func Outside(region orb.MultiPolygon, bound orb.Bound) orb.MultiPolygon {
	frame := orb.Polygon{orb.Ring{bound.Min, {bound.Max[0], bound.Min[1]}, bound.Max, {bound.Min[0], bound.Max[1]}}}
	var islands orb.MultiPolygon
	for _, polygon := range region {
		for i, ring := range polygon {
			if i == 0 {
				frame = append(frame, ring)
			} else {
				islands = append(islands, orb.Polygon{ring})
			}
		}
	}
	return append(orb.MultiPolygon{frame}, islands...)
}

// distinct copies the ring without points equal to the one before.
func distinct(ring orb.Ring) []orb.Point {
	points := make([]orb.Point, 0, len(ring))
	for _, p := range ring {
		if len(points) == 0 || points[len(points)-1] != p {
			points = append(points, p)
		}
	}
	for len(points) > 1 && points[0] == points[len(points)-1] {
		points = points[:len(points)-1]
	}
	return points
}

// signedArea is positive for a ring that runs counter-clockwise. It is taken about the first point, so that far from the
// origin no digits are lost.
func signedArea(points []orb.Point) float64 {
	o := points[0]
	sum := 0.0
	for i := 1; i+1 < len(points); i++ {
		sum += (points[i][0]-o[0])*(points[i+1][1]-o[1]) - (points[i][1]-o[1])*(points[i+1][0]-o[0])
	}
	return sum / 2
}

// contains reports whether p is in the interior of the body; on the boundary it is not.
func (b *Body) contains(p orb.Point) bool {
	if p[0] <= b.box.x0 || p[0] >= b.box.x1 || p[1] <= b.box.y0 || p[1] >= b.box.y1 {
		return false
	}
	winding := 0
	for i := range b.edges {
		e := &b.edges[i]
		if e.a[1] <= p[1] == (e.b[1] <= p[1]) {
			if e.a[1] == p[1] && e.b[1] == p[1] && min(e.a[0], e.b[0]) <= p[0] && p[0] <= max(e.a[0], e.b[0]) {
				return false
			}
			if p == e.a || p == e.b {
				return false
			}
			continue
		}
		switch side := orient(e.a, e.b, p); {
		case side == 0:
			return false
		case side > 0 && e.b[1] > e.a[1]:
			winding++
		case side < 0 && e.b[1] < e.a[1]:
			winding--
		}
	}
	return winding > 0
}
