package cutpath

import (
	"errors"
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
)

// Causes that an [Error] wraps.
var (
	ErrEmpty         = errors.New("there is nothing to cut")
	ErrNotFinite     = errors.New("a coordinate is not a finite number")
	ErrNotClosed     = errors.New("the contour does not end where it starts")
	ErrNoLength      = errors.New("the stroke has no length")
	ErrOutsideFilm   = errors.New("the cut leaves the film")
	ErrTooSmall      = errors.New("the shape is smaller than the knife can follow")
	ErrInvalidOption = errors.New("an option has no sensible value")
	ErrRange         = errors.New("a coordinate is beyond what the machine takes")
	ErrTooLarge      = errors.New("the job is beyond what is planned at once")
)

// Limits of one job: what is larger is refused with [ErrTooLarge] before memory
// is taken for it. A load of 10,000 decals with 25 contours each is within
// them; [Plan] takes some 2 GB at most.
const (
	MaxStrokes = 1 << 18 // contours and lines of one sheet or job
	MaxNodes   = 1 << 23 // segments of all its strokes together

	// MaxCoordinate bounds coordinates of either sign, in millimetres: a
	// kilometre. Beyond it [Plan] refuses with [ErrRange].
	MaxCoordinate = 1e6
)

// checkSize refuses what is beyond the limits.
func checkSize(op, sheet string, strokes, nodes int) error {
	switch {
	case strokes > MaxStrokes:
		return tooLarge(op, sheet, fmt.Sprintf("%d strokes, at most %d are", strokes, MaxStrokes))
	case nodes > MaxNodes:
		return tooLarge(op, sheet, fmt.Sprintf("%d nodes, at most %d are", nodes, MaxNodes))
	}
	return nil
}

func tooLarge(op, sheet, detail string) *Error {
	return &Error{Op: op, Sheet: sheet, Contour: -1, Cause: ErrTooLarge, Detail: detail, Fix: "cut it in several loads, or simplify the artwork"}
}

// nodes returns the number of segments of all strokes.
func nodes(strokes []Stroke) int {
	n := 0
	for _, s := range strokes {
		n += len(s.Curve.Segments)
	}
	return n
}

// Error tells what cannot be cut, where, why, and how to mend it.
type Error struct {
	Op      string // what was being done, such as "plan"
	Sheet   string
	Role    Role
	ID      string        // the decal's id, empty for other roles
	Contour int           // index of the contour or line; -1 where it does not apply
	At      outline.Point // the place in the sheet's millimetres, where Contour >= 0
	Cause   error
	Detail  string
	Fix     string
}

func (e *Error) Error() string {
	s := "cutpath: " + e.Op
	if e.Sheet != "" {
		s += " " + e.Sheet
	}
	if e.Contour >= 0 {
		s += ": " + e.Role.String()
		if e.ID != "" {
			s += " " + e.ID
		}
		s += fmt.Sprintf(", contour %d, at (%.3f, %.3f) mm", e.Contour, e.At.X, e.At.Y)
	}
	s += ": " + e.Cause.Error()
	if e.Detail != "" {
		s += ": " + e.Detail
	}
	if e.Fix != "" {
		s += "; " + e.Fix
	}
	return s
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Cause }

// strokeError places an error at a stroke.
func strokeError(op, sheet string, s Stroke, at outline.Point, cause error, detail, fix string) *Error {
	return &Error{Op: op, Sheet: sheet, Role: s.Role, ID: s.ID, Contour: s.Contour, At: at, Cause: cause, Detail: detail, Fix: fix}
}

func optionError(op, detail, fix string) *Error {
	return &Error{Op: op, Contour: -1, Cause: ErrInvalidOption, Detail: detail, Fix: fix}
}
