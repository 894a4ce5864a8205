package cutpath

import (
	"math"

	"github.com/vinylgeom/vinyl/layout/cutpath/internal/tour"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// LowerBound returns a length of travel that no order of j's strokes can
// undercut which keeps the order of roles (pieces, then lines, then trims) and,
// unless the job was planned [Free], finishes decal by decal, wherever each
// stroke begins among the places that Plan allowed. That enclosed contours
// come first, and the window, are not accounted for, nor that a contour is left
// where it was entered: the best lawful order lies above the bound, by a few
// percent for many small contours and by far for few large ones.
//
// Its time grows with the square of the number of strokes: some seconds for
// 10,000 that begin where they are drawn, longer the more start points each has.
func (j Job) LowerBound() units.Length {
	n := len(j.Strokes)
	if n == 0 {
		return 0
	}
	regions := make([]tour.Region, n)
	for i, s := range j.Strokes {
		switch {
		case !s.Closed || s.Prepared || len(j.places) != n:
			a, b := s.Curve.Start, s.Curve.End()
			regions[i] = tour.Region{Points: []outline.Point{a, b}, Through: true}
			if a == b {
				regions[i] = tour.Region{Points: []outline.Point{a}}
			}
		default:
			regions[i].Points = j.places[i]
		}
	}
	var end *outline.Point
	if j.Return {
		end = &j.Home
	}
	// Where phases mingle in space, one bound over all may be the better.
	whole := tour.Bound(regions, &j.Home, end)
	if j.Strokes[0].Role == j.Strokes[n-1].Role && (j.Strokes[0].Role != Decal || j.grouping == Free) {
		return units.Length(whole) // a single phase
	}
	sum := 0.0
	before := []tour.Region{{Points: []outline.Point{j.Home}}}
	for i := 0; i < n; {
		e := i + 1
		for e < n && j.Strokes[e].Role == j.Strokes[i].Role {
			e++
		}
		phase := tour.Bound(regions[i:e], nil, nil)
		if j.Strokes[i].Role == Decal && j.grouping == ByDecal {
			phase = math.Max(phase, j.decalBound(regions, i, e))
		}
		sum += nearest(before, regions[i:e]) + phase
		before = regions[i:e]
		i = e
	}
	if j.Return {
		sum += nearest(before, []tour.Region{{Points: []outline.Point{j.Home}}})
	}
	return units.Length(math.Max(sum, whole))
}

// decalBound bounds the travel among the strokes [from, to), cut decal by
// decal: that inside each, and that between them.
func (j Job) decalBound(regions []tour.Region, from, to int) float64 {
	sum := 0.0
	var decals []tour.Region
	for i := from; i < to; {
		e := i + 1
		for e < to && j.Strokes[e].Decal == j.Strokes[i].Decal {
			e++
		}
		sum += tour.Bound(regions[i:e], nil, nil)
		var whole tour.Region
		for _, r := range regions[i:e] {
			whole.Points = append(whole.Points, r.Points...)
		}
		decals = append(decals, whole)
		i = e
	}
	return sum + tour.Bound(decals, nil, nil)
}

// nearest returns the least distance between two sets of regions.
func nearest(a, b []tour.Region) float64 {
	best := math.Inf(1)
	for _, r := range a {
		for _, p := range r.Points {
			for _, s := range b {
				for _, q := range s.Points {
					best = math.Min(best, p.Distance(q))
				}
			}
		}
	}
	return best
}
