package colours

import (
	"errors"
	"fmt"
)

// Causes that an [Error] wraps.
var (
	ErrInvalidOption = errors.New("an option has no sensible value")
	ErrEmpty         = errors.New("there is nothing to part")
	ErrHidden        = errors.New("the colour is covered by others everywhere")
	ErrTooThin       = errors.New("the overlap is thinner than the trap")
	ErrNotWelded     = errors.New("the layer cannot be welded")
)

// Error tells which layer cannot be parted from the others, and how to mend it.
type Error struct {
	Layer  int    // from 0, the lowest; -1 where it does not apply
	Colour string // of that layer
	Cause  error
	Detail string
	Fix    string
}

func (e *Error) Error() string {
	s := "colours"
	if e.Layer >= 0 {
		s += fmt.Sprintf(": layer %d", e.Layer)
		if e.Colour != "" {
			s += " (" + e.Colour + ")"
		}
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
