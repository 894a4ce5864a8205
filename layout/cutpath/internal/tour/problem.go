package tour

import (
	"time"

	"github.com/vinylgeom/vinyl/outline"
)

// Problem is a set of stops to pass, each once.
type Problem struct {
	// A and B are the two ends of each stop: equal for a point or a closed
	// contour, which is left where it is entered.
	A, B []outline.Point
	// Places, if not nil, are the points at which a stop with A equal to B may
	// be passed instead, with Costs in the unit of length; Visit.Place is an
	// index into them. A stop without places is passed at A.
	Places [][]outline.Point
	Costs  [][]float64
	// After[i] is a stop that must come later than i, or -1. Nil: no such rule.
	After []int
	// MinX and MaxX are the stops' extent along the film; with a Window above
	// zero, stop a must come before b where MaxX[a] + Window < MinX[b].
	MinX, MaxX []float64
	Window     float64
	// Start is where the way begins.
	Start outline.Point
	// End is where it ends; nil: wherever the last stop is.
	End *outline.Point
}

// Visit is a stop in the way; Flip passes it from B to A, Place is where a stop
// with places is passed.
type Visit struct {
	Stop  int
	Flip  bool
	Place int
}

// Options bound the work.
type Options struct {
	Trials   int       // kicks; negative: none, not even the first descent
	Deadline time.Time // zero: none
	Seed     uint64
	Stop     func() bool // asked now and then; true ends the search
}

// Length returns the length of the way: from Start to the first stop, between
// the stops, and to End.
func (p *Problem) Length(way []Visit) float64 {
	at := p.Start
	sum := 0.0
	for _, v := range way {
		in, out := p.ends(v)
		sum += at.Distance(in)
		at = out
	}
	if p.End != nil && len(way) > 0 {
		sum += at.Distance(*p.End)
	}
	return sum
}

// ends returns where a visit begins and ends.
func (p *Problem) ends(v Visit) (in, out outline.Point) {
	if p.Places != nil && len(p.Places[v.Stop]) > 0 {
		return p.Places[v.Stop][v.Place], p.Places[v.Stop][v.Place]
	}
	if v.Flip {
		return p.B[v.Stop], p.A[v.Stop]
	}
	return p.A[v.Stop], p.B[v.Stop]
}

// Feasible reports whether way keeps the rules of After and Window.
func (p *Problem) Feasible(way []Visit) bool {
	seen := make([]bool, len(p.A))
	far := 0.0
	for i, v := range way {
		if seen[v.Stop] {
			return false
		}
		seen[v.Stop] = true
		if p.After != nil && p.After[v.Stop] >= 0 && seen[p.After[v.Stop]] {
			return false
		}
		if p.Window > 0 {
			if i > 0 && p.MaxX[v.Stop]+p.Window < far {
				return false
			}
			if i == 0 || p.MinX[v.Stop] > far {
				far = p.MinX[v.Stop]
			}
		}
	}
	return len(way) == len(p.A)
}
