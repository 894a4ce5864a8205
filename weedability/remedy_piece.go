package weedability

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

func fillRound(in *inspection, opt RemedyOptions) (outline.Path, []Change, error) {
	target := in.limits.CounterWidth.at(opt.Tier)
	drop := map[int]bool{}
	var changes []Change
	for _, c := range in.out.Counters {
		if c.Width+resolution >= target || in.within(drop, c.Contour) {
			continue
		}
		drop[c.Contour] = true
		changes = append(changes, Change{Kind: CounterSmall, Done: "filled", At: c.At, Before: c.Width, Unit: "mm", Of: c.Of})
	}
	return in.without(drop), changes, nil
}

func dropRound(in *inspection, opt RemedyOptions) (outline.Path, []Change, error) {
	target := in.limits.IslandArea.at(opt.Tier)
	drop := map[int]bool{}
	var changes []Change
	for _, i := range in.out.Islands {
		if i.Area >= target || in.within(drop, i.Contour) {
			continue
		}
		drop[i.Contour] = true
		changes = append(changes, Change{Kind: IslandArea, Done: "dropped", At: i.At, Before: i.Area, Unit: "mm2", Of: i.Of})
	}
	return in.without(drop), changes, nil
}

// within reports whether a contour or one around it is in the set.
func (in *inspection) within(set map[int]bool, contour int) bool {
	for k := contour; k >= 0; k = in.parents[k] {
		if set[k] {
			return true
		}
	}
	return false
}

// without returns the path less the contours in the set and all inside them.
func (in *inspection) without(set map[int]bool) outline.Path {
	var p outline.Path
	for i, c := range in.path {
		if !in.within(set, i) {
			p = append(p, c)
		}
	}
	return p
}

func bridgeRound(in *inspection, opt RemedyOptions) (outline.Path, []Change, error) {
	target := in.limits.IslandArea.at(opt.Tier)
	radius := in.limits.Stroke.at(opt.Tier)/2 + surplus
	var bars []outline.Path
	var changes []Change
	for _, i := range in.out.Islands {
		if i.Area >= target {
			continue
		}
		to, ok := in.neighbour(i)
		if !ok {
			continue
		}
		// Into the neighbour, as far as the bar is wide, so that its round end leaves no notch.
		d := to.Sub(i.At)
		end := to
		if n := d.Norm(); n > 0 {
			end = to.Add(d.Mul(radius / n))
		}
		origin := in.origin(in.b.Rings[i.Contour].First)
		bars = append(bars, outline.Path{capsule(i.At, end, radius)}.WithOrigin(origin))
		changes = append(changes, Change{Kind: IslandArea, Done: "joined by a bridge", At: i.At, Before: i.Area, Unit: "mm2", Of: i.Of})
	}
	if len(changes) == 0 {
		return nil, nil, nil
	}
	p, err := outline.Weld(append([]outline.Path{in.path}, bars...), outline.BooleanOptions{Tolerance: opt.Tolerance})
	return p, changes, err
}

// neighbour returns the point of the nearest other border of the same waste,
// from the middle of an island.
func (in *inspection) neighbour(i Island) (outline.Point, bool) {
	rings := in.regionRings(in.parents[i.Contour])
	best, at := math.Inf(1), outline.Point{}
	for _, r := range rings {
		if int(r) == i.Contour {
			continue
		}
		for e := in.b.Rings[r].First; e < in.b.Rings[r].End; e++ {
			q := in.b.Edges[e].Nearest(i.At)
			if d := q.Distance(i.At); d < best {
				best, at = d, q
			}
		}
	}
	return at, !math.IsInf(best, 1)
}
