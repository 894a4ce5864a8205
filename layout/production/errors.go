package production

import "errors"

// Causes that an [Error] wraps.
var (
	ErrInvalid  = errors.New("not a sensible value")
	ErrTooLate  = errors.New("the deadline cannot be met")
	ErrTooLarge = errors.New("too large")
)

// Error says what cannot be planned or priced, where, and how to mend it.
type Error struct {
	Where  string // such as `load "load-03", stage "weed"`
	Cause  error
	Detail string
	Fix    string
}

func (e *Error) Error() string {
	s := "production: " + e.Where + ": " + e.Cause.Error()
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
