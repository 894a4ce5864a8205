package search

import (
	"cmp"
	"slices"

	"github.com/vinylgeom/vinyl/nest/internal/convex"
)

// meeting calls f for every two pieces whose boxes meet, the first movable,
// until f says stop. It sweeps along x.
func (w *world) meeting(placed []*convex.Placed, f func(i, j int) bool) {
	order := make([]int, len(placed))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(placed[a].Box.MinX, placed[b].Box.MinX) })
	var open []int
	for _, i := range order {
		b := placed[i].Box
		open = slices.DeleteFunc(open, func(j int) bool { return placed[j].Box.MaxX <= b.MinX })
		for _, j := range open {
			c := placed[j].Box
			if c.MinY >= b.MaxY || c.MaxY <= b.MinY || (i >= w.n && j >= w.n) {
				continue
			}
			if !f(min(i, j), max(i, j)) {
				return
			}
		}
		open = append(open, i)
	}
}
