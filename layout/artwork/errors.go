package artwork

import (
	"errors"
	"fmt"

	"github.com/vinylgeom/vinyl/units"
)

// Causes that a [DesignError] wraps.
var (
	ErrNoArt       = errors.New("the design has no filled shape")
	ErrNoEdge      = errors.New("the slot lacks an edge")
	ErrNoName      = errors.New("a slot has no name")
	ErrUnknownSlot = errors.New("the design has no such slot")
	ErrInvalid     = errors.New("not a sensible value")
)

// ErrTooLong is wrapped by a [FitError], and by a [DesignError] for words of more
// than [MaxCharacters].
var ErrTooLong = errors.New("the words are too long for the slot")

// DesignError tells which design, slot and line of its file is at fault.
type DesignError struct {
	Design string
	Slot   string // empty: the design as a whole
	Line   int    // in the SVG file, 0: not known
	Cause  error
	Fix    string
}

func (e *DesignError) Error() string {
	s := "artwork: design " + e.Design
	if e.Slot != "" {
		s += ", slot " + e.Slot
	}
	if e.Line > 0 {
		s += fmt.Sprintf(", line %d", e.Line)
	}
	s += ": " + e.Cause.Error()
	if e.Fix != "" {
		s += "; " + e.Fix
	}
	return s
}

// Unwrap returns the cause.
func (e *DesignError) Unwrap() error { return e.Cause }

// FitError tells which words do not fit which slot, and what they would need.
type FitError struct {
	Design, Slot, Words string
	Height              units.Length // cap height the words would have to be set at
	Least               units.Length // the least that is allowed
	Condensed           float64      // how far they were condensed already, 1 is not at all
}

func (e *FitError) Error() string {
	if e.Condensed == 1 { // not too long, but the slot is low
		return fmt.Sprintf("artwork: design %s, slot %s: %q: %v: its capitals would be %.2f mm high, below %.2f mm; enlarge the decal or allow a smaller height; accents and descenders take room, too",
			e.Design, e.Slot, e.Words, ErrTooLong, e.Height.Millimetres(), e.Least.Millimetres())
	}
	return fmt.Sprintf("artwork: design %s, slot %s: %q: %v: condensed to %.0f %% its capitals would be %.2f mm high, below %.2f mm; shorten the words, enlarge the decal or allow a smaller height",
		e.Design, e.Slot, e.Words, ErrTooLong, 100*e.Condensed, e.Height.Millimetres(), e.Least.Millimetres())
}

// Unwrap returns [ErrTooLong].
func (e *FitError) Unwrap() error { return ErrTooLong }
