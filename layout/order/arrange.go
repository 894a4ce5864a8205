package order

import (
	"context"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/layout/production"
)

// arrange puts the loads in the order in which they are cut, and names them by
// it. Every leftover, roll and film is loaded once; a film's leftovers come before
// its rolls. Within that the loads of each, and the films, come in the order of
// the earliest finish that is found.
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
	span := func(order []int) (float64, error) {
		t, err := production.Sequence(stages, pick(loads, order), upTo(len(order)))
		return t.Span, err
	}
	var order [][]int // film by film
	for _, film := range groups(upTo(len(r.loads)), func(i int) string { return r.loads[i].Sheet.Film.Name }) {
		var block []int
		for _, g := range groups(film, func(i int) string { return r.loads[i].from() }) {
			t, err := production.Schedule(ctx, stages, pick(loads, g), production.ScheduleOptions{})
			if err != nil {
				return err
			}
			sorted := pick(g, t.Order)
			keepNumbers(sorted, loads)
			block = append(block, sorted...)
		}
		best, least := 0, math.Inf(1)
		for at := 0; at <= len(order); at++ { // each film where it delays least, as loads are inserted
			s, err := span(slices.Concat(slices.Insert(slices.Clone(order), at, block)...))
			if err != nil {
				return err
			}
			if s < least {
				best, least = at, s
			}
		}
		order = slices.Insert(order, best, block)
	}
	r.loads = pick(r.loads, slices.Concat(order...))
	r.nameLoads()
	return nil
}

// groups parts indexes by their key, both in the order of appearance.
func groups(indexes []int, key func(int) string) [][]int {
	var out [][]int
	known := map[string]int{}
	for _, i := range indexes {
		k, ok := known[key(i)]
		if !ok {
			k = len(out)
			known[key(i)] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}

// pick returns the elements at the given indexes.
func pick[T any](from []T, indexes []int) []T {
	out := make([]T, len(indexes))
	for k, i := range indexes {
		out[k] = from[i]
	}
	return out
}

// upTo returns 0, 1, ..., n-1.
func upTo(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
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
