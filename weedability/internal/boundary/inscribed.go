package boundary

import (
	"container/heap"
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// Circle is a circle inside a region.
type Circle struct {
	Centre outline.Point
	Radius float64 // millimetres
}

// square is a square of the search: half its side, the signed distance of its
// middle from the border, a bound on the distance anywhere in it, and
// the edges that can be nearest to a point in it.
type square struct {
	middle   outline.Point
	half     float64
	bound    float64
	distance float64
	edges    []int32
}

type squares []square

func (s squares) Len() int           { return len(s) }
func (s squares) Less(i, j int) bool { return s[i].bound > s[j].bound }
func (s squares) Swap(i, j int)      { s[i], s[j] = s[j], s[i] }
func (s *squares) Push(x any)        { *s = append(*s, x.(square)) }
func (s *squares) Pop() any {
	old := *s
	x := old[len(old)-1]
	*s = old[:len(old)-1]
	return x
}

// Inscribed returns the largest circle inside the region that the given rings
// bound together, film (to the left of the edges) or waste (to their right), to
// within the given precision in millimetres of the largest radius.
//
// It searches squares best first (Garcia-Castellanos and Lombardo 2007, later
// refined), with two additions: a square hands down only those edges that can
// matter inside it, and beside the usual bound d + ρ it uses the two-point
// bound: with border points a and b as seen from the middle, every point within
// ρ of it has squared distance at most (a²+b²)/2 + ρ|a+b| + ρ². Between
// parallel borders a+b is zero, so that a long corridor needs few squares.
func (b *Boundary) Inscribed(rings []int, waste bool, precision float64) Circle {
	box, n := outline.EmptyBox(), 0
	for _, r := range rings {
		box = box.Union(b.Rings[r].Box)
		n += int(b.Rings[r].End - b.Rings[r].First)
	}
	if n == 0 {
		return Circle{}
	}
	all := make([]int32, 0, n)
	for _, r := range rings {
		for e := b.Rings[r].First; e < b.Rings[r].End; e++ {
			all = append(all, e)
		}
	}
	s := inscriber{b: b, waste: waste, best: Circle{Centre: b.Edges[all[0]].A}}
	s.push(square{middle: box.Centre(), half: math.Max(box.Width(), box.Height()) / 2}, all, precision)
	for len(s.open) > 0 {
		top := heap.Pop(&s.open).(square)
		if top.bound <= s.best.Radius+precision {
			break
		}
		h := top.half / 2
		for k := range 4 {
			dx, dy := h, h
			if k&1 == 0 {
				dx = -h
			}
			if k&2 == 0 {
				dy = -h
			}
			s.push(square{middle: outline.Point{X: top.middle.X + dx, Y: top.middle.Y + dy}, half: h}, top.edges, precision)
		}
	}
	if s.best.Radius > 0 {
		// The chords lie inside the curves where those are convex.
		e := &b.Edges[s.nearest]
		bulge := e.BulgeAt(e.Nearest(s.best.Centre))
		if waste {
			bulge = -bulge
		}
		s.best.Radius += bulge
	}
	return s.best
}

type inscriber struct {
	b       *Boundary
	waste   bool
	open    squares
	best    Circle
	nearest int32     // edge nearest to the best centre
	dist    []float64 // squared distances of the edges at hand, reused
	arena   []int32
}

// push measures the square against the edges and files it where it can hold a
// better circle.
func (s *inscriber) push(q square, edges []int32, precision float64) {
	nearest, nearestEdge := math.Inf(1), int32(-1)
	s.dist = s.dist[:0]
	for _, n := range edges {
		e := &s.b.Edges[n]
		x, y := q.middle.X-e.A.X, q.middle.Y-e.A.Y
		t := min(max(x*e.U.X+y*e.U.Y, 0), e.Length)
		x, y = x-t*e.U.X, y-t*e.U.Y
		d := x*x + y*y
		s.dist = append(s.dist, d)
		if d < nearest {
			nearest, nearestEdge = d, n
		}
	}
	d := math.Sqrt(nearest)
	signed := d
	if s.b.left(nearestEdge, q.middle) == s.waste {
		signed = -d
	}
	if signed > s.best.Radius {
		s.best, s.nearest = Circle{q.middle, signed}, nearestEdge
	}
	reach := q.half * math.Sqrt2
	q.bound, q.distance = signed+reach, signed
	if q.bound <= s.best.Radius+precision {
		return
	}
	// What can be nearest anywhere in the square lies within d + 2 reach.
	keep := (d + 2*reach) * (d + 2*reach)
	from := len(s.arena)
	first := s.b.Edges[nearestEdge].Nearest(q.middle).Sub(q.middle)
	for i, n := range edges {
		if s.dist[i] > keep {
			continue
		}
		s.arena = append(s.arena, n)
		if signed > 0 {
			second := s.b.Edges[n].Nearest(q.middle).Sub(q.middle)
			sum := first.Add(second)
			bound := math.Sqrt((nearest+s.dist[i])/2 + reach*math.Hypot(sum.X, sum.Y) + reach*reach)
			q.bound = math.Min(q.bound, bound)
		}
	}
	if q.bound <= s.best.Radius+precision {
		s.arena = s.arena[:from]
		return
	}
	q.edges = s.arena[from:len(s.arena):len(s.arena)]
	heap.Push(&s.open, q)
}

// left reports whether q, to which n is a nearest edge, lies on the left of the
// border, where film is.
func (b *Boundary) left(n int32, q outline.Point) bool {
	e := &b.Edges[n]
	d := q.Sub(e.A)
	switch s := d.Dot(e.U); {
	case s <= 0: // nearest to a corner: decided by the mean of both normals
		p := b.Edges[b.Previous(n)].U
		return p.Add(e.U).Cross(d) > 0
	case s >= e.Length:
		f := b.Edges[b.Next(n)].U
		return e.U.Add(f).Cross(q.Sub(e.B)) > 0
	}
	return e.U.Cross(d) > 0
}
