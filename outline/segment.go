package outline

import "math"

// SegmentKind tells the degree of a [Segment].
type SegmentKind uint8

// The kinds of segment.
const (
	Line  SegmentKind = iota // straight, no control point
	Quad                     // quadratic Bézier, control point C1
	Cubic                    // cubic Bézier, control points C1 and C2
)

// String names the kind.
func (k SegmentKind) String() string {
	switch k {
	case Line:
		return "line"
	case Quad:
		return "quad"
	case Cubic:
		return "cubic"
	}
	return "unknown segment"
}

// Segment is one piece of a contour or curve. It starts where the one before
// it ends, so every method takes the start point.
type Segment struct {
	C1, C2 Point // control points; see SegmentKind
	End    Point
	Origin int32 // what it was made from: an index into the maker's table, 0 = not known
	Kind   SegmentKind
}

// LineTo returns a straight segment to end.
func LineTo(end Point) Segment { return Segment{End: end} }

// QuadTo returns a quadratic Bézier with control point c.
func QuadTo(c, end Point) Segment { return Segment{Kind: Quad, C1: c, End: end} }

// CubicTo returns a cubic Bézier with control points c1 and c2.
func CubicTo(c1, c2, end Point) Segment { return Segment{Kind: Cubic, C1: c1, C2: c2, End: end} }

// At returns the point at parameter t in [0, 1]; t = 0 gives start and t = 1
// gives s.End exactly.
func (s Segment) At(start Point, t float64) Point {
	if t == 0 {
		return start
	}
	if t == 1 {
		return s.End
	}
	u := 1 - t
	switch s.Kind {
	case Quad:
		a, b, c := u*u, 2*u*t, t*t
		return Point{a*start.X + b*s.C1.X + c*s.End.X, a*start.Y + b*s.C1.Y + c*s.End.Y}
	case Cubic:
		a, b, c, d := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		return Point{
			a*start.X + b*s.C1.X + c*s.C2.X + d*s.End.X,
			a*start.Y + b*s.C1.Y + c*s.C2.Y + d*s.End.Y,
		}
	}
	return start.Lerp(s.End, t)
}

// Derivative returns the first derivative by t, in millimetres per unit of t.
// It is zero where a control point coincides with an end.
func (s Segment) Derivative(start Point, t float64) Point {
	u := 1 - t
	switch s.Kind {
	case Quad:
		return s.C1.Sub(start).Mul(2 * u).Add(s.End.Sub(s.C1).Mul(2 * t))
	case Cubic:
		return s.C1.Sub(start).Mul(3 * u * u).
			Add(s.C2.Sub(s.C1).Mul(6 * u * t)).
			Add(s.End.Sub(s.C2).Mul(3 * t * t))
	}
	return s.End.Sub(start)
}

// Split cuts s at t by de Casteljau's construction. Both halves keep the kind
// and the origin.
func (s Segment) Split(start Point, t float64) (first, second Segment) {
	first, second = s, s
	switch s.Kind {
	case Quad:
		a, b := start.Lerp(s.C1, t), s.C1.Lerp(s.End, t)
		first.C1, second.C1 = a, b
		first.End = a.Lerp(b, t)
	case Cubic:
		a, b, c := start.Lerp(s.C1, t), s.C1.Lerp(s.C2, t), s.C2.Lerp(s.End, t)
		d, e := a.Lerp(b, t), b.Lerp(c, t)
		first.C1, first.C2 = a, d
		second.C1, second.C2 = e, c
		first.End = d.Lerp(e, t)
	default:
		first.End = start.Lerp(s.End, t)
	}
	return first, second
}

// Reversed returns s run backwards, from s.End to start.
func (s Segment) Reversed(start Point) Segment {
	r := s
	r.End = start
	if s.Kind == Cubic {
		r.C1, r.C2 = s.C2, s.C1
	}
	return r
}

