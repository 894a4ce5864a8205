package boundary

import (
	"cmp"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
)

// Parents returns for every ring the smallest ring around it, -1 for none.
// Rings must not cross; they may touch.
//
// From the leftmost point of each ring a ray runs to the left. The first edge
// it meets belongs either to the ring around it or to a neighbour with the same
// parent; that neighbour's leftmost point lies further left, so its parent
// is known already.
func (b *Boundary) Parents() []int {
	parents := make([]int, len(b.Rings))
	order := make([]int, 0, len(b.Rings))
	for i := range b.Rings {
		parents[i] = -1
		if b.Rings[i].First < b.Rings[i].End {
			order = append(order, i)
		}
	}
	start := func(i int) outline.Point { return b.Edges[b.Rings[i].leftmost].A }
	slices.SortStableFunc(order, func(i, j int) int {
		p, q := start(i), start(j)
		if c := cmp.Compare(p.X, q.X); c != 0 {
			return c
		}
		// Of rings that start at one point the larger comes first.
		return cmp.Compare(math.Abs(b.Rings[j].Area), math.Abs(b.Rings[i].Area))
	})
	done := make([]bool, len(b.Rings))
	for _, i := range order {
		if k, inside, ok := b.touching(i, done); ok {
			parents[i] = k
			if !inside {
				parents[i] = parents[k]
			}
		} else if e := b.leftOf(start(i), done); e >= 0 {
			k := int(b.Edges[e].Contour)
			// The inside of ring k is to the right of e, where the ray comes
			// from, if e runs down a counter-clockwise ring or up a clockwise one.
			down := b.Edges[e].A.Y > b.Edges[e].B.Y
			if down == (b.Rings[k].Area > 0) {
				parents[i] = k
			} else {
				parents[i] = parents[k]
			}
		}
		done[i] = true
	}
	return parents
}

// touching looks for rings marked in among that pass through the leftmost
// vertex of ring i, where a ray cannot tell in from out. The answer is the smallest of them
// that ring i leaves this point into, or else, with inside false, the largest.
func (b *Boundary) touching(i int, among []bool) (ring int, inside, ok bool) {
	g, first := &b.grid, b.Rings[i].leftmost
	q, d := b.Edges[first].A, b.Edges[first].U
	k := g.row(q.Y)*g.cols + g.column(q.X)
	for _, n := range g.items[g.start[k]:g.start[k+1]] {
		e := &b.Edges[n]
		if !among[e.Contour] || e.A != q {
			continue
		}
		r := int(e.Contour)
		// The inside sweeps counter-clockwise from the way out to the way in,
		// on a clockwise ring the other way round.
		from, to := e.U, b.Edges[b.Previous(n)].U.Mul(-1)
		if b.Rings[r].Area < 0 {
			from, to = to, from
		}
		in := sweep(from, d) < sweep(from, to)
		size := math.Abs(b.Rings[r].Area)
		switch {
		case !ok, in && !inside:
			ring, inside, ok = r, in, true
		case in == inside && in == (size < math.Abs(b.Rings[ring].Area)):
			ring = r
		}
	}
	return ring, inside, ok
}

// sweep returns the counter-clockwise angle from u to v in [0, 2π).
func sweep(u, v outline.Point) float64 {
	a := math.Atan2(u.Cross(v), u.Dot(v))
	if a < 0 {
		a += 2 * math.Pi
	}
	return a
}

// leftOf returns the first edge of the rings marked in among that a ray from q
// to the left meets, or -1. Edges count with their lower end and without their
// upper one.
func (b *Boundary) leftOf(q outline.Point, among []bool) int32 {
	g := &b.grid
	// Edges that meet on the ray are told apart by where they lie just above it,
	// which is where the rule on lower ends puts the ray.
	best, bestX, bestSlope := int32(-1), math.Inf(-1), 0.0
	j := g.row(q.Y)
	for i := g.column(q.X); i >= 0; i-- {
		k := j*g.cols + i
		for _, n := range g.items[g.start[k]:g.start[k+1]] {
			e := &b.Edges[n]
			if !among[e.Contour] || (e.A.Y <= q.Y) == (e.B.Y <= q.Y) {
				continue
			}
			slope := (e.B.X - e.A.X) / (e.B.Y - e.A.Y)
			x := e.A.X + (q.Y-e.A.Y)*slope
			if e.B.Y == q.Y { // exactly where the edges that meet there do
				x = e.B.X
			}
			if x <= q.X && (x > bestX || x == bestX && slope > bestSlope) {
				best, bestX, bestSlope = n, x, slope
			}
		}
		// Everything further left lies in cells further left.
		if best >= 0 && bestX >= g.origin.X+float64(i)*g.cell {
			break
		}
	}
	return best
}
