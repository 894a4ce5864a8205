package grow

import (
	"container/heap"
	"math"

	"github.com/paulmach/orb"
)

// simplify takes vertices away, cheapest first, as long as the outline only grows and its area grows by no more than share
// of it. It edits the rings of m. Two kinds of step keep everything inside: a vertex where the outline turns right is
// dropped, and two neighbouring left turns are replaced by the crossing of the edges beside them.
func simplify(m orb.MultiPolygon, share float64, corners bool) {
	s := &simplifier{budget: Area(m) * share, box: m.Bound(), corners: corners}
	s.run(m)
}

// fillNotches drops vertices where the outline turns right if nothing of what is filled is farther than depth from the
// outline.
func fillNotches(m orb.MultiPolygon, depth float64) {
	s := &simplifier{budget: math.Inf(1), box: m.Bound(), depth: depth}
	s.run(m)
}

// run takes steps, cheapest first, while the budget lasts.
func (s *simplifier) run(m orb.MultiPolygon) {
	for i := range m {
		for j := range m[i] {
			s.addRing(m[i][j])
		}
	}
	s.makeGrid()
	for i := range s.point {
		s.push(i)
	}
	for s.heap.Len() > 0 {
		c := heap.Pop(&s.heap).(step)
		if s.gone[c.at] || s.version[c.at] != c.version {
			continue
		}
		if c.cost > s.budget {
			break
		}
		if s.apply(c) {
			s.budget -= c.cost
		}
	}
	k := 0
	for i := range m {
		for j := range m[i] {
			m[i][j] = s.ring(s.first[k])
			k++
		}
	}
}

// step takes away a vertex. It costs area, or is the depth of a notch.
type step struct {
	cost    float64
	at      int
	version int
	corner  orb.Point // for a left turn: where vertices at and next meet instead
	left    bool
}

type stepHeap []step

func (h stepHeap) Len() int { return len(h) }
func (h stepHeap) Less(i, j int) bool {
	return h[i].cost < h[j].cost || h[i].cost == h[j].cost && h[i].at < h[j].at
}
func (h stepHeap) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *stepHeap) Push(x any)   { *h = append(*h, x.(step)) }
func (h *stepHeap) Pop() any {
	old := *h
	last := old[len(old)-1]
	*h = old[:len(old)-1]
	return last
}

// simplifier holds all rings as one linked list of vertices.
type simplifier struct {
	point      []orb.Point
	next, prev []int
	size       []int // of the ring that a vertex belongs to, kept at its first vertex
	ringOf     []int
	version    []int
	gone       []bool
	first      []int
	heap       stepHeap
	cell       float64 // side of the grid's cells
	columns    int
	cells      [][]int // vertices in each cell, those gone included
	budget     float64
	box        orb.Bound // corners stay inside, so that a piece that just fits the strip still does
	corners    bool
	depth      float64 // above zero: only notches are filled, as long as no point in them is farther from the outline
}

func (s *simplifier) addRing(r orb.Ring) {
	base, n := len(s.point), len(r)-1
	ring := len(s.first)
	s.first = append(s.first, base)
	s.size = append(s.size, n)
	for i := range n {
		s.point = append(s.point, r[i])
		s.next = append(s.next, base+(i+1)%n)
		s.prev = append(s.prev, base+(i+n-1)%n)
		s.ringOf = append(s.ringOf, ring)
		s.version = append(s.version, 0)
		s.gone = append(s.gone, false)
	}
}

// ring reads a ring back, closed.
func (s *simplifier) ring(first int) orb.Ring {
	for s.gone[first] {
		first = s.next[first]
	}
	r := orb.Ring{s.point[first]}
	for i := s.next[first]; i != first; i = s.next[i] {
		r = append(r, s.point[i])
	}
	return append(r, r[0])
}

func cross(o, a, b orb.Point) float64 {
	return (a[0]-o[0])*(b[1]-o[1]) - (a[1]-o[1])*(b[0]-o[0])
}

// push offers the step at vertex i, if there is one.
func (s *simplifier) push(i int) {
	s.version[i]++
	p, n := s.prev[i], s.next[i]
	a, b, c := s.point[p], s.point[i], s.point[n]
	turn := cross(a, b, c)
	if s.depth > 0 {
		if deep := notchDepth(a, b, c); turn <= 0 && deep <= s.depth {
			heap.Push(&s.heap, step{cost: deep, at: i, version: s.version[i]})
		}
		return
	}
	if turn <= 0 {
		heap.Push(&s.heap, step{cost: -turn / 2, at: i, version: s.version[i]})
		return
	}
	if !s.corners {
		return
	}
	d := s.point[s.next[n]]
	if cross(b, c, d) <= 0 {
		return
	}
	// Edges ab and dc, lengthened beyond b and c, must meet there: together they turn by less than half a turn.
	u, v := orb.Point{b[0] - a[0], b[1] - a[1]}, orb.Point{d[0] - c[0], d[1] - c[1]}
	den := u[0]*v[1] - u[1]*v[0]
	if den <= 0 {
		return
	}
	t := ((c[0]-b[0])*v[1] - (c[1]-b[1])*v[0]) / den
	corner := orb.Point{b[0] + t*u[0], b[1] + t*u[1]}
	if !s.box.Contains(corner) {
		return
	}
	area := math.Abs(cross(b, c, corner)) / 2
	heap.Push(&s.heap, step{cost: area, at: i, version: s.version[i], corner: corner, left: true})
}

