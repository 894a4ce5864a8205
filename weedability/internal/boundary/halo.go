package boundary

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// haloCell is the side of a halo's cells as a share of its reach: larger cells
// list edges in vain, smaller ones take long to fill.
const haloCell = 0.75

// halo lists for square cells all edges within reach of any point in them, so that a
// ball finds every edge it can hold under its centre.
type halo struct {
	grid
	reach float64
}

func newHalo(edges []Edge, box outline.Box, reach float64) halo {
	h := halo{grid: grid{origin: box.Min.Sub(outline.Point{X: reach, Y: reach}), cell: haloCell * reach}, reach: reach}
	if len(edges) == 0 {
		return h
	}
	h.size(edges, box.Width()+2*reach, box.Height()+2*reach)
	h.start = make([]int32, h.cols*h.rows+1)
	h.runs(edges, func(_ int32, from, to int) {
		h.start[from]++
		h.start[to]--
	})
	// Counts from their differences, then starts from the counts.
	count, total := int32(0), int32(0)
	for k := range h.start {
		count += h.start[k]
		h.start[k] = total
		total += count
	}
	h.items = make([]int32, total)
	fill := make([]int32, h.cols*h.rows)
	copy(fill, h.start)
	h.runs(edges, func(n int32, from, to int) {
		for k := from; k < to; k++ {
			h.items[fill[k]] = n
			fill[k]++
		}
	})
	return h
}

// runs calls f with every edge and the runs of cells, from to to-1, that it is near.
func (h *halo) runs(edges []Edge, f func(n int32, from, to int)) {
	reach := h.reach + cellSlack*h.cell
	for n := range edges {
		a, b := edges[n].A, edges[n].B
		if a.Y > b.Y {
			a, b = b, a
		}
		first, last := h.row(a.Y-reach), h.row(b.Y+reach)
		// A short edge is near the same columns in all rows.
		level := b.Y-a.Y <= h.cell
		i0, i1 := h.column(min(a.X, b.X)-reach), h.column(max(a.X, b.X)+reach)
		for j := first; j <= last; j++ {
			if !level {
				// The piece of the edge within reach of the row.
				low := h.origin.Y + float64(j)*h.cell - reach
				slope := (b.X - a.X) / (b.Y - a.Y)
				from := a.X + slope*(max(low, a.Y)-a.Y)
				to := a.X + slope*(min(low+h.cell+2*reach, b.Y)-a.Y)
				i0, i1 = h.column(min(from, to)-reach), h.column(max(from, to)+reach)
			}
			f(int32(n), j*h.cols+i0, j*h.cols+i1+1)
		}
	}
}

// under returns the edges that come within reach of q.
func (h *halo) under(q outline.Point) []int32 {
	x, y := (q.X-h.origin.X)*h.inverse, (q.Y-h.origin.Y)*h.inverse
	if !(x >= 0 && y >= 0 && x < float64(h.cols) && y < float64(h.rows)) {
		return nil
	}
	k := int(y)*h.cols + int(x)
	return h.items[h.start[k]:h.start[k+1]]
}

// Near prepares for many balls of at most the given radius. It must not run
// beside other methods.
func (b *Boundary) Near(radius float64) {
	b.halo = newHalo(b.Edges, b.Box, math.Nextafter(radius, math.Inf(1)))
}