// Bounds returns the exact box of the segment: its ends and the extremes in
// between, not its control points.
func (s Segment) Bounds(start Point) Box {
	b := EmptyBox().Extend(start).Extend(s.End)
	switch s.Kind {
	case Quad:
		for _, t := range [2]float64{
			ratio(start.X-s.C1.X, start.X-2*s.C1.X+s.End.X),
			ratio(start.Y-s.C1.Y, start.Y-2*s.C1.Y+s.End.Y),
		} {
			if t > 0 && t < 1 {
				b = b.Extend(s.At(start, t))
			}
		}
	case Cubic:
		var ts [4]float64
		n := cubicExtremes(start.X, s.C1.X, s.C2.X, s.End.X, ts[:0])
		n = cubicExtremes(start.Y, s.C1.Y, s.C2.Y, s.End.Y, n)
		for _, t := range n {
			b = b.Extend(s.At(start, t))
		}
	}
	return b
}

// ratio returns a/b, and -1 (outside any segment) where b is zero.
func ratio(a, b float64) float64 {
	if b == 0 {
		return -1
	}
	return a / b
}

// cubicExtremes appends the parameters in (0, 1) where one coordinate of a
// cubic has zero derivative.
func cubicExtremes(p0, p1, p2, p3 float64, ts []float64) []float64 {
	// B'(t)/3 = a t² + b t + c
	a := p3 - p0 + 3*(p1-p2)
	b := 2 * (p0 - 2*p1 + p2)
	c := p1 - p0
	keep := func(t float64) {
		if t > 0 && t < 1 {
			ts = append(ts, t)
		}
	}
	if a == 0 {
		keep(ratio(-c, b))
		return ts
	}
	d := b*b - 4*a*c
	if d < 0 {
		return ts
	}
	// The stable pair of roots: no cancellation between b and the root.
	q := -(b + math.Copysign(math.Sqrt(d), b)) / 2
	keep(ratio(q, a))
	keep(ratio(c, q))
	return ts
}

// signedArea returns the integral of (x dy - y dx)/2 along the segment, seen
// from the origin: summed over a closed contour it is the enclosed area.
func (s Segment) signedArea(start Point) float64 {
	switch s.Kind {
	case Quad:
		return (2*start.Cross(s.C1) + 2*s.C1.Cross(s.End) + start.Cross(s.End)) / 6
	case Cubic:
		return (6*start.Cross(s.C1) + 3*start.Cross(s.C2) + start.Cross(s.End) +
			3*s.C1.Cross(s.C2) + 3*s.C1.Cross(s.End) + 6*s.C2.Cross(s.End)) / 20
	}
	return start.Cross(s.End) / 2
}

// isFinite reports whether the segment's own points are finite.
func (s Segment) isFinite() bool {
	return s.End.IsFinite() && (s.Kind == Line || s.C1.IsFinite()) && (s.Kind != Cubic || s.C2.IsFinite())
}

// Part returns the piece of s between the parameters t0 <= t1 and where it
// starts. It keeps the kind and the origin.
func (s Segment) Part(start Point, t0, t1 float64) (from Point, part Segment) {
	part = s
	if t1 < 1 {
		part, _ = part.Split(start, t1)
	}
	if t0 <= 0 {
		return start, part
	}
	share := 1.0
	if t1 > 0 {
		share = t0 / t1
	}
	first, rest := part.Split(start, share)
	return first.End, rest
}

// Direction returns the unit direction of travel at t; where the derivative is
// zero, as with a control point on an end, the limit along the segment. A
// segment of one point has none and gives (0, 0).
func (s Segment) Direction(start Point, t float64) Point {
	if d, ok := s.Derivative(start, t).unit(); ok {
		return d
	}
	// The limit from inside: near t the curve runs towards the first control
	// point that differs.
	a, b, c := start, s.C1, s.C2
	switch s.Kind {
	case Line:
		return Point{}
	case Quad:
		b, c = s.C1, s.C1
	}
	if t >= 0.5 { // seen from the end, looking back
		for _, q := range [3]Point{c, b, a} {
			if d, ok := s.End.Sub(q).unit(); ok && t == 1 {
				return d
			}
		}
	} else if t == 0 {
		for _, q := range [3]Point{b, c, s.End} {
			if d, ok := q.Sub(a).unit(); ok {
				return d
			}
		}
	}
	// A cusp inside: the direction it leaves in.
	to, rest := s.Split(start, t)
	for _, q := range [3]Point{rest.C1, rest.C2, rest.End} {
		if d, ok := q.Sub(to.End).unit(); ok {
			return d
		}
	}
	return Point{}
}
