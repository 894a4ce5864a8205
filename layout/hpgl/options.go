package hpgl

import (
	"fmt"

	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/units"
)

// Unit is the plotter unit.
const Unit units.Length = 0.025

// unitsPerMillimetre is the number of plotter units in a millimetre.
const unitsPerMillimetre = 40

// ClassicLimit is the greatest coordinate, either sign, of the classic
// manuals: 819.175 mm (HP 7470A).
const ClassicLimit = 32767

// wideLimit is what HP-GL/2 printers' manuals give for larger integers; the
// figure is from memory (2^23) and a machine may take more or less.
const wideLimit = 1<<23 - 1

// Mode tells how coordinates are sent.
type Mode uint8

// The modes.
const (
	Absolute Mode = iota // PA
	Relative             // PR, from (0, 0): differences of the rounded absolute positions
)

// String names the mode.
func (m Mode) String() string {
	switch m {
	case Absolute:
		return "absolute"
	case Relative:
		return "relative"
	}
	return "unknown mode"
}

// Range tells which numbers the machine takes.
type Range uint8

// The ranges.
const (
	Classic Range = iota // up to ±32767, 819.175 mm; beyond it an error
	Wide                 // up to ±8388607, some 209 m
)

// String names the range.
func (r Range) String() string {
	switch r {
	case Classic:
		return "classic"
	case Wide:
		return "wide"
	}
	return "unknown range"
}

// limit returns the greatest number that may be sent.
func (r Range) limit() int {
	if r == Wide {
		return wideLimit
	}
	return ClassicLimit
}

// Axes tells which of the plotter's axes runs along the film.
type Axes uint8

const (
	// FeedAlongX sends x as X and y as Y.
	FeedAlongX Axes = iota
	// FeedAlongY turns the sheet a quarter counter-clockwise, so that x, along
	// the film, becomes Y; X runs from the film's far edge. Nothing is
	// mirrored.
	FeedAlongY
)

// String names the axes.
func (a Axes) String() string {
	switch a {
	case FeedAlongX:
		return "feed along X"
	case FeedAlongY:
		return "feed along Y"
	}
	return "unknown axes"
}

// Options of [NewWriter]. The zero value writes IN, SP1, absolute
// coordinates and pen moves, and leaves speed and force to the machine.
type Options struct {
	Mode Mode
	// Range is the machine's: beyond it the writer refuses, because a machine
	// would cut elsewhere. Send long loads Relative, split the job with
	// cutpath's Job.Split, or say Wide where the machine takes it. With
	// Relative it bounds each step. No number of Pen, Speed or Force is beyond
	// it either.
	Range Range
	Axes  Axes
	// Pen is the number after SP; zero is 1.
	Pen int
	// Speed is sent as VS in cm/s, rounded to whole ones and at least 1; zero
	// sends none.
	Speed units.Speed
	// Force is the step sent as FS; zero sends none. It is no weight: what a
	// step means is the machine's.
	Force int
	// Tolerance bounds the deviation of curves sent as chords; zero is half a
	// plotter unit.
	Tolerance units.Length
	// MaxPairs is the greatest number of coordinate pairs in one command, for
	// machines with short buffers; zero is DefaultMaxPairs.
	MaxPairs int
	// Before and After, if not empty, are sent as they are after IN and before
	// the last command: the place for what a particular machine wants.
	Before, After string
}

// DefaultMaxPairs keeps a command below 250 bytes with classic coordinates;
// the 7470A's buffer holds 255 (HP 7470A manual, from memory).
const DefaultMaxPairs = 16

func (o Options) check() error {
	bad := func(name string, v any, fix string) error {
		return &cutpath.Error{Op: "write HP-GL", Contour: -1, Cause: cutpath.ErrInvalidOption, Detail: fmt.Sprintf("%s is %v", name, v), Fix: fix}
	}
	most := o.Range.limit()
	switch {
	case o.Mode > Relative:
		return bad("Mode", uint8(o.Mode), "use Absolute or Relative")
	case o.Range > Wide:
		return bad("Range", uint8(o.Range), "use Classic or Wide")
	case o.Axes > FeedAlongY:
		return bad("Axes", uint8(o.Axes), "use FeedAlongX or FeedAlongY")
	case o.Pen < 0 || o.Pen > most:
		return bad("Pen", o.Pen, "give 1 or more, or zero for 1")
	case !(o.Speed >= 0 && float64(o.Speed/units.CentimetrePerSecond) <= float64(most)):
		return bad("Speed", o.Speed, "give a speed in the machine's range, or zero to send none")
	case o.Force < 0 || o.Force > most:
		return bad("Force", o.Force, "give a step in the machine's range, or zero to send none")
	case !(o.Tolerance >= 0) || !o.Tolerance.IsFinite():
		return bad("Tolerance", o.Tolerance, "give zero or more")
	case o.MaxPairs < 0:
		return bad("MaxPairs", o.MaxPairs, "give zero or more")
	}
	return nil
}
