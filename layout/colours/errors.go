package colours

import (
	"errors"
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Causes that an [Error] wraps.
var (
	ErrInvalidOption = errors.New("an option has no sensible value")
	ErrEmpty         = errors.New("there is nothing to part")
	ErrTooThin       = errors.New("the overlap is thinner than the trap")
	ErrNotWelded     = errors.New("the layer cannot be welded")
	ErrTooLarge      = errors.New("the design is beyond what is parted at once")
)

// Limits of a design: what is larger is refused with [ErrTooLarge] before
// memory is taken for it.
const (
	MaxLayers  = 256
	MaxNodes   = 1 << 20               // segments of all layers together
	MaxOutline = 1000 * units.Metre    // of all outlines together, measured along their control points
	MaxTrap    = 10 * units.Millimetre // of Options.Trap and Options.CloseGap
)

// checkSize refuses what is beyond the limits.
func checkSize(layers []Layer) error {
	fail := func(layer int, detail, fix string) error {
		return &Error{Layer: layer, Cause: ErrTooLarge, Detail: detail, Fix: fix}
	}
	if len(layers) > MaxLayers {
		return fail(-1, fmt.Sprintf("%d layers, at most %d are parted", len(layers), MaxLayers), "weld layers of one colour first")
	}
	nodes, length := 0, 0.0
	for i, l := range layers {
		nodes += l.Path.Nodes()
		if nodes > MaxNodes {
			return fail(i, fmt.Sprintf("with it there are %d nodes, at most %d are parted", nodes, MaxNodes), "simplify the artwork")
		}
		for _, c := range l.Path {
			length += controlLength(c)
		}
		if length > float64(MaxOutline) {
			return fail(i, fmt.Sprintf("with it the outlines are %.0f m long, at most %.0f m are parted", length/1000, MaxOutline.Metres()), "check the artwork's units, or part it in pieces")
		}
	}
	return nil
}

// controlLength is the length of the polygon through the contour's nodes and
// control points, which the contour is no longer than.
func controlLength(c outline.Contour) float64 {
	sum, at := 0.0, c.Start
	to := func(p outline.Point) { sum, at = sum+at.Distance(p), p }
	for _, s := range c.Segments {
		if s.Kind != outline.Line {
			to(s.C1)
		}
		if s.Kind == outline.Cubic {
			to(s.C2)
		}
		to(s.End)
	}
	return sum
}

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
