package cutpath

import (
	"sort"

	"github.com/vinylgeom/vinyl/outline"
)

// enclosing returns for each closed curve the index of the smallest one that
// holds it, or -1. Curves that cross hold each other by the test point alone;
// the larger area is always the holder, so the answer is a forest.
func enclosing(contours []outline.Contour) []int {
	type shape struct {
		index int
		box   outline.Box
		area  float64
		flat  []outline.Point
	}
	shapes := make([]shape, len(contours))
	for i, c := range contours {
		a := float64(c.Area())
		if a < 0 {
			a = -a
		}
		shapes[i] = shape{index: i, box: c.Bounds(), area: a, flat: c.Flatten(nil, 0)}
	}
	// By left edge, so that a holder stands before what it holds; the sweep
	// below then keeps the open boxes only.
	order := make([]int, len(shapes))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(a, b int) bool {
		p, q := &shapes[order[a]], &shapes[order[b]]
		if p.box.Min.X != q.box.Min.X {
			return p.box.Min.X < q.box.Min.X
		}
		if p.area != q.area {
			return p.area > q.area
		}
		return p.index < q.index
	})
	parent := make([]int, len(contours))
	var open []int
	for _, i := range order {
		s := &shapes[i]
		parent[i] = -1
		keep := open[:0]
		best := 0.0
		for _, j := range open {
			t := &shapes[j]
			if t.box.Max.X < s.box.Min.X {
				continue
			}
			keep = append(keep, j)
			if t.area <= s.area || (parent[i] >= 0 && t.area >= best) {
				continue
			}
			if t.box.Contains(s.box.Min) && t.box.Contains(s.box.Max) && holds(t.flat, s.flat) {
				parent[i], best = j, t.area
			}
		}
		open = append(keep, i)
	}
	return parent
}

// holds reports whether inner lies inside outer: the first of inner's points
// that is not on outer's border decides. Where all are on it, the middle of
// inner's first edge does.
func holds(outer, inner []outline.Point) bool {
	for _, p := range inner {
		switch w := winding(outer, p); w {
		case onBorder:
			continue
		default:
			return w != 0
		}
	}
	if len(inner) > 1 {
		if w := winding(outer, inner[0].Lerp(inner[1], 0.5)); w != onBorder {
			return w != 0
		}
	}
	return false
}

// onBorder is the winding number of a point on the polygon's edge.
const onBorder = 1 << 30

// winding returns how often the polygon runs counter-clockwise round p.
func winding(polygon []outline.Point, p outline.Point) int {
	w := 0
	n := len(polygon)
	for i := range n {
		a, b := polygon[i], polygon[(i+1)%n]
		if (a.Y <= p.Y) == (b.Y <= p.Y) {
			if a.Y == p.Y && b.Y == p.Y && min(a.X, b.X) <= p.X && p.X <= max(a.X, b.X) {
				return onBorder
			}
			if b == p {
				return onBorder
			}
			continue
		}
		cross := b.Sub(a).Cross(p.Sub(a))
		if cross == 0 {
			return onBorder
		}
		if a.Y <= p.Y && cross > 0 {
			w++
		} else if a.Y > p.Y && cross < 0 {
			w--
		}
	}
	return w
}
