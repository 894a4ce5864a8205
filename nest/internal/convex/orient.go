package convex

import (
	"math"
	"math/big"
)

// Point is a position in the plane.
type Point struct{ X, Y float64 }

// orientBound bounds the rounding error of the float64 orientation determinant
// relative to the sum of its two products (Shewchuk 1997, ccwerrboundA).
const orientBound = (3 + 16*0x1p-53) * 0x1p-53

// Orient is +1 if a, b, c turn counter-clockwise, -1 if clockwise and 0 if
// they lie exactly on one line, for the float64 coordinates as given.
func Orient(a, b, c Point) int {
	ax, ay := a.X-c.X, a.Y-c.Y
	bx, by := b.X-c.X, b.Y-c.Y
	l := float64(ax * by)
	r := float64(ay * bx)
	det := l - r
	if bound := orientBound * (math.Abs(l) + math.Abs(r)); det > bound {
		return 1
	} else if det < -bound {
		return -1
	}
	if exactDifference(a.X, c.X, ax) && exactDifference(a.Y, c.Y, ay) &&
		exactDifference(b.X, c.X, bx) && exactDifference(b.Y, c.Y, by) {
		// the differences carry no error: compare the two products exactly
		le := math.FMA(ax, by, -l)
		re := math.FMA(ay, bx, -r)
		tail := le - re
		switch {
		case det == 0 && le == re:
			return 0
		case math.Abs(det+tail) > 0x1p-50*math.Abs(tail):
			return sign(det + tail)
		}
	}
	return orientBig(a, b, c)
}

// exactDifference reports whether d is a-b without rounding.
func exactDifference(a, b, d float64) bool {
	bv := a - d
	av := d + bv
	return a-av == 0 && bv-b == 0
}

// orientBig decides in rational arithmetic.
func orientBig(a, b, c Point) int {
	r := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	sub := func(p, q float64) *big.Rat { return new(big.Rat).Sub(r(p), r(q)) }
	l := new(big.Rat).Mul(sub(a.X, c.X), sub(b.Y, c.Y))
	m := new(big.Rat).Mul(sub(a.Y, c.Y), sub(b.X, c.X))
	return l.Cmp(m)
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
