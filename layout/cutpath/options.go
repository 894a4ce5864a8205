package cutpath

import (
	"time"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Grouping tells how strictly decals stay together.
type Grouping uint8

const (
	// ByDecal finishes each decal before the next, so that what has been cut
	// is whole if film runs out or jams.
	ByDecal Grouping = iota
	// Free orders the contours of all decals together, for the least travel.
	Free
)

// String names the grouping.
func (g Grouping) String() string {
	switch g {
	case ByDecal:
		return "by decal"
	case Free:
		return "free"
	}
	return "unknown grouping"
}

// Direction tells which way round contours are cut.
type Direction uint8

// The directions.
const (
	AsDrawn Direction = iota // as the path has it: after a weld, film to the left
	CounterClockwise
	Clockwise
)

// String names the direction.
func (d Direction) String() string {
	switch d {
	case AsDrawn:
		return "as drawn"
	case CounterClockwise:
		return "counter-clockwise"
	case Clockwise:
		return "clockwise"
	}
	return "unknown direction"
}

// StartPoints tells where contours may be begun.
type StartPoints uint8

const (
	// StartQuiet begins where the meeting of start and end shows least: on
	// straights and flat curves, away from corners and thin places, and among
	// such places where travel is short.
	StartQuiet StartPoints = iota
	// StartNearest begins wherever travel is shortest.
	StartNearest
	// StartAsDrawn begins where the path does.
	StartAsDrawn
)

// String names the choice.
func (s StartPoints) String() string {
	switch s {
	case StartQuiet:
		return "quiet"
	case StartNearest:
		return "nearest"
	case StartAsDrawn:
		return "as drawn"
	}
	return "unknown start points"
}

// Options of [Plan]. The zero value cuts decal by decal from the sheet's
// origin, starts where it shows least, and gives the same plan every time.
type Options struct {
	Grouping  Grouping
	Start     StartPoints
	Direction Direction

	// Window bounds how far the film runs back: nothing is cut after something
	// that begins more than Window further along the film than it ends. Zero:
	// no bound.
	Window units.Length

	// Home is where the knife stands at first, and with Return at the end.
	Home   outline.Point
	Return bool

	// Budget is the time for shortening the travel; it ends the search
	// early or late by the clock, so that two runs can differ. Zero:
	// Iterations decides alone.
	Budget time.Duration
	// Iterations is the number of trials for shortening the travel; zero:
	// DefaultTrials for each stroke, or no limit where a Budget is set.
	// Negative: the first order found.
	Iterations int
	// Seed of the search. Equal seeds and iterations give equal plans.
	Seed uint64

	// TestPiece is cut first if its Size is above zero.
	TestPiece TestPieceOptions

	// AllowOutside leaves out the check that every cut lies on the film.
	AllowOutside bool

	// Progress, if set, is called now and then from Plan's own goroutine.
	Progress func(Progress)
}

// Progress tells how far a plan has come.
type Progress struct {
	Share  float64      // of the search that is behind, 0 to 1
	Travel units.Length // of the best order so far
}

// DefaultTrials is the number of trials per stroke that Plan makes where
// neither Budget nor Iterations is given: beyond it, travel on sheets of
// lettering falls by less than a percent.
const DefaultTrials = 20
