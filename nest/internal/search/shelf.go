package search

import (
	"cmp"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/nest/internal/convex"
)

// shelf is a first complete layout, made at once: boxes in columns across the
// strip, deepest first, each column as deep as its first box. Columns keep
// clear of the boxes of obstacles. ok is false if it passes the greatest
// length.
func (w *world) shelf() (layout, bool) {
	a := newLayout(w.m)
	for i, k := range w.fixed {
		a.k[w.n+i] = k
	}
	type boxed struct {
		i    int
		k    int32
		d, h float64 // depth along x, height along y
	}
	list := make([]boxed, w.n)
	for i := range w.n {
		best := boxed{i: i, k: -1}
		for _, k := range w.allowed[i] {
			b := w.kinds[k].box
			d, h := b.MaxX-b.MinX, b.MaxY-b.MinY
			// least film: depth times height, then the shallower
			if best.k < 0 || d*h < best.d*best.h*(1-angleTolerance) || (d*h <= best.d*best.h && d < best.d) {
				best.k, best.d, best.h = k, d, h
			}
		}
		list[i] = best
	}
	slices.SortStableFunc(list, func(a, b boxed) int { return cmp.Or(cmp.Compare(b.d, a.d), cmp.Compare(b.h, a.h)) })
	var blocks []convex.Box
	for _, k := range w.fixed {
		blocks = append(blocks, w.kinds[k].box)
	}
	lowest := math.Inf(1)
	for _, b := range list {
		lowest = min(lowest, b.h)
	}
	grid := math.Exp2(math.Floor(math.Log2(w.width)) - gridBits)
	x := 0.0
	for len(list) > 0 {
		depth := list[0].d
		moved, end := false, x
		y := 0.0
		rest := list[:0]
		for n, b := range list {
			if y+lowest > w.width && y > 0 {
				rest = append(rest, list[n:]...) // full
				break
			}
			at := y
			for again := true; again; { // step over obstacles
				again = false
				for _, o := range blocks {
					if o.MinX < x+depth && o.MaxX > x && o.MinY < at+b.h && o.MaxY > at {
						at, again = o.MaxY, true
					}
				}
			}
			box := w.kinds[b.k].box
			px, py := gridUp(x, box.MinX, grid), gridUp(at, box.MinY, grid)
			top := py + box.MaxY
			if top > w.width {
				if at == 0 && y == 0 && len(blocks) == 0 {
					// exactly as wide as the strip but for rounding
					a.x[b.i], a.y[b.i], a.k[b.i] = px, -box.MinY, b.k
					end = max(end, px+box.MaxX)
					y, moved = w.width, true
					continue
				}
				rest = append(rest, b)
				continue
			}
			a.x[b.i], a.y[b.i], a.k[b.i] = px, py, b.k
			end = max(end, px+box.MaxX)
			y, moved = top, true
		}
		switch {
		case moved:
			x = end
		default:
			// an obstacle fills the column: go to where the next one ends
			next := math.Inf(1)
			for _, o := range blocks {
				if o.MaxX > x {
					next = min(next, o.MaxX)
				}
			}
			if math.IsInf(next, 1) {
				return a, false
			}
			x = next
		}
		if x > w.maxLength {
			return a, false
		}
		list = rest
	}
	return a, true
}

// gridUp is the least multiple of grid that puts a box whose low side is at low
// not below at.
func gridUp(at, low, grid float64) float64 {
	p := math.Ceil((at-low)/grid) * grid
	for p+low < at {
		p += grid
	}
	return p
}
