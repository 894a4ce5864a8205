package order

import (
	"context"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/layout/production"
)

// arrange puts the loads in the order in which they are cut, and names them by
// it: that of the earliest finish among those in which every film, roll and
// leftover is loaded once. What is cut again by Resume keeps its name.
func (r *runner) arrange(ctx context.Context) error {
	if len(r.loads) < 2 {
		return nil
	}
	plan := &Result{Order: r.order, Designs: r.designs, Loads: r.loads}
	loads, err := plan.stageMinutes()
	if err != nil {
		return err
	}
	stages := r.order.Shop.stages()
	var groups [][]int // indexes of loads from one roll or leftover
	known := map[string]int{}
	for i, l := range r.loads {
		k, ok := known[l.from()]
		if !ok {
			k = len(groups)
			known[l.from()] = k
			groups = append(groups, nil)
		}
		groups[k] = append(groups[k], i)
	}
	span := func(order []int) (float64, error) {
		part := make([]production.Load, len(order))
		places := make([]int, len(order))
		for k, i := range order {
			part[k], places[k] = loads[i], k
		}
		t, err := production.Sequence(stages, part, places)
		return t.Span, err
	}
	var order [][]int
	for _, g := range groups {
		part := make([]production.Load, len(g))
		for k, i := range g {
			part[k] = loads[i]
		}
		t, err := production.Schedule(ctx, stages, part, production.ScheduleOptions{})
		if err != nil {
			return err
		}
		sorted := make([]int, len(g))
		for k, place := range t.Order {
			sorted[k] = g[place]
		}
		keepNumbers(sorted, loads)
		best, least := 0, math.Inf(1)
		for at := 0; at <= len(order); at++ { // each group where it delays least, as loads are
			s, err := span(slices.Concat(slices.Insert(slices.Clone(order), at, sorted)...))
			if err != nil {
				return err
			}
			if s < least {
				best, least = at, s
			}
		}
		order = slices.Insert(order, best, sorted)
	}
	arranged := make([]Load, 0, len(r.loads))
	for _, i := range slices.Concat(order...) {
		arranged = append(arranged, r.loads[i])
	}
	r.loads = arranged
	r.nameLoads()
	return nil
}

// keepNumbers lets loads that take the same minutes come in ascending order:
// the finish is the same, and copies of a design keep their order.
func keepNumbers(order []int, loads []production.Load) {
	for a := range order {
		for b := a + 1; b < len(order); b++ {
			if order[b] < order[a] && slices.Equal(loads[order[a]].Minutes, loads[order[b]].Minutes) {
				order[a], order[b] = order[b], order[a]
			}
		}
	}
}
