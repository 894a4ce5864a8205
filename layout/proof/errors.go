package proof

import "errors"

// Causes that an [Error] wraps.
var (
	ErrEmpty    = errors.New("the picture is empty")
	ErrTooLarge = errors.New("the picture or its text is too large")
	ErrInvalid  = errors.New("not a sensible value")
)

// Error says why a picture could not be drawn.
type Error struct {
	Cause  error
	Detail string // the value at fault, and how to mend it
}

func (e *Error) Error() string { return "proof: " + e.Cause.Error() + ": " + e.Detail }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Cause }
