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
	edges  []int32
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
	rings     int     // how many edges at the arena's start are those of the rings
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
	s.arena = s.arena[:0]
	for _, r := range rings {
		box = box.Union(b.Rings[r].Box)
		for e := b.Rings[r].First; e < b.Rings[r].End; e++ {
			s.arena = append(s.arena, e)
		}
	}
	if len(s.arena) == 0 {
		return Circle{}
	}
	s.rings = len(s.arena)
	s.waste, s.precision, s.open = waste, precision, s.open[:0]
	s.best = Circle{Centre: b.Edges[s.arena[0]].A}
	s.push(square{middle: box.Centre(), half: max(box.Width(), box.Height()) / 2, edges: s.arena})
	for len(s.open) > 0 && s.open[0].bound > s.least() {
		top := s.pop()
		h := top.half / 2
		for k := range 4 {
			dx, dy := h, h
			if k&1 == 0 {
				dx = -h
			}
			if k&2 == 0 {
				dy = -h
			}
			s.push(square{middle: outline.Point{X: top.middle.X + dx, Y: top.middle.Y + dy}, half: h, edges: top.edges})
		}
	}
	if s.best.Radius > 0 {
		s.polish()
	}
	return s.best
}

// least returns the radius from which on a circle is worth looking for.
func (s *Inscriber) least() float64 {
	return s.best.Radius + s.precision*max(1, s.best.Radius)
}

// push measures the square against its edges, and files it with those that
// matter in it where it can hold a better circle.
func (s *Inscriber) push(q square) {
	nearest, at := math.Inf(1), 0
	if n := len(q.edges); cap(s.dist) < n {
		s.dist, s.near = make([]float64, n), make([]outline.Point, n)
	}
	dist, near := s.dist[:len(q.edges)], s.near[:len(q.edges)]
	for i, n := range q.edges {
		e := &s.Boundary.Edges[n]
		x, y := q.middle.X-e.A.X, q.middle.Y-e.A.Y
		t := x*e.U.X + y*e.U.Y
		if t < 0 {
			t = 0
		} else if t > e.Length {
			t = e.Length
		}
		x, y = t*e.U.X-x, t*e.U.Y-y
		d := x*x + y*y
		dist[i], near[i] = d, outline.Point{X: x, Y: y}
		if d < nearest {
			nearest, at = d, i
		}
	}
	d := math.Sqrt(nearest)
	signed := d
	if s.Boundary.Left(q.edges[at], q.middle) == s.waste {
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
	if signed > 0 && s.hemmed(q, at, reach, least) {
		return
	}
	// What can be nearest anywhere in the square lies within d + 2 reach.
	keep := (d + 2*reach) * (d + 2*reach)
	from := len(s.arena)
	for i, n := range q.edges {
		if dist[i] <= keep {
			s.arena = append(s.arena, n)
		}
	}
	q.edges = s.arena[from:len(s.arena):len(s.arena)]
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

// hemmed reports whether the nearest border and one on another side leave no point
// of the square further than least from both.
func (s *Inscriber) hemmed(q square, at int, reach, least float64) bool {
	a, aa := s.near[at], s.dist[at]
	// What is opposite the nearest point makes the smallest product with it.
	opposite, smallest := -1, 0.0
	for i, b := range s.near[:len(q.edges)] {
		if dot := a.X*b.X + a.Y*b.Y; dot < 0 && s.dist[i] < 4*least*least {
			if c := dot * dot / s.dist[i]; c > smallest {
				opposite, smallest = i, c
			}
		}
	}
	if opposite < 0 {
		return false
	}
	b, bb := s.near[opposite], s.dist[opposite]
	// The weight of b that brings the weighted sum of both nearest to zero.
	d := b.Sub(a)
	w := min(max(-a.Dot(d)/d.Dot(d), 0), 1)
	sum := a.Add(d.Mul(w)).Norm()
	if (1-w)*aa+w*bb+2*reach*sum+reach*reach <= least*least {
		return true
	}
	// Straight borders that run past the whole square bound the distance by
	// their mean, which hardly changes where they are parallel.
	e, f := &s.Boundary.Edges[q.edges[at]], &s.Boundary.Edges[q.edges[opposite]]
	t, u := q.middle.Sub(e.A).Dot(e.U), q.middle.Sub(f.A).Dot(f.U)
	if t < reach || t > e.Length-reach || u < reach || u > f.Length-reach {
		return false
	}
	skew := e.U.Add(f.U).Norm()
	return (math.Sqrt(aa)+math.Sqrt(bb)+reach*skew)/2 <= least
}

// polishSteps is how often polish halves its step.
const polishSteps = 7

// polish moves the best circle uphill by compass search with halving steps,
// measured to the curves rather than their chords.
func (s *Inscriber) polish() {
	h := s.precision * max(1, s.best.Radius)
	stray := 4 * h
	last := s.precision / (1 << polishSteps)
	reach := s.best.Radius + 8*h
	edges := s.around[:0]
	for _, n := range s.arena[:s.rings] {
		if d := s.Boundary.Edges[n].Nearest(s.best.Centre).Sub(s.best.Centre); d.Dot(d) < reach*reach {
			edges = append(edges, n)
		}
	}
	s.around = edges
	s.best.Radius = s.clearance(s.best.Centre, edges)
	for start := s.best.Centre; h > last; {
		better := false
		for k := range 8 {
			c := s.best.Centre.Add(compass[k].Mul(h))
			if c.Distance(start) > stray {
				continue
			}
			if r := s.clearance(c, edges); r > s.best.Radius {
				s.best, better = Circle{c, r}, true
				break
			}
		}
		if !better {
			h /= 2
		}
	}
}

// clearance returns the least distance of c from the curves whose chords the edges are.
func (s *Inscriber) clearance(c outline.Point, edges []int32) float64 {
	least := math.Inf(1)
	for _, n := range edges {
		e := &s.Boundary.Edges[n]
		q := e.Nearest(c)
		bulge := e.BulgeAt(q)
		if s.waste {
			bulge = -bulge
		}
		d := q.Sub(c)
		least = min(least, math.Sqrt(d.Dot(d))+bulge)
	}
	return max(0, least)
}

// compass holds eight unit directions.
var compass = func() (d [8]outline.Point) {
	for k := range d {
		sin, cos := math.Sincos(float64(k) * math.Pi / 4)
		d[k] = outline.Point{X: cos, Y: sin}
	}
	return d
}()

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
