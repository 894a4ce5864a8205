package boundary

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// Circle is a circle inside a region.
type Circle struct {
	Centre outline.Point
	Radius float64 // millimetres
}

// square is a square of the search: its middle, half its side, a bound on the
// distance from the border anywhere in it, and the edges that can be nearest to
// a point in it.
type square struct {
	middle outline.Point
	half   float64
	bound  float64
	edges  []int32 // of Inscriber.sides
}

// Inscriber finds largest inscribed circles and keeps its memory between
// searches. Its zero value needs Boundary set.
type Inscriber struct {
	Boundary *Boundary

	waste     bool
	precision float64
	open      []square // a heap, the largest bound first
	best      Circle
	near      []outline.Point
	dist      []float64 // of the edges at hand: nearest point as seen from the middle, squared distance
	arena     []int32
	around    []int32 // the edges that matter to polish
	sides     []side  // of the rings; squares name them by their numbers
}

// Circle returns the largest circle inside the region that the given rings
// bound together, film (to the left of the edges) or waste (to their right), to
// within the given precision in millimetres of the largest radius.
//
// It searches squares best first (Garcia-Castellanos and Lombardo 2007, later
// refined), with two additions: a square hands down only those edges that can
// matter inside it, and beside the usual bound d + ρ it uses the two-point
// bound: with border points a and b as seen from the middle, every point within
// ρ of it has squared distance at most (a²+b²)/2 + ρ|a+b| + ρ². Between
// parallel borders a+b is zero, so that a long corridor needs few squares.
func (s *Inscriber) Circle(rings []int, waste bool, precision float64) Circle {
	b := s.Boundary
	box := outline.EmptyBox()
	s.arena, s.sides = s.arena[:0], s.sides[:0]
	for _, r := range rings {
		box = box.Union(b.Rings[r].Box)
		for n := b.Rings[r].First; n < b.Rings[r].End; n++ {
			s.arena = append(s.arena, int32(len(s.sides)))
			s.sides = append(s.sides, b.Edges[n].side(n))
		}
	}
	if len(s.arena) == 0 {
		return Circle{}
	}
	s.waste, s.precision, s.open = waste, precision, s.open[:0]
	s.best = Circle{Centre: outline.Point{X: s.sides[0].x, Y: s.sides[0].y}}
	if n := len(s.sides); cap(s.dist) < n {
		s.dist, s.near = make([]float64, n), make([]outline.Point, n)
	}
	// The middle first: of places that are alike it is the best known.
	root := square{middle: box.Centre(), half: max(box.Width(), box.Height()) / 2, edges: s.arena}
	s.try(root, outline.Point{})
	s.divide(root, firstSplit)
	for len(s.open) > 0 && s.open[0].bound > s.least() {
		top := s.pop()
		s.divide(top, 2)
	}
	if s.best.Radius > 0 {
		s.polish()
	}
	return s.best
}

// firstSplit is into how many squares along a side the search divides the whole at
// first: larger ones exclude nothing.
const firstSplit = 4

// divide pushes the parts of a square, n along each side.
func (s *Inscriber) divide(q square, n int) {
	h := q.half / float64(n)
	x, y := q.middle.X-q.half+h, q.middle.Y-q.half+h
	for j := range n {
		for i := range n {
			s.push(square{middle: outline.Point{X: x + 2*h*float64(i), Y: y + 2*h*float64(j)}, half: h, edges: q.edges})
		}
	}
}

// least returns the radius from which on a circle is worth looking for.
func (s *Inscriber) least() float64 {
	return s.best.Radius + s.precision*max(1, s.best.Radius)
}

// push measures the square against its edges, and files it with those that
// matter in it where it can hold a better circle.
func (s *Inscriber) push(q square) {
	nearest, at := math.Inf(1), 0
	dist, near := s.dist[:len(q.edges)], s.near[:len(q.edges)]
	for i, n := range q.edges {
		e := &s.sides[n]
		x, y := q.middle.X-e.x, q.middle.Y-e.y
		t := min(max(x*e.ux+y*e.uy, 0), e.length)
		x, y = t*e.ux-x, t*e.uy-y
		d := x*x + y*y
		dist[i], near[i] = d, outline.Point{X: x, Y: y}
		if d < nearest {
			nearest, at = d, i
		}
	}
	d := math.Sqrt(nearest)
	signed := d
	if s.Boundary.Left(s.sides[q.edges[at]].edge, q.middle) == s.waste {
		signed = -d
	}
	if signed > s.best.Radius {
		s.best = Circle{q.middle, signed}
	}
	reach := q.half * math.Sqrt2
	q.bound = signed + reach
	least := s.least()
	if q.bound <= least {
		return
	}
	// What can be nearest anywhere in the square lies within d + 2 reach.
	keep := (d + 2*reach) * (d + 2*reach)
	from, kept, first := len(s.arena), 0, 0
	for i, n := range q.edges {
		if dist[i] > keep {
			continue
		}
		if i == at {
			first = kept
		}
		dist[kept], near[kept] = dist[i], near[i]
		s.arena = append(s.arena, n)
		kept++
	}
	q.edges = s.arena[from:len(s.arena):len(s.arena)]
	if signed > 0 && reach < least {
		p := peak{alpha: dist[:kept], a: near[:kept], reach: reach}
		v, most := p.climb(first, least*least-reach*reach)
		q.bound = min(q.bound, math.Sqrt(max(0, most+reach*reach)))
		if q.bound <= least || s.corridor(q, first, p.second, reach, least) {
			s.arena = s.arena[:from]
			return
		}
		s.try(q, v)
	}
	s.open = append(s.open, q)
	for i := len(s.open) - 1; i > 0; {
		up := (i - 1) / 2
		if s.open[up].bound >= s.open[i].bound {
			break
		}
		s.open[up], s.open[i] = s.open[i], s.open[up]
		i = up
	}
}

