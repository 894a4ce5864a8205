package outline

import "github.com/vinylgeom/vinyl/units"

// DefaultTolerance bounds the deviation of operations whose options leave the
// tolerance at zero: a fifth of a plotter unit of 0.025 mm, below what a knife
// can follow.
const DefaultTolerance units.Length = 0.005

// DefaultMinArea is the area below which a boolean operation drops a contour
// as a speck: a square of 0.01 mm, far below any feature a film can hold.
const DefaultMinArea units.Area = 1e-4

// quarterTurnSlack bounds how far from a whole number of quarter turns an
// angle may be, in quarter turns, to be taken as exact: some thousands of
// float64 roundings of 2π.
const quarterTurnSlack = 1e-12

// orDefault returns t, or DefaultTolerance where t is zero, negative or NaN.
func orDefault(t units.Length) units.Length {
	if !(t > 0) {
		return DefaultTolerance
	}
	return t
}
