package verify

import "github.com/paulmach/orb"

// edgesOverlap reports whether the two edges show that the interiors of their bodies overlap: they cross, or they touch at
// a vertex about which the interiors share an angle. Touching alone is not overlapping.
func edgesOverlap(e, f *edge) bool {
	fa, fb := orient(e.a, e.b, f.a), orient(e.a, e.b, f.b)
	if fa*fb > 0 {
		return false
	}
	ea, eb := orient(f.a, f.b, e.a), orient(f.a, f.b, e.b)
	if ea*eb > 0 {
		return false
	}
	if fa*fb < 0 && ea*eb < 0 {
		return true
	}
	// Only the first vertex of an edge is looked at: the last one is the first one of the next edge.
	if fa == 0 && onBox(f.a, e) && f.a != e.b && sectorsOverlap(f.a, sectorAt(e, f.a), sector{f.b, f.before}) {
		return true
	}
	return ea == 0 && onBox(e.a, f) && e.a != f.a && e.a != f.b && sectorsOverlap(e.a, sector{e.b, e.before}, sectorAt(f, e.a))
}

// onBox reports whether p, known to be on the line of e, is on e.
func onBox(p orb.Point, e *edge) bool {
	return min(e.a[0], e.b[0]) <= p[0] && p[0] <= max(e.a[0], e.b[0]) && min(e.a[1], e.b[1]) <= p[1] && p[1] <= max(e.a[1], e.b[1])
}

// sector is the angle, counter-clockwise from the direction of from to that of to, that the interior takes about a point of
// the boundary.
type sector struct{ from, to orb.Point }

// sectorAt is the sector of the body of e at p, which is e.a or inside e.
func sectorAt(e *edge, p orb.Point) sector {
	if p == e.a {
		return sector{e.b, e.before}
	}
	return sector{e.b, e.a}
}

// sectorsOverlap reports whether two open sectors about p share a direction: if they do, the first shared direction is just
// after the start of one of them.
func sectorsOverlap(p orb.Point, s, t sector) bool {
	if s.empty(p) || t.empty(p) {
		return false
	}
	return sameDirection(p, s.from, t.from) || s.contains(p, t.from) || t.contains(p, s.from)
}

// empty reports whether the sector has no angle: the tip of a spike without area.
func (s sector) empty(p orb.Point) bool { return sameDirection(p, s.from, s.to) }

// contains reports whether the direction from p to q is strictly inside s.
func (s sector) contains(p, q orb.Point) bool {
	switch orient(p, s.from, s.to) {
	case 1:
		return orient(p, s.from, q) > 0 && orient(p, q, s.to) > 0
	case -1:
		return !(orient(p, s.to, q) >= 0 && orient(p, q, s.from) >= 0)
	}
	return orient(p, s.from, q) > 0 // a half-plane, since empty sectors are ruled out
}

// sameDirection reports whether q and r lie on one ray from p.
func sameDirection(p, q, r orb.Point) bool {
	return orient(p, q, r) == 0 && (q[0] > p[0]) == (r[0] > p[0]) && (q[0] < p[0]) == (r[0] < p[0]) &&
		(q[1] > p[1]) == (r[1] > p[1]) && (q[1] < p[1]) == (r[1] < p[1])
}