// try measures the place v of the square, where its nearest borders promise most.
func (s *Inscriber) try(q square, v outline.Point) {
	c := q.middle.Add(v)
	nearest, at := math.Inf(1), int32(0)
	enough := s.best.Radius * s.best.Radius
	for _, n := range q.edges {
		e := &s.sides[n]
		x, y := c.X-e.x, c.Y-e.y
		t := min(max(x*e.ux+y*e.uy, 0), e.length)
		x, y = t*e.ux-x, t*e.uy-y
		if d := x*x + y*y; d < nearest {
			if d <= enough {
				return
			}
			nearest, at = d, e.edge
		}
	}
	if s.Boundary.Left(at, c) != s.waste {
		s.best = Circle{c, math.Sqrt(nearest)}
	}
}

// corridor reports whether the square lies between two straight borders that
// run past it and leave no point of it further than least from both: their mean
// distance hardly changes where they are parallel.
func (s *Inscriber) corridor(q square, at, opposite int, reach, least float64) bool {
	if opposite < 0 {
		return false
	}
	e, f := &s.Boundary.Edges[s.sides[q.edges[at]].edge], &s.Boundary.Edges[s.sides[q.edges[opposite]].edge]
	t, u := q.middle.Sub(e.A).Dot(e.U), q.middle.Sub(f.A).Dot(f.U)
	if t < reach || t > e.Length-reach || u < reach || u > f.Length-reach {
		return false
	}
	x, y := e.U.X+f.U.X, e.U.Y+f.U.Y
	skew := math.Sqrt(x*x + y*y)
	return (math.Sqrt(s.dist[at])+math.Sqrt(s.dist[opposite])+reach*skew)/2 <= least
}

// polishSteps bounds how often polish moves.
const polishSteps = 24

// polished is the gain of radius, as a share of the precision, below which
// polish is done.
const polished = 1.0 / 1024

// polish moves the best circle uphill, measured to the curves rather than their
// chords: the distance from a piece of border is convex, so that its tangent
// planes never promise more than there is, and the peak of the lowest of them within some
// reach is a better place until there is none.
func (s *Inscriber) polish() {
	reach := math.Sqrt(2*s.best.Radius*s.precision) + s.precision
	most := s.best.Radius + 4*reach
	edges := s.around[:0]
	for i := range s.sides {
		e := &s.sides[i]
		x, y := s.best.Centre.X-e.x, s.best.Centre.Y-e.y
		t := min(max(x*e.ux+y*e.uy, 0), e.length)
		if x, y = x-t*e.ux, y-t*e.uy; x*x+y*y < most*most {
			edges = append(edges, e.edge)
		}
	}
	s.around = edges
	start, afar := s.best.Centre, 4*reach*reach
	at := s.clearance(start, edges)
	s.best.Radius = max(0, s.dist[at])
	for range polishSteps {
		p := peak{alpha: s.dist[:len(edges)], a: s.near[:len(edges)], reach: reach}
		v, value := p.climb(at, math.Inf(-1))
		if value-s.best.Radius < polished*s.precision {
			break
		}
		c := s.best.Centre.Add(v)
		if far := c.Sub(start); far.Dot(far) > afar {
			reach /= 4
			continue
		}
		k := s.clearance(c, edges)
		if gain := s.dist[k] - s.best.Radius; gain > 0 {
			if gain < (value-s.best.Radius)/4 { // along a curved corridor
				reach /= 4
			}
			s.best, at = Circle{c, s.dist[k]}, k
			continue
		}
		// Beside a curve the tangent planes of its chords promise a little too much.
		reach /= 4
		at = s.clearance(s.best.Centre, edges)
	}
}

// clearance measures the distance of c from the curves whose chords the edges are
// into s.dist, its descent, halved, into s.near, and returns the nearest.
func (s *Inscriber) clearance(c outline.Point, edges []int32) int {
	at := 0
	for i, n := range edges {
		q := s.Boundary.Edges[n].NearestOnCurve(c)
		x, y := q.X-c.X, q.Y-c.Y
		d := math.Sqrt(x*x + y*y)
		half := 0.0
		if d > 0 {
			half = 0.5 / d
		}
		s.near[i] = outline.Point{X: x * half, Y: y * half}
		s.dist[i] = d
		if s.dist[i] < s.dist[at] {
			at = i
		}
	}
	return at
}

func (s *Inscriber) pop() square {
	top, last := s.open[0], len(s.open)-1
	s.open[0] = s.open[last]
	s.open = s.open[:last]
	for i := 0; ; {
		child := 2*i + 1
		if child >= last {
			break
		}
		if child+1 < last && s.open[child+1].bound > s.open[child].bound {
			child++
		}
		if s.open[i].bound >= s.open[child].bound {
			break
		}
		s.open[i], s.open[child] = s.open[child], s.open[i]
		i = child
	}
	return top
}

// Left reports whether q, to which n is a nearest edge, lies on the left of the
// border, where film is.
func (b *Boundary) Left(n int32, q outline.Point) bool {
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
