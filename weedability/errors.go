package weedability

import (
	"errors"
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
)

// Causes that a [ShapeError] or a [LimitsError] wraps.
var (
	ErrEmpty        = errors.New("the design encloses no area")
	ErrNotClosed    = errors.New("the contour is open")
	ErrNotFinite    = errors.New("a coordinate is not a finite number")
	ErrNotWelded    = errors.New("the design is not welded")
	ErrTooLarge     = errors.New("the design is too large or too finely divided to be inspected")
	ErrLimit        = errors.New("a limit has no sensible value")
	ErrUnknownClass = errors.New("the film class is not known")
	ErrFormat       = errors.New("the text cannot be read")
	ErrOption       = errors.New("an option has no sensible value")
	ErrTimings      = errors.New("the timings do not determine the effort")
)

// ShapeError tells why a path cannot be inspected or mended, and where.
type ShapeError struct {
	Op      string        // such as "inspect"
	Contour int           // index in the path, -1 where it does not apply
	Node    int           // index of the contour's segment, -1 where it does not apply
	At      outline.Point // position in millimetres, where Contour is not -1
	Of      string        // what the contour is part of, where known
	Cause   error         // wraps one of the causes above
	Fix     string        // how to mend it, where that is known
}

// Error names the place, the cause and the remedy.
func (e *ShapeError) Error() string {
	s := "weedability: " + e.Op
	if e.Contour >= 0 {
		s += fmt.Sprintf(": contour %d", e.Contour)
		if e.Of != "" {
			s += " (" + e.Of + ")"
		}
		if e.Node >= 0 {
			s += fmt.Sprintf(", node %d", e.Node)
		}
		s += fmt.Sprintf(", at (%.3f, %.3f) mm", e.At.X, e.At.Y)
	}
	if e.Cause != nil {
		s += ": " + e.Cause.Error()
	}
	if e.Fix != "" {
		s += "; " + e.Fix
	}
	return s
}

// Unwrap returns the cause.
func (e *ShapeError) Unwrap() error { return e.Cause }

// LimitsError tells which limit, option or coefficient cannot be used.
type LimitsError struct {
	Field string // the field's name in JSON, such as "stroke.warn"
	Value string // as it was given
	Cause error  // wraps one of the causes above
	Fix   string // how to mend it
}

// Error names the field, its value, the cause and the remedy.
func (e *LimitsError) Error() string {
	s := "weedability: "
	if e.Field != "" {
		s += e.Field + " "
	}
	if e.Value != "" {
		s += "= " + e.Value + ": "
	}
	if e.Cause != nil {
		s += e.Cause.Error()
	}
	if e.Fix != "" {
		s += "; " + e.Fix
	}
	return s
}

// Unwrap returns the cause.
func (e *LimitsError) Unwrap() error { return e.Cause }
