package boundary

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// maxCellsPerEdge bounds the grid's memory: where edges are few and the shape
// is large, cells grow.
const maxCellsPerEdge = 16

// minCells lets a shape of few edges still have a useful grid.
const minCells = 4096

// maxEntriesPerEdge bounds how many cells the edges may enter on average
// before cells grow.
const maxEntriesPerEdge = 24

// grid files edges by the square cells they run through: the entries of cell
// k are items[start[k]:start[k+1]].
type grid struct {
	origin     outline.Point
	cell       float64 // side of a cell in millimetres
	inverse    float64
	cols, rows int
	start      []int32
	items      []int32
}

func newGrid(edges []Edge, box outline.Box, cell float64) grid {
	g := grid{origin: box.Min, cell: cell, inverse: 1 / cell}
	if len(edges) == 0 {
		return g
	}
	g.size(edges, box.Width(), box.Height())
	g.start = make([]int32, g.cols*g.rows+1)
	for i := range edges {
		g.visit(edges[i].A, edges[i].B, func(k int) { g.start[k+1]++ })
	}
	for k := 1; k < len(g.start); k++ {
		g.start[k] += g.start[k-1]
	}
	g.items = make([]int32, g.start[len(g.start)-1])
	fill := make([]int32, g.cols*g.rows)
	copy(fill, g.start)
	for i := range edges {
		g.visit(edges[i].A, edges[i].B, func(k int) {
			g.items[fill[k]] = int32(i)
			fill[k]++
		})
	}
	return g
}

// size sets the number of cells of a grid of width w and height h, and makes
// them larger than they are where there would be too many.
func (g *grid) size(edges []Edge, w, h float64) {
	limit := float64(max(minCells, maxCellsPerEdge*len(edges)))
	var length float64
	for i := range edges {
		length += edges[i].Length
	}
	for {
		g.inverse = 1 / g.cell
		cols, rows := math.Floor(w*g.inverse)+1, math.Floor(h*g.inverse)+1
		if cols*rows <= limit && length*g.inverse <= float64(maxEntriesPerEdge*(len(edges)+minCells)) {
			g.cols, g.rows = int(cols), int(rows)
			return
		}
		g.cell *= 1.5
	}
}

func (g *grid) column(x float64) int {
	return min(max(int((x-g.origin.X)*g.inverse), 0), g.cols-1)
}

func (g *grid) row(y float64) int {
	return min(max(int((y-g.origin.Y)*g.inverse), 0), g.rows-1)
}

// cellSlack widens, in cells, the piece of an edge that counts for a row, so
// that rounding never leaves out a cell the edge touches.
const cellSlack = 1e-6

// visit calls f for every cell that the segment from a to b runs through.
func (g *grid) visit(a, b outline.Point, f func(k int)) {
	if a.Y > b.Y {
		a, b = b, a
	}
	first, last := g.row(a.Y-cellSlack*g.cell), g.row(b.Y+cellSlack*g.cell)
	slope := 0.0
	if b.Y > a.Y {
		slope = (b.X - a.X) / (b.Y - a.Y)
	}
	for j := first; j <= last; j++ {
		from, to := a.X, b.X
		if j > first {
			y := g.origin.Y + (float64(j)-cellSlack)*g.cell
			from = a.X + slope*(max(y, a.Y)-a.Y)
		}
		if j < last {
			y := g.origin.Y + (float64(j+1)+cellSlack)*g.cell
			to = a.X + slope*(min(y, b.Y)-a.Y)
		}
		if from > to {
			from, to = to, from
		}
		for i := g.column(from - cellSlack*g.cell); i <= g.column(to+cellSlack*g.cell); i++ {
			f(j*g.cols + i)
		}
	}
}
