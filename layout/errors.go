package layout

import "errors"

// Causes that an [Error] wraps.
var (
	ErrInvalid    = errors.New("not a sensible value") // a length, measure or shape that nothing can be done with
	ErrDoesNotFit = errors.New("does not fit")         // margins, gaps or a border leave no room
	ErrNotFound   = errors.New("not found")            // no decal has that id
)

// Error says what could not be laid out, why, and how to mend it.
type Error struct {
	Op      string // what was being done, such as "size"
	Subject string // the film, design or sheet it was done to
	Cause   error  // one of the causes above
	Detail  string // the values at fault
	Fix     string // how to mend it; may be empty
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
