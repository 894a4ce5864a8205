package convex

import (
	"cmp"
	"slices"
)

func sortPoints(p []Point) {
	slices.SortFunc(p, func(a, b Point) int {
		if c := cmp.Compare(a.X, b.X); c != 0 {
			return c
		}
		return cmp.Compare(a.Y, b.Y)
	})
}

// clipper is a ring of vertices from which ears are cut.
type clipper struct {
	pts        []Point
	v          []int32 // point of each node
	prev, next []int32
	reflex     []bool
}

func (c *clipper) at(n int32) Point { return c.pts[c.v[n]] }

func (c *clipper) add(point int32) int32 {
	c.v = append(c.v, point)
	c.prev = append(c.prev, 0)
	c.next = append(c.next, 0)
	c.reflex = append(c.reflex, false)
	return int32(len(c.v) - 1)
}

func (c *clipper) ring(idx []int32) []int32 {
	nodes := make([]int32, len(idx))
	for i, p := range idx {
		nodes[i] = c.add(p)
	}
	for i, n := range nodes {
		c.next[n] = nodes[(i+1)%len(nodes)]
		c.prev[n] = nodes[(i+len(nodes)-1)%len(nodes)]
	}
	return nodes
}

// triangulate cuts one polygon (outer ring counter-clockwise first, then holes
// clockwise) into triangles. O(n * reflex vertices).
func triangulate(pts []Point, rings [][]int32) [][3]int32 {
	c := &clipper{pts: pts}
	outer := c.ring(rings[0])
	holes := make([]int32, 0, len(rings)-1) // right-most node of each hole
	for _, h := range rings[1:] {
		nodes := c.ring(h)
		best := nodes[0]
		for _, n := range nodes {
			if p, q := c.at(n), c.at(best); p.X > q.X || (p.X == q.X && p.Y > q.Y) {
				best = n
			}
		}
		holes = append(holes, best)
	}
	slices.SortFunc(holes, func(a, b int32) int {
		return cmp.Or(cmp.Compare(c.at(b).X, c.at(a).X), cmp.Compare(c.at(a).Y, c.at(b).Y), cmp.Compare(a, b))
	})
	for _, h := range holes {
		c.bridge(outer[0], h)
	}
	return c.clip(outer[0])
}

// bridge joins a hole to the outer ring by a two-way edge from its right-most
// vertex to a vertex that sees it.
func (c *clipper) bridge(outer, h int32) {
	p := c.at(h)
	best := int32(-1)
	bestDist := 0.0
	for n := outer; ; {
		q := c.at(n)
		d := float64((q.X-p.X)*(q.X-p.X)) + float64((q.Y-p.Y)*(q.Y-p.Y))
		if q.X >= p.X && (best < 0 || d < bestDist) && c.inCone(n, p) && c.sees(outer, h, n) {
			best, bestDist = n, d
		}
		n = c.next[n]
		if n == outer {
			break
		}
	}
	if best < 0 {
		return // not a valid hole: leave it filled
	}
	b2, h2 := c.add(c.v[best]), c.add(c.v[h])
	bn, hp := c.next[best], c.prev[h]
	c.next[best], c.prev[h] = h, best
	c.next[hp], c.prev[h2] = h2, hp
	c.next[h2], c.prev[b2] = b2, h2
	c.next[b2], c.prev[bn] = bn, b2
}

// inCone reports whether the direction from node n to p points into the
// polygon at n.
func (c *clipper) inCone(n int32, p Point) bool {
	a, b, d := c.at(c.prev[n]), c.at(n), c.at(c.next[n])
	if Orient(a, b, d) >= 0 {
		return Orient(b, p, a) >= 0 && Orient(b, d, p) >= 0
	}
	return !(Orient(b, a, p) > 0 && Orient(b, p, d) > 0)
}

// sees reports whether no edge of the outer ring or of the hole at h properly
// crosses or touches the open segment h-n.
func (c *clipper) sees(outer, h, n int32) bool {
	p, q := c.at(h), c.at(n)
	blocked := func(start int32) bool {
		for m := start; ; {
			a, b := c.at(m), c.at(c.next[m])
			if a != p && a != q && b != p && b != q {
				if Orient(p, q, a)*Orient(p, q, b) <= 0 && Orient(a, b, p)*Orient(a, b, q) <= 0 {
					return true
				}
			}
			m = c.next[m]
			if m == start {
				return false
			}
		}
	}
	return !blocked(outer) && !blocked(h)
}

