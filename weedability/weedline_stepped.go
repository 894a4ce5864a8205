package weedability

import (
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
)

// maxRaster bounds the cells along the longer side of the raster on which
// stepped lines are searched.
const maxRaster = 160

// strayCost is how much longer, as a share, a way may be per share of the part's
// height that it strays from the middle of the pieces.
const strayCost = 2.0

// stepped finds the cheapest way across a part on a raster of the waste that is clear
// of artwork, and straightens it as far as the clearance allows.
func (s *splitter) stepped(p part, upright bool) (candidate, bool) {
	// Work along u, across v: u is x for a line that runs to the right.
	box := p.box
	along := func(q outline.Point) (u, v float64) {
		if upright {
			return q.Y, q.X
		}
		return q.X, q.Y
	}
	back := func(u, v float64) outline.Point {
		if upright {
			return outline.Point{X: v, Y: u}
		}
		return outline.Point{X: u, Y: v}
	}
	u0, v0 := along(box.Min)
	u1, v1 := along(box.Max)
	cell := max(s.clearance/2, max(u1-u0, v1-v0)/maxRaster)
	nu, nv := int(math.Ceil((u1-u0)/cell)), int(math.Ceil((v1-v0)/cell))
	if nu < 2 || nv < 2 {
		return candidate{}, false
	}
	at := func(i, j int) outline.Point { return back(u0+(float64(i)+0.5)*cell, v0+(float64(j)+0.5)*cell) }
	// Cells are measured when a way first comes to them: most are never asked.
	const unknown, clear, blocked = 0, 1, 2
	state := make([]uint8, nu*nv)
	free := func(k int) bool {
		if state[k] == unknown {
			state[k] = blocked
			if s.in.b.Clear(at(k/nv, k%nv), s.clearance) {
				state[k] = clear
			}
		}
		return state[k] == clear
	}
	var centres []float64
	for _, r := range p.rings {
		_, v := along(s.in.b.Rings[r].Box.Centre())
		centres = append(centres, v)
	}
	// A border strip as wide as the clearance stays whole, or it would be a sliver.
	keep := int(math.Ceil(s.clearance / cell))
	slices.Sort(centres)
	middle := (centres[(len(centres)-1)/2] + centres[len(centres)/2]) / 2
	// Dijkstra from every free cell of the first column to any of the last.
	cost := make([]float64, nu*nv)
	from := make([]int32, nu*nv)
	var open wayHeap
	for k := range cost {
		cost[k], from[k] = math.Inf(1), -1
	}
	stray := func(j int) float64 {
		return 1 + strayCost*math.Abs(v0+(float64(j)+0.5)*cell-middle)/(v1-v0)
	}
	for j := keep; j < nv-keep; j++ {
		if free(j) {
			cost[j] = stray(j)
			open.push(way{cost[j], int32(j)})
		}
	}
	end := int32(-1)
	for len(open) > 0 {
		top := open.pop()
		if top.cost > cost[top.cell] {
			continue
		}
		i, j := int(top.cell)/nv, int(top.cell)%nv
		if i == nu-1 {
			end = top.cell
			break
		}
		for di := -1; di <= 1; di++ {
			for dj := -1; dj <= 1; dj++ {
				a, b := i+di, j+dj
				if di == 0 && dj == 0 || a < 0 || a >= nu || b < keep || b >= nv-keep {
					continue
				}
				c := top.cost + math.Sqrt(float64(di*di+dj*dj))*stray(b)
				if k := a*nv + b; c < cost[k] && free(k) {
					cost[k], from[k] = c, top.cell
					open.push(way{c, int32(k)})
				}
			}
		}
	}
	if end < 0 {
		return candidate{}, false
	}
	var line []outline.Point
	for k := end; k >= 0; k = from[k] {
		line = append(line, at(int(k)/nv, int(k)%nv))
	}
	slices.Reverse(line)
	_, v := along(line[0])
	_, w := along(line[len(line)-1])
	line = append([]outline.Point{back(u0, v)}, append(line, back(u1, w))...)
	if line = s.pulledTight(line); line == nil {
		return candidate{}, false
	}
	c := candidate{line: line, upright: upright, room: 2 * s.clearance}
	// Close the line round the side of large v: what is inside lies there.
	over := append(slices.Clone(line), back(u1+1, v1+1), back(u0-1, v1+1))
	for _, r := range p.rings {
		if inside(over, s.in.b.Edges[s.in.b.Rings[r].First].A) != upright {
			c.first = append(c.first, r)
		} else {
			c.second = append(c.second, r)
		}
	}
	return c, true
}

// pulledTight keeps of a line only the points that it needs to stay clear of
// artwork; nil where even the full line is not.
func (s *splitter) pulledTight(line []outline.Point) []outline.Point {
	clear := func(a, b outline.Point) bool {
		return s.in.b.Distance(a, b, s.clearance*1.01) >= s.clearance
	}
	out := line[:1:1]
	for i := 0; i < len(line)-1; {
		next := -1
		for k := len(line) - 1; k > i; k-- {
			if clear(line[i], line[k]) {
				next = k
				break
			}
		}
		if next < 0 {
			return nil
		}
		out = append(out, line[next])
		i = next
	}
	return out
}

// way is a cell of the raster and the cost of the cheapest way there.
type way struct {
	cost float64
	cell int32
}

// before orders ways by cost, equal ones by their cells.
func (w way) before(v way) bool { return w.cost < v.cost || w.cost == v.cost && w.cell < v.cell }

// wayHeap is a binary heap, the cheapest way first. It is container/heap without
// the boxing of every element.
type wayHeap []way

func (h *wayHeap) push(w way) {
	q := append(*h, w)
	for i := len(q) - 1; i > 0 && q[i].before(q[(i-1)/2]); i = (i - 1) / 2 {
		q[i], q[(i-1)/2] = q[(i-1)/2], q[i]
	}
	*h = q
}

func (h *wayHeap) pop() way {
	q := *h
	top, last := q[0], len(q)-1
	q[0] = q[last]
	q = q[:last]
	for i := 0; ; {
		k := 2*i + 1
		if k >= last {
			break
		}
		if k+1 < last && q[k+1].before(q[k]) {
			k++
		}
		if !q[k].before(q[i]) {
			break
		}
		q[i], q[k] = q[k], q[i]
		i = k
	}
	*h = q
	return top
}
