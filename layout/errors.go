package layout

import "errors"

// Causes that an [Error] wraps.
var (
	ErrInvalid    = errors.New("not a sensible value")
	ErrDoesNotFit = errors.New("does not fit")
	ErrNotFound   = errors.New("not found")
)

// Error says what could not be laid out, why, and how to mend it.
type Error struct {
	Op      string // what was being done, such as "size"
	Subject string // the film, design or sheet it was done to
	Cause   error
	Detail  string
	Fix     string
}

func (e *Error) Error() string {
	s := "layout: " + e.Op
	if e.Subject != "" {
		s += " " + e.Subject
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
