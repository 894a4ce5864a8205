package search

import (
	"math"

	"github.com/vinylgeom/vinyl/nest/internal/convex"
)

const (
	// settleMargin, relative to the strip's width, is how far apart contacts are
	// put that rounding would turn into overlaps.
	settleMargin = 1e-8
	// gridBits: final positions are multiples of a power of two about this many
	// bits below the strip's width, so that contacts of whole-number outlines
	// come out exact.
	gridBits = 32
	// settleRounds bounds the programs of settle.
	settleRounds = 6
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
	if length, ok = w.inStrip(placed); !ok {
		return length, false
	}
	w.meeting(placed, func(i, j int) bool {
		ok = !convex.Overlap(placed[i], placed[j])
		return ok
	})
	return length, ok
}

func (w *world) inStrip(placed []*convex.Placed) (length float64, ok bool) {
	for _, p := range placed[:w.n] {
		if !(p.Box.MinX >= 0 && p.Box.MinY >= 0 && p.Box.MaxY <= w.width) {
			return 0, false
		}
		length = max(length, p.Box.MaxX)
	}
	return length, length <= w.maxLength
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

// settle makes a layout with contacts exact: positions go to a fine grid of
// powers of two, and pairs that still overlap are put settleMargin apart.
func (s *shortener) settle(w *world, a layout) ([]Pose, bool) {
	a = a.clone()
	grid := math.Exp2(math.Floor(math.Log2(w.width)) - gridBits)
	wide := map[[2]int]int{}
	var list []apart
	for round := 0; ; round++ {
		ps := w.poses(a)
		for i := range ps {
			w.toGrid(&ps[i], a.k[i], grid)
		}
		placed := w.placed(ps)
		before := len(wide)
		_, inside := w.inStrip(placed)
		w.meeting(placed, func(i, j int) bool {
			if convex.Overlap(placed[i], placed[j]) {
				inside = false
				if _, ok := wide[[2]int{i, j}]; !ok {
					wide[[2]int{i, j}] = len(wide)
				}
			}
			return true
		})
		if inside {
			return ps, true
		}
		if round == settleRounds || (len(wide) == before && round > 1) || w.n > programPieces {
			return nil, false
		}
		trust := 100 * settleMargin * w.width
		var ok bool
		if list, ok = w.separations(a, 0, trust, list); !ok {
			return nil, false
		}
		// what the search's tolerance let overlap is made up for first
		var off []float64
		for _, c := range list {
			key := [2]int{c.i, c.j}
			k, ok := wide[key]
			if !ok && c.slack >= 0 {
				continue
			}
			if !ok {
				k = len(wide)
				wide[key] = k
			}
			for len(off) <= k {
				off = append(off, 0)
			}
			off[k] = max(off[k], -c.slack)
		}
		for len(off) < len(wide) {
			off = append(off, 0)
		}
		s.solve(w, a, 0, list, trust, wide, off, settleMargin*w.width)
	}
}

// toGrid rounds a position to the grid, but never out of the strip.
func (w *world) toGrid(p *Pose, k int32, grid float64) {
	b := &w.kinds[k].box
	p.X = max(math.Round(p.X/grid)*grid, -b.MinX)
	p.Y = math.Round(p.Y/grid) * grid
	top := w.width - b.MaxY
	for top+b.MaxY > w.width {
		top = math.Nextafter(top, math.Inf(-1))
	}
	p.Y = max(min(p.Y, top), -b.MinY)
}