// notchDepth is how far a point of the new edge ac can be from the edges ab and bc: where both are equally far. An edge that
// makes a blunt angle with ac is nearest at its end.
func notchDepth(a, b, c orb.Point) float64 {
	ab, bc, ac := math.Hypot(b[0]-a[0], b[1]-a[1]), math.Hypot(c[0]-b[0], c[1]-b[1]), math.Hypot(c[0]-a[0], c[1]-a[1])
	if ab == 0 || bc == 0 || ac == 0 {
		return 0
	}
	area := math.Abs(cross(a, b, c))
	sinA, sinC := area/(ab*ac), area/(bc*ac)
	if ab*ab+ac*ac < bc*bc {
		sinA = 1
	}
	if bc*bc+ac*ac < ab*ab {
		sinC = 1
	}
	if sinA+sinC == 0 {
		return 0
	}
	return ac * sinA * sinC / (sinA + sinC)
}

// apply takes the step unless other vertices are in the way.
func (s *simplifier) apply(c step) bool {
	i := c.at
	p, n := s.prev[i], s.next[i]
	if s.size[s.ringOf[i]] <= 3 {
		return false
	}
	if !c.left {
		if s.occupied(s.point[p], s.point[i], s.point[n]) {
			return false
		}
		s.remove(i)
		s.refresh(p)
		return true
	}
	if s.occupied(s.point[i], s.point[n], c.corner) {
		return false
	}
	s.point[i] = c.corner
	k := s.cellOf(c.corner)
	s.cells[k] = append(s.cells[k], i) // the old cell keeps it too, which does no harm
	s.remove(n)
	s.refresh(i)
	return true
}

func (s *simplifier) remove(i int) {
	s.gone[i] = true
	s.next[s.prev[i]] = s.next[i]
	s.prev[s.next[i]] = s.prev[i]
	s.size[s.ringOf[i]]--
}

// refresh offers new steps around a vertex that has new neighbours.
func (s *simplifier) refresh(i int) {
	j := s.prev[s.prev[i]]
	for range 5 {
		s.push(j)
		j = s.next[j]
	}
}

// makeGrid sorts the vertices into a grid of about as many cells.
func (s *simplifier) makeGrid() {
	w, h := s.box.Max[0]-s.box.Min[0], s.box.Max[1]-s.box.Min[1]
	s.cell = max(math.Sqrt(w*h/float64(len(s.point))), (w+h)/float64(len(s.point)))
	s.columns = int(w/s.cell) + 1
	s.cells = make([][]int, s.columns*(int(h/s.cell)+1))
	for i, p := range s.point {
		c := s.cellOf(p)
		s.cells[c] = append(s.cells[c], i)
	}
}

// cellOf is the cell of a point of the box.
func (s *simplifier) cellOf(p orb.Point) int {
	return int((p[1]-s.box.Min[1])/s.cell)*s.columns + int((p[0]-s.box.Min[0])/s.cell)
}

// occupied reports whether the triangle holds any vertex but its own corners, borders included.
func (s *simplifier) occupied(a, b, c orb.Point) bool {
	low := orb.Point{min(a[0], b[0], c[0]), min(a[1], b[1], c[1])}
	high := orb.Point{max(a[0], b[0], c[0]), max(a[1], b[1], c[1])}
	if cross(a, b, c) < 0 {
		b, c = c, b
	}
	first, last := s.cellOf(low), s.cellOf(high)
	wide := last%s.columns - first%s.columns
	for row := first; row <= last; row += s.columns {
		for k := row; k <= row+wide; k++ {
			for _, i := range s.cells[k] {
				q := s.point[i]
				if q[0] < low[0] || q[0] > high[0] || q[1] < low[1] || q[1] > high[1] || s.gone[i] || q == a || q == b || q == c {
					continue
				}
				if cross(a, b, q) >= 0 && cross(b, c, q) >= 0 && cross(c, a, q) >= 0 {
					return true
				}
			}
		}
	}
	return false
}
