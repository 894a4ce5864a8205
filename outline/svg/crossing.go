package svg

import (
	"iter"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// edge is a chord of a flattened contour.
type edge struct {
	a, b    outline.Point
	contour int
	index   int // within the contour
	last    int // the index of the contour's last edge
}

// chords are the edges of a path's flattened contours, a contour's own one
// after the other.
type chords struct {
	edges  []edge
	box    outline.Box
	budget *int // what may still be compared, counting down
}

// chordsOf flattens p within tolerance; where the budget is spent it stops
// short, and every question after it is answered with ok false.
func chordsOf(p outline.Path, tolerance units.Length, budget *int) chords {
	c := chords{box: outline.EmptyBox(), budget: budget, edges: make([]edge, 0, chordsPerNode*p.Nodes())}
	var flat []outline.Point
	for i, contour := range p {
		flat = contour.Flatten(flat[:0], tolerance)
		if *budget -= chordCost * len(flat); *budget < 0 {
			return c
		}
		first := len(c.edges)
		for j, a := range flat {
			if b := flat[(j+1)%len(flat)]; a != b {
				c.edges = append(c.edges, edge{a: a, b: b, contour: i, index: len(c.edges) - first})
			}
			c.box = c.box.Extend(a)
		}
		for j := first; j < len(c.edges); j++ {
			c.edges[j].last = len(c.edges) - first - 1
		}
	}
	return c
}

// chordsPerNode is how many chords a segment takes at least in artwork of lines and curves.
const chordsPerNode = 2

// chordCost is what a chord takes from the budget, in comparisons; it keeps
// the memory for chords below some 200 MB.
const chordCost = 20

// crossings counts how often the chords cross or touch, other than at the
// ends they share. It gives up, ok false, where the budget is spent or limit
// exceeded.
//
// Chords are compared only where they share a cell of a grid with about as
// many cells as chords, so that ordinary artwork costs little more than a pass
// over it.
func (c chords) crossings(limit int) (n int, ok bool) {
	if len(c.edges) == 0 || *c.budget < 0 {
		return 0, *c.budget >= 0
	}
	g := newGrid(c.box, len(c.edges))
	if !g.fill(c.edges, c.budget) {
		return 0, false
	}
	for cell := range g.columns * g.rows {
		list := g.items[g.first[cell]:g.first[cell+1]]
		for k, i := range list {
			if *c.budget -= k; *c.budget < 0 {
				return n, false
			}
			for _, j := range list[:k] {
				if at, meet := meets(&c.edges[i], &c.edges[j]); meet && g.owns(cell, at) {
					if n++; n > limit {
						return n, false
					}
				}
			}
		}
	}
	return n, true
}

// around returns for each of n contours how often the others run around it,
// counter-clockwise ones counting 1 and clockwise ones -1. The contours must
// not cross or touch. ok is false where the budget is spent.
func (c chords) around(n int) (windings []int, ok bool) {
	windings = make([]int, n)
	if n < 2 || len(c.edges) == 0 {
		return windings, true
	}
	// A ray to the left from a contour's first point meets only chords of the
	// same row.
	g := newGrid(c.box, len(c.edges))
	rows := make([][]int32, g.rows)
	for i, e := range c.edges {
		from, to := g.row(min(e.a.Y, e.b.Y)), g.row(max(e.a.Y, e.b.Y))
		if *c.budget -= to - from + 1; *c.budget < 0 {
			return nil, false
		}
		for row := from; row <= to; row++ {
			rows[row] = append(rows[row], int32(i))
		}
	}
	for _, e := range c.edges {
		if e.index != 0 {
			continue
		}
		row := rows[g.row(e.a.Y)]
		if *c.budget -= len(row); *c.budget < 0 {
			return nil, false
		}
		for _, j := range row {
			f := &c.edges[j]
			if f.contour == e.contour || (f.a.Y <= e.a.Y) == (f.b.Y <= e.a.Y) {
				continue
			}
			// Going down, a chord on the left is passed with the point on its
			// left: it runs counter-clockwise around it.
			s := side(f.a, f.b, e.a)
			switch down := f.a.Y > f.b.Y; {
			case down && s > 0:
				windings[e.contour]++
			case !down && s < 0:
				windings[e.contour]--
			}
		}
	}
	return windings, true
}

// grid sorts chords into square cells: those of cell i are items from first[i]
// to first[i+1].
type grid struct {
	origin        outline.Point
	size          float64
	columns, rows int
	first, items  []int32
}

// maxCells bounds the cells of a grid.
const maxCells = 1 << 21

func newGrid(box outline.Box, n int) grid {
	n = min(n, maxCells)
	w, h := box.Width(), box.Height()
	g := grid{origin: box.Min, size: math.Sqrt(w * h / float64(n))}
	// A box that is nearly a line gets a row of cells.
	g.size = math.Max(g.size, math.Max(w, h)/float64(n))
	if !(g.size > 0) {
		g.size = 1
	}
	g.columns, g.rows = int(w/g.size)+1, int(h/g.size)+1
	return g
}

func (g *grid) column(x float64) int { return min(g.columns-1, max(0, int((x-g.origin.X)/g.size))) }
func (g *grid) row(y float64) int    { return min(g.rows-1, max(0, int((y-g.origin.Y)/g.size))) }

// owns reports whether the point lies in the cell, so that a crossing whose
// chords share several cells is counted in one.
func (g *grid) owns(cell int, at outline.Point) bool {
	return g.row(at.Y)*g.columns+g.column(at.X) == cell
}

// fill notes every chord in every cell it passes.
func (g *grid) fill(edges []edge, budget *int) bool {
	g.first = make([]int32, g.columns*g.rows+1)
	for i := range edges {
		for from, to := range g.passes(edges[i].a, edges[i].b) {
			if *budget -= to - from + 1; *budget < 0 {
				return false
			}
			for cell := from; cell <= to; cell++ {
				g.first[cell+1]++
			}
		}
	}
	for cell := 1; cell < len(g.first); cell++ {
		g.first[cell] += g.first[cell-1]
	}
	g.items = make([]int32, g.first[len(g.first)-1])
	next := slices.Clone(g.first)
	for i := range edges {
		for from, to := range g.passes(edges[i].a, edges[i].b) {
			for cell := from; cell <= to; cell++ {
				g.items[next[cell]] = int32(i)
				next[cell]++
			}
		}
	}
	return true
}

// passes gives the cells that the chord from a to b passes, for each row the
// first and the last.
func (g *grid) passes(a, b outline.Point) iter.Seq2[int, int] {
	return func(yield func(from, to int) bool) {
		if a.Y > b.Y {
			a, b = b, a
		}
		slack := g.size * cellSlack
		for row, last := g.row(a.Y), g.row(b.Y); row <= last; row++ {
			// The chord's part within the row, clipped to the chord's ends.
			y0, y1 := g.origin.Y+float64(row)*g.size, g.origin.Y+float64(row+1)*g.size
			x0, x1 := a.X, b.X
			if y0 > a.Y && b.Y > a.Y {
				x0 = a.X + (b.X-a.X)*(y0-a.Y)/(b.Y-a.Y)
			}
			if y1 < b.Y && b.Y > a.Y {
				x1 = a.X + (b.X-a.X)*(y1-a.Y)/(b.Y-a.Y)
			}
			if !yield(row*g.columns+g.column(min(x0, x1)-slack), row*g.columns+g.column(max(x0, x1)+slack)) {
				return
			}
		}
	}
}

// cellSlack is the part of a cell by which a chord is taken to be longer, to
// cover the rounding of where it leaves a row.
const cellSlack = 1e-6

// meets reports whether two chords cross, touch or overlap, and a point where
// they do. Neighbours on a contour share an end; they meet only where they
// also run back over each other.
func meets(e, f *edge) (at outline.Point, meet bool) {
	if max(e.a.X, e.b.X) < min(f.a.X, f.b.X) || max(f.a.X, f.b.X) < min(e.a.X, e.b.X) ||
		max(e.a.Y, e.b.Y) < min(f.a.Y, f.b.Y) || max(f.a.Y, f.b.Y) < min(e.a.Y, e.b.Y) {
		return at, false
	}
	if e.contour == f.contour {
		if f.index > e.index {
			e, f = f, e
		}
		follows := e.index == f.index+1
		closes := f.index == 0 && e.index == e.last
		switch {
		case follows && closes:
			return e.a, true // two chords there and back
		case follows:
			return e.a, folds(f.a, f.b, e.b)
		case closes:
			return e.b, folds(e.a, e.b, f.b)
		}
	}
	d1, d2 := side(e.a, e.b, f.a), side(e.a, e.b, f.b)
	d3, d4 := side(f.a, f.b, e.a), side(f.a, f.b, e.b)
	switch {
	case d1*d2 < 0 && d3*d4 < 0:
		return e.a.Lerp(e.b, d3/(d3-d4)), true
	case d1 == 0 && between(e.a, e.b, f.a):
		return f.a, true
	case d2 == 0 && between(e.a, e.b, f.b):
		return f.b, true
	case d3 == 0 && between(f.a, f.b, e.a):
		return e.a, true
	case d4 == 0 && between(f.a, f.b, e.b):
		return e.b, true
	}
	return at, false
}

// side is positive where q lies left of the way from a to b.
func side(a, b, q outline.Point) float64 { return b.Sub(a).Cross(q.Sub(a)) }

// between reports whether q, on the line through a and b, lies from a to b.
func between(a, b, q outline.Point) bool {
	return min(a.X, b.X) <= q.X && q.X <= max(a.X, b.X) && min(a.Y, b.Y) <= q.Y && q.Y <= max(a.Y, b.Y)
}

// folds reports whether the way from a by b to c runs straight back at b.
func folds(a, b, c outline.Point) bool {
	return side(a, b, c) == 0 && b.Sub(a).Dot(c.Sub(b)) < 0
}
