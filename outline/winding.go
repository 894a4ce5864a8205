package outline

import (
	"math"
	"math/big"
)

// Winding returns how often the path runs counter-clockwise around q, counted
// on the curves themselves, not on chords. For a point exactly on the border it
// is the number on one side of it: of a border that points share between shapes
// side by side, each point belongs to one of them.
func (p Path) Winding(q Point) int {
	w := 0
	for _, c := range p {
		w += c.Winding(q)
	}
	return w
}

// Contains reports whether q lies in the film by the non-zero rule. Points
// exactly on the border may count either way; see [Path.Winding].
func (p Path) Contains(q Point) bool { return p.Winding(q) != 0 }

// Contains reports whether the contour runs around q.
func (c Contour) Contains(q Point) bool { return c.Winding(q) != 0 }

// Winding returns how often the contour runs counter-clockwise around q. A
// contour or point that is not finite counts as not around it.
func (c Contour) Winding(q Point) int {
	if !q.IsFinite() {
		return 0
	}
	w := 0
	at := c.Start
	for i := range c.Segments {
		w += c.Segments[i].crossings(at, q)
		at = c.Segments[i].End
	}
	return w
}

// crossings counts how often the segment crosses the ray from q to the right:
// upwards +1, downwards -1. A point at the ray's own height counts as below it,
// so that a crossing through a node counts once.
func (s *Segment) crossings(start, q Point) int {
	if s.Kind == Line {
		return lineCrossing(start, s.End, q)
	}
	c1, c2 := s.C1, s.C2
	if s.Kind == Quad {
		c2 = c1
	}
	low := math.Min(math.Min(start.Y, s.End.Y), math.Min(c1.Y, c2.Y))
	high := math.Max(math.Max(start.Y, s.End.Y), math.Max(c1.Y, c2.Y))
	if q.Y < low || q.Y >= high {
		return 0
	}
	if q.X > math.Max(math.Max(start.X, s.End.X), math.Max(c1.X, c2.X)) {
		return 0
	}
	if q.X < math.Min(math.Min(start.X, s.End.X), math.Min(c1.X, c2.X)) {
		return step(start.Y, s.End.Y, q.Y)
	}
	// Between the extremes of y the curve crosses the ray's line once at most.
	var buffer [5]float64
	cuts := s.extremesY(start, buffer[:0])
	cuts = append(cuts, 1)
	w, t0, a := 0, 0.0, start
	for _, t1 := range cuts {
		b := s.At(start, t1)
		if d := step(a.Y, b.Y, q.Y); d != 0 {
			if s.At(start, s.parameterAtY(start, t0, t1, a.Y, b.Y, q.Y)).X > q.X {
				w += d
			}
		}
		t0, a = t1, b
	}
	return w
}

// lineCrossing is crossings for a straight segment, decided exactly.
func lineCrossing(a, b, q Point) int {
	d := step(a.Y, b.Y, q.Y)
	if d == 0 || q.X >= math.Max(a.X, b.X) {
		return 0
	}
	if q.X < math.Min(a.X, b.X) {
		return d
	}
	// q lies left of the edge where the turn a, b, q has the edge's own sense.
	if orientation(a, b, q) == d {
		return d
	}
	return 0
}

// orientationError bounds the rounding error of the determinant in orientation
// as a share of the sum of its terms' sizes: (3 + 16ε)ε with ε = 2⁻⁵³
// (Shewchuk, "Adaptive precision floating-point arithmetic and fast robust
// geometric predicates", 1997).
const orientationError = 3.3306690738754716e-16

// orientation returns +1 where a, b, c turn counter-clockwise, -1 where they
// turn clockwise and 0 where they are in line, for finite points, always right.
func orientation(a, b, c Point) int {
	left := float64((a.X - c.X) * (b.Y - c.Y))
	right := float64((a.Y - c.Y) * (b.X - c.X))
	det := left - right
	if bound := orientationError * (math.Abs(left) + math.Abs(right)); det > bound || -det > bound {
		return sign(det)
	}
	return orientationExact(a, b, c)
}

// exactBits is enough precision for sums of products of any two float64.
const exactBits = 4300

func orientationExact(a, b, c Point) int {
	n := func(v float64) *big.Float { return new(big.Float).SetPrec(exactBits).SetFloat64(v) }
	sub := func(v, w float64) *big.Float { return n(0).Sub(n(v), n(w)) }
	left := n(0).Mul(sub(a.X, c.X), sub(b.Y, c.Y))
	right := n(0).Mul(sub(a.Y, c.Y), sub(b.X, c.X))
	return left.Cmp(right)
}

func sign(v float64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}
