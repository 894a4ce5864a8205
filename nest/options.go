package nest

import (
	"time"

	"github.com/vinylgeom/vinyl/units"
)

// DefaultBudget is how long Nest improves the layout when Options say nothing.
const DefaultBudget = 5 * time.Second

// FirstLayoutOnly as Options.Budget ends the work with the first complete layout.
const FirstLayoutOnly time.Duration = -1

// Options steer the work. The zero value improves the first layout for DefaultBudget with a fixed seed on all processors. In
// JSON they are an object with the names given beside the fields and the budget as text such as "1.5s" under "budget" (see
// time.ParseDuration; "first layout" for FirstLayoutOnly); what is zero is left out. Progress does not travel.
type Options struct {
	// Budget is the wall-clock time for the whole call. Zero means DefaultBudget, or no limit if Iterations is set.
	// Negative (FirstLayoutOnly) returns the first layout.
	Budget time.Duration `json:"-"`
	// Iterations, if above zero, is the number of passes of the search that are spent on each search, instead of a time.
	// Then the layout depends on nothing but the arguments and the seed.
	Iterations int `json:"iterations,omitzero"`
	// Seed makes runs differ. Zero is as good a seed as any other.
	Seed uint64 `json:"seed,omitzero"`
	// Workers is the greatest number of goroutines. Zero means as many as there are processors. It does not change the
	// result of a run with Iterations.
	Workers int `json:"workers,omitzero"`
	// Progress, if not nil, is told of every better layout, one call at a time, from the goroutine that called Nest or from
	// a worker. It must not block for long.
	Progress func(Progress) `json:"-"`
	// Fixed are placements that stay exactly where they are. They count towards the Count of their pieces.
	Fixed []Placement `json:"fixed,omitempty"`
	// Start are placements, such as those of an earlier Result, to begin with; they may be moved, and pieces of one
	// shape may change places. Copies that they lack are added; placements of pieces or copies that do not exist any more
	// are left out. A Start that does not verify is not used.
	Start []Placement `json:"start,omitempty"`
	// IdenticalLoads prefers loads that are copies of one another, so that one file is cut several times, even when that
	// takes a little more film. It never takes more loads.
	IdenticalLoads bool `json:"identical_loads,omitzero"`
}

// Progress is a better layout on the way. The last report equals the Result. It marshals to JSON and back with the names given
// beside the fields.
type Progress struct {
	Loads      int           // "loads": number of loads
	Length     units.Length  // "length_mm": film of all loads together
	Density    float64       // "density": area of the pieces by area of the film, 0 to 1
	Elapsed    time.Duration // "elapsed_s"
	Iterations int           // "iterations": passes of the search so far
}
