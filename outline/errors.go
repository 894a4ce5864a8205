package outline

import (
	"errors"
	"fmt"
)

// Causes that a [PathError] wraps.
var (
	ErrNotFinite     = errors.New("a coordinate is not a finite number")
	ErrNotClosed     = errors.New("the contour does not end where it starts")
	ErrTooFewPoints  = errors.New("the contour encloses nothing")
	ErrEmpty         = errors.New("the path has no contour")
	ErrCrossing      = errors.New("the contour crosses itself or another")
	ErrOverlap       = errors.New("the contour overlaps another or runs the wrong way round")
	ErrTooLarge      = errors.New("a coordinate or count is beyond what can be computed exactly")
	ErrInvalidOption = errors.New("an option has no sensible value")
)

// PathError tells where a path is not fit for an operation: which contour and
// node (both from 0; -1 where it does not apply), the position in millimetres,
// why, and how to mend it.
type PathError struct {
	Op      string // the operation, such as "weld"
	Contour int
	Node    int
	At      Point
	Cause   error
	Fix     string
}

func (e *PathError) Error() string {
	s := "outline: " + e.Op
	if e.Contour >= 0 {
		s += fmt.Sprintf(": contour %d", e.Contour)
		if e.Node >= 0 {
			s += fmt.Sprintf(", node %d", e.Node)
		}
		s += fmt.Sprintf(", at (%.3f, %.3f) mm", e.At.X, e.At.Y)
	}
	s += ": " + e.Cause.Error()
	if e.Fix != "" {
		s += "; " + e.Fix
	}
	return s
}

// Unwrap returns the cause.
func (e *PathError) Unwrap() error { return e.Cause }

// Check returns a [*PathError] if p has a coordinate that is not finite or a
// contour that is not closed. An empty path and contours without area pass.
func (p Path) Check() error { return p.check("check") }

func (p Path) check(op string) error {
	for i, c := range p {
		at := c.Start
		if !at.IsFinite() {
			return &PathError{op, i, 0, at, ErrNotFinite, "give every point a finite position"}
		}
		for j, s := range c.Segments {
			if !s.isFinite() {
				return &PathError{op, i, j, at, ErrNotFinite, "give every point a finite position"}
			}
			at = s.End
		}
		if at != c.Start {
			return &PathError{op, i, len(c.Segments) - 1, at, ErrNotClosed, "end the contour at its start, or use Curve.Closed"}
		}
	}
	return nil
}
