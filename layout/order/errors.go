package order

import "errors"

// Causes that an [Error] wraps.
var (
	ErrNotJSON       = errors.New("not a JSON order")
	ErrUnknownField  = errors.New("unknown field")
	ErrInvalid       = errors.New("not a sensible value")
	ErrTooLarge      = errors.New("too large")
	ErrUnknownDesign = errors.New("unknown design")
	ErrOutput        = errors.New("cannot write the output")
)

// Error says what in an order is wrong, where, and how to mend it.
type Error struct {
	Where  string // such as "items[3].copies", "order file, line 7, column 12" or a folder
	Cause  error
	Detail string
	Fix    string
}

func (e *Error) Error() string {
	s := e.Where + ": " + e.Cause.Error()
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