func (c *clipper) clip(start int32) [][3]int32 {
	var reflex []int32
	count := 0
	for n := start; ; {
		count++
		if c.setReflex(n) {
			reflex = append(reflex, n)
		}
		n = c.next[n]
		if n == start {
			break
		}
	}
	tris := make([][3]int32, 0, count)
	n, failed := start, 0
	for count > 3 {
		if c.isEar(n, reflex, failed > count) || failed > 2*count {
			a, b := c.prev[n], c.next[n]
			if Orient(c.at(a), c.at(n), c.at(b)) != 0 {
				tris = append(tris, [3]int32{c.v[a], c.v[n], c.v[b]})
			}
			c.next[a], c.prev[b] = b, a
			count--
			c.setReflex(a)
			c.setReflex(b)
			c.reflex[n] = false
			failed = 0
			n = c.next[b] // skip one: triangles stay fatter
			if len(reflex) > 16 && count%32 == 0 {
				reflex = slices.DeleteFunc(reflex, func(m int32) bool { return !c.reflex[m] })
			}
			continue
		}
		n = c.next[n]
		failed++
	}
	a, b := c.prev[n], c.next[n]
	if Orient(c.at(a), c.at(n), c.at(b)) > 0 {
		tris = append(tris, [3]int32{c.v[a], c.v[n], c.v[b]})
	}
	return tris
}

func (c *clipper) setReflex(n int32) bool {
	c.reflex[n] = Orient(c.at(c.prev[n]), c.at(n), c.at(c.next[n])) <= 0
	return c.reflex[n]
}

// isEar reports whether the corner at n can be cut off. Flat corners may go
// only when nothing else can (allowFlat).
func (c *clipper) isEar(n int32, reflex []int32, allowFlat bool) bool {
	a, b, d := c.at(c.prev[n]), c.at(n), c.at(c.next[n])
	o := Orient(a, b, d)
	if o < 0 || (o == 0 && !allowFlat) {
		return false
	}
	if o == 0 {
		return true
	}
	minX, maxX := min(a.X, b.X, d.X), max(a.X, b.X, d.X)
	minY, maxY := min(a.Y, b.Y, d.Y), max(a.Y, b.Y, d.Y)
	for _, m := range reflex {
		if !c.reflex[m] || m == c.prev[n] || m == c.next[n] {
			continue
		}
		p := c.at(m)
		if p.X < minX || p.X > maxX || p.Y < minY || p.Y > maxY || p == a || p == b || p == d {
			continue
		}
		if Orient(a, b, p) >= 0 && Orient(b, d, p) >= 0 && Orient(d, a, p) >= 0 {
			return false
		}
	}
	return true
}

// mergeConvex joins triangles across their common edges, longest first, as
// long as the union stays convex.
func mergeConvex(pts []Point, tris [][3]int32) [][]int32 {
	polys := make([][]int32, len(tris))
	owner := make(map[[2]int32]int, 3*len(tris))
	type diagonal struct {
		u, v int32
		l2   float64
	}
	var diags []diagonal
	for i, t := range tris {
		polys[i] = []int32{t[0], t[1], t[2]}
		for k := range 3 {
			u, v := t[k], t[(k+1)%3]
			owner[[2]int32{u, v}] = i
			if _, ok := owner[[2]int32{v, u}]; ok {
				dx, dy := pts[u].X-pts[v].X, pts[u].Y-pts[v].Y
				diags = append(diags, diagonal{u, v, float64(dx*dx) + float64(dy*dy)})
			}
		}
	}
	slices.SortStableFunc(diags, func(a, b diagonal) int { return cmp.Compare(b.l2, a.l2) })
	for _, d := range diags {
		i, ok1 := owner[[2]int32{d.u, d.v}]
		j, ok2 := owner[[2]int32{d.v, d.u}]
		if !ok1 || !ok2 || i == j {
			continue
		}
		p, q := rotateTo(polys[i], d.u, d.v), rotateTo(polys[j], d.v, d.u)
		// p = [v ... u], q = [u ... v] with the common edge closing both
		if Orient(pts[q[len(q)-2]], pts[d.v], pts[p[1]]) < 0 || Orient(pts[p[len(p)-2]], pts[d.u], pts[q[1]]) < 0 {
			continue
		}
		m := append(append([]int32{}, p[:len(p)-1]...), q[:len(q)-1]...)
		delete(owner, [2]int32{d.u, d.v})
		delete(owner, [2]int32{d.v, d.u})
		polys[i], polys[j] = m, nil
		for k := range m {
			owner[[2]int32{m[k], m[(k+1)%len(m)]}] = i
		}
	}
	return slices.DeleteFunc(polys, func(p []int32) bool { return p == nil })
}

// rotateTo starts the ring at v, where u is the vertex before it.
func rotateTo(ring []int32, u, v int32) []int32 {
	for i := range ring {
		if ring[i] == v && ring[(i+len(ring)-1)%len(ring)] == u {
			return append(append([]int32{}, ring[i:]...), ring[:i]...)
		}
	}
	return append([]int32{}, ring...)
}
