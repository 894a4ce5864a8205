package outline

import "math"

// Box is a rectangle with sides along the axes, in millimetres. A box whose
// Min exceeds its Max is empty; the zero Box is the single point (0, 0), so
// start a union from [EmptyBox].
type Box struct{ Min, Max Point }

// EmptyBox returns the box that holds nothing, the neutral element of Union.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{Point{inf, inf}, Point{-inf, -inf}}
}

// IsEmpty reports whether b holds no point.
func (b Box) IsEmpty() bool { return !(b.Min.X <= b.Max.X && b.Min.Y <= b.Max.Y) }

// Width returns the extent along x, 0 for an empty box.
func (b Box) Width() float64 {
	if b.IsEmpty() {
		return 0
	}
	return b.Max.X - b.Min.X
}

// Height returns the extent along y, 0 for an empty box.
func (b Box) Height() float64 {
	if b.IsEmpty() {
		return 0
	}
	return b.Max.Y - b.Min.Y
}

// Centre returns the middle of b; an empty box has none and gives NaN or a point
// that means nothing.
func (b Box) Centre() Point { return b.Min.Lerp(b.Max, 0.5) }

// Union returns the smallest box that holds b and c.
func (b Box) Union(c Box) Box {
	if b.IsEmpty() {
		return c
	}
	if c.IsEmpty() {
		return b
	}
	return Box{
		Point{math.Min(b.Min.X, c.Min.X), math.Min(b.Min.Y, c.Min.Y)},
		Point{math.Max(b.Max.X, c.Max.X), math.Max(b.Max.Y, c.Max.Y)},
	}
}

// Extend returns the smallest box that holds b and p.
func (b Box) Extend(p Point) Box { return b.Union(Box{p, p}) }

// Grow returns b with every side moved outwards by d millimetres, inwards if d
// is negative: a box narrower than -2d becomes empty. An empty box stays as it is.
func (b Box) Grow(d float64) Box {
	if b.IsEmpty() {
		return b
	}
	return Box{Point{b.Min.X - d, b.Min.Y - d}, Point{b.Max.X + d, b.Max.Y + d}}
}

// Overlaps reports whether b and c share at least a point, as an empty box does
// with none.
func (b Box) Overlaps(c Box) bool {
	return !b.IsEmpty() && !c.IsEmpty() && b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Contains reports whether p lies in b or on its border.
func (b Box) Contains(p Point) bool {
	return b.Min.X <= p.X && p.X <= b.Max.X && b.Min.Y <= p.Y && p.Y <= b.Max.Y
}
