package outline

import (
	"errors"
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// Warp maps a flat field to a shaped one: u runs along the words from 0 at the
// left end to 1 at the right one, v across them from 0 at the bottom to 1 at the
// top. Both may leave that range, as descenders and swashes do.
//
// A Warp is to be smooth but for the places its optional method Creases names,
// and safe for concurrent use if it is shared.
type Warp interface {
	// Map returns the image of (u, v) in millimetres.
	Map(u, v float64) Point
	// Derivatives returns the derivatives of Map by u and by v. Their cross
	// product is positive where the map keeps left and right, negative where it
	// mirrors, and changes sign where it folds.
	Derivatives(u, v float64) (du, dv Point)
}

// Creased is a [Warp] with kinks: lines of constant u across which its
// derivatives jump, as where a boundary has a corner. [Bend] puts a node there.
type Creased interface {
	Warp
	// Creases returns those u in rising order.
	Creases() []float64
}

// WarpFunc makes a [Warp] of a function that is smooth at the scale of a
// sixteenth of the field; its derivatives are found numerically.
type WarpFunc func(u, v float64) Point

// Map calls f.
func (f WarpFunc) Map(u, v float64) Point { return f(u, v) }

// derivativeStep is the step of the numeric derivatives of a [WarpFunc]: near
// the cube root of the float64 precision, where the errors of rounding and of
// the central difference balance.
const derivativeStep = 1e-5

// Derivatives returns central differences of f.
func (f WarpFunc) Derivatives(u, v float64) (du, dv Point) {
	const h = derivativeStep
	du = f(u+h, v).Sub(f(u-h, v)).Mul(1 / (2 * h))
	dv = f(u, v+h).Sub(f(u, v-h)).Mul(1 / (2 * h))
	return du, dv
}

// Causes that a [BendError] or a [CurveError] wraps beside those of [PathError].
var (
	ErrFolded   = errors.New("the bend turns part of the shape inside out")
	ErrRough    = errors.New("the warp has a gap or a kink that no curve can follow")
	ErrNoLength = errors.New("the curve has no length")
	ErrCorner   = errors.New("the curve has a corner")
)

// CurveError tells where a curve is not fit for an operation.
type CurveError struct {
	Op    string // the operation, such as "between"
	Curve string // which curve, such as "bottom"
	Node  int    // the node from 0, -1 where it does not apply
	At    Point
	Cause error
	Fix   string
}

func (e *CurveError) Error() string {
	s := "outline: " + e.Op + ": " + e.Curve + " curve"
	if e.Node >= 0 {
		s += fmt.Sprintf(", node %d, at (%.3f, %.3f) mm", e.Node, e.At.X, e.At.Y)
	}
	s += ": " + e.Cause.Error()
	if e.Fix != "" {
		s += "; " + e.Fix
	}
	return s
}

// Unwrap returns the cause.
func (e *CurveError) Unwrap() error { return e.Cause }

// checkCurve returns a [*CurveError] if c has a coordinate that is not finite or
// no length.
func checkCurve(op, which string, c Curve) error {
	const finite = "give every point a finite position"
	if !c.Start.IsFinite() {
		return &CurveError{op, which, 0, c.Start, ErrNotFinite, finite}
	}
	at := c.Start
	moves := false
	for i, s := range c.Segments {
		if !s.isFinite() {
			return &CurveError{op, which, i, at, ErrNotFinite, finite}
		}
		moves = moves || s.End != at || s.Kind != Line && s.C1 != at || s.Kind == Cubic && s.C2 != at
		at = s.End
	}
	if !moves {
		return &CurveError{op, which, -1, c.Start, ErrNoLength, "draw it with two different points at least"}
	}
	return nil
}

// OptionError names a parameter or option that has no sensible value.
type OptionError struct {
	Op     string // the operation, such as "circular baseline"
	Option string // the parameter's or field's name
	Value  string
	Fix    string
}

func (e *OptionError) Error() string {
	return fmt.Sprintf("outline: %s: %s is %s; %s", e.Op, e.Option, e.Value, e.Fix)
}

// Unwrap returns [ErrInvalidOption].
func (e *OptionError) Unwrap() error { return ErrInvalidOption }

// checkLengths returns an [*OptionError] for the first length that is not
// finite.
func checkLengths(op string, names []string, values ...units.Length) error {
	for i, v := range values {
		if !v.IsFinite() {
			return &OptionError{op, names[i], v.String(), "give a finite length"}
		}
	}
	return nil
}

// checkTolerance returns an [*OptionError] unless t is zero or a positive
// length.
func checkTolerance(op string, t units.Length) error {
	if !(t >= 0) || math.IsInf(float64(t), 1) {
		return &OptionError{op, "Tolerance", t.String(), "give a positive length, or zero for the default"}
	}
	return nil
}

func checkBox(op string, b Box) error {
	if !b.Min.IsFinite() || !b.Max.IsFinite() || !(b.Width() > 0) || !(b.Height() > 0) {
		return &OptionError{op, "box", fmt.Sprintf("(%g, %g) to (%g, %g) mm", b.Min.X, b.Min.Y, b.Max.X, b.Max.Y), "give a box with a width and a height"}
	}
	return nil
}
