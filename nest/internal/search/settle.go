package search

import (
	"math"

	"github.com/vinylgeom/vinyl/nest/internal/convex"
)

// poses turns a layout into the movable pieces' poses.
func (w *world) poses(a layout) []Pose {
	ps := make([]Pose, w.n)
	for i := range ps {
		ps[i] = Pose{a.x[i], a.y[i], w.kinds[a.k[i]].angle}
	}
	return ps
}

// exact reports whether poses are free of overlap and inside the strip, exactly
// for float64 coordinates, and the largest x.
func (w *world) exact(ps []Pose) (length float64, ok bool) {
	placed := w.placed(ps)
	for _, p := range placed[:w.n] {
		if p.Box.MinX < 0 || p.Box.MinY < 0 || p.Box.MaxY > w.width {
			return 0, false
		}
		length = math.Max(length, p.Box.MaxX)
	}
	if length > w.maxLength {
		return 0, false
	}
	ok = true
	w.meeting(placed, func(i, j int) bool {
		ok = !convex.Overlap(placed[i], placed[j])
		return ok
	})
	return length, ok
}

func (w *world) placed(ps []Pose) []*convex.Placed {
	placed := make([]*convex.Placed, 0, w.m)
	for i, p := range ps {
		placed = append(placed, w.shapes[w.shapeOf[i]].outline.Placed(p.X, p.Y, p.Angle))
	}
	for i := w.n; i < w.m; i++ {
		placed = append(placed, w.shapes[w.shapeOf[i]].outline.Placed(0, 0, 0))
	}
	return placed
}
