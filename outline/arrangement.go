package outline

import (
	"cmp"
	"errors"
	"slices"
)

// errNoding tells that edges still cross after noding: it would be a bug, and is
// answered on a coarser grid.
var errNoding = errors.New("borders could not be told apart")

// arrange returns the border of where filled holds: rings with the film on their
// left that touch at nodes at most, none of them through a point twice. The
// winding number of a point is that of all rings together. It also returns the
// number of nodes where borders meet.
func arrange(rings []ring, filled func(winding int32) bool) (out []ring, nodes int, err error) {
	a := newArrangement(rings, filled)
	if err := a.windings(); err != nil {
		return nil, 0, err
	}
	out, err = a.link()
	return out, len(a.nodes), err
}

// newArrangement nodes rings and makes a graph of them.
func newArrangement(rings []ring, filled func(int32) bool) *arrangement {
	n := newNoder(rings)
	n.run()
	a := &arrangement{noder: n, filled: filled, ids: map[gridPoint]int32{}}
	a.expand()
	a.dedupe()
	a.sortNodes()
	return a
}

// arrangement is the planar graph that noded rings make. Where nothing meets, a
// ring stays one piece.
type arrangement struct {
	*noder
	filled func(int32) bool
	ids    map[gridPoint]int32
	nodes  []node
	edges  []chord // of rings that meet others, cut at nodes
	runs   []run
	free   []freeRing // rings that meet nothing
	hubs   []int32    // half-edges by the node they leave, see node.first
	place  []int32    // per half-edge, its place among its node's
	lows   map[int32]low
}

// node is where runs meet.
type node struct {
	at    gridPoint
	first int32 // its half-edges are hubs[first : next node's first]
	ring  int32 // a ring through it
	seen  bool
}

// run is a stretch of edges between two nodes with none in between: edges[lo:hi]
// and its end, the node to. Its half-edges are 2i, forwards, and 2i+1, backwards.
type run struct {
	from, to    int32
	lo, hi      int32
	weight      int32 // how much more often it is run forwards than backwards
	left, right int32 // winding numbers beside it
	gone        bool  // another run stands for it
	used        bool
}

// freeRing is a ring that meets nothing, with the winding numbers beside it.
type freeRing struct{ ring, left, right int32 }

// low is the leftmost, among those the lowest, vertex of a group of rings that
// meet: nothing of the group lies to its left.
type low struct {
	at         gridPoint
	prev, next gridPoint
	node       int32 // -1 for none
	run        int32 // the run through it, if it is no node
	set        bool
}

func (l *low) offer(at, prev, next gridPoint, node, run int32) {
	if !l.set || at.X < l.at.X || at.X == l.at.X && at.Y < l.at.Y {
		*l = low{at, prev, next, node, run, true}
	}
}

// outside returns the winding numbers left and right of a run through l, given
// the one outside.
func (l *low) outside(outside, weight int32) (left, right int32) {
	if cross(l.prev, l.at, l.next) > 0 {
		return outside + weight, outside
	}
	return outside, outside - weight
}

func (a *arrangement) id(at gridPoint, ring int32) int32 {
	i, ok := a.ids[at]
	if !ok {
		i = int32(len(a.nodes))
		a.ids[at] = i
		a.nodes = append(a.nodes, node{at: at, ring: ring})
	}
	return i
}

// expand cuts the rings that meet others at their nodes and into runs.
func (a *arrangement) expand() {
	slices.SortFunc(a.cuts, func(c, d cut) int { return cmp.Compare(c.edge, d.edge) })
	cuts := a.cuts
	a.lows = map[int32]low{}
	var edges []chord
	for i, r := range a.rings {
		first := a.first[i]
		if !a.meets[i] {
			a.free = append(a.free, freeRing{ring: int32(i)})
			continue
		}
		edges = edges[:0]
		for j := range r {
			e := first + int32(j)
			c := r[j]
			c.node = a.junction[e]
			here := 0
			for here < len(cuts) && cuts[here].edge == e {
				here++
			}
			edges = appendCut(edges, c, a.points[e+1], cuts[:here])
			cuts = cuts[here:]
		}
		// Snapping may have folded an edge back onto its neighbour.
		m := len(edges)
		start := -1
		for j := range edges {
			if edges[(j+m-1)%m].from == edges[(j+1)%m].from {
				edges[j].node = true
			}
			if edges[j].node && start < 0 {
				start = j
			}
		}
		if start < 0 {
			// Met only by what was snapped away; it is free after all, but keeps
			// its group.
			edges[0].node, start = true, 0
		}
		lo := int32(len(a.edges))
		a.edges = append(a.edges, edges[start:]...)
		a.edges = append(a.edges, edges[:start]...)
		a.addRuns(lo, int32(len(a.edges)), int32(i))
	}
}

// appendCut appends an edge to end, cut at cuts.
func appendCut(edges []chord, c chord, end gridPoint, cuts []cut) []chord {
	if len(cuts) == 0 {
		return append(edges, c)
	}
	from := c.from
	dx, dy := int64(end.X)-int64(from.X), int64(end.Y)-int64(from.Y)
	along := func(p gridPoint) int64 {
		return (int64(p.X)-int64(from.X))*dx + (int64(p.Y)-int64(from.Y))*dy
	}
	if len(cuts) > 1 {
		slices.SortFunc(cuts, func(p, q cut) int {
			return cmp.Or(cmp.Compare(along(p.at), along(q.at)), cmp.Compare(p.at.X, q.at.X), cmp.Compare(p.at.Y, q.at.Y))
		})
	}
	whole := float64(along(end))
	t0, t1 := c.t0, c.t1
	for i, k := range cuts {
		if i > 0 && k.at == cuts[i-1].at {
			continue
		}
		t := t0 + (t1-t0)*float64(along(k.at))/whole
		c.t1 = t
		edges = append(edges, c)
		c = chord{from: k.at, node: true, source: c.source, t0: t}
	}
	c.t1 = t1
	return append(edges, c)
}

// addRuns splits edges[lo:hi], a closed ring that starts at a node, into runs.
func (a *arrangement) addRuns(lo, hi, ring int32) {
	group := a.root(ring)
	l := a.lows[group]
	start := a.id(a.edges[lo].from, ring)
	from := start
	for lo < hi {
		end := lo + 1
		for end < hi && !a.edges[end].node {
			end++
		}
		to := start
		if end < hi {
			to = a.id(a.edges[end].from, ring)
		}
		index := int32(len(a.runs))
		at := a.edges[lo].from
		l.offer(at, at, at, from, index)
		for j := lo + 1; j < end; j++ {
			next := a.nodes[to].at
			if j+1 < end {
				next = a.edges[j+1].from
			}
			l.offer(a.edges[j].from, a.edges[j-1].from, next, -1, index)
		}
		a.runs = append(a.runs, run{from: from, to: to, lo: lo, hi: end, weight: 1})
		lo, from = end, to
	}
	a.lows[group] = l
}

// dedupe lets one run stand for all that cover the same edge.
func (a *arrangement) dedupe() {
	type key struct{ a, b int32 }
	seen := make(map[key]int32, len(a.runs))
	for i := range a.runs {
		r := &a.runs[i]
		if r.hi-r.lo > 1 {
			continue
		}
		k := key{min(r.from, r.to), max(r.from, r.to)}
		j, ok := seen[k]
		if !ok {
			seen[k] = int32(i)
			continue
		}
		if s := &a.runs[j]; s.from == r.from {
			s.weight += r.weight
		} else {
			s.weight -= r.weight
		}
		r.gone = true
	}
}

// leaves returns the node that half-edge h leaves and the next point on its way.
func (a *arrangement) leaves(h int32) (node int32, next gridPoint) {
	r := &a.runs[h/2]
	if h&1 == 0 {
		if r.hi-r.lo > 1 {
			return r.from, a.edges[r.lo+1].from
		}
		return r.from, a.nodes[r.to].at
	}
	return r.to, a.edges[r.hi-1].from
}

// sortNodes orders the half-edges around each node counter-clockwise, from
// just after due left.
func (a *arrangement) sortNodes() {
	count := make([]int32, len(a.nodes)+1)
	for i := range a.runs {
		if r := &a.runs[i]; !r.gone {
			count[r.from]++
			count[r.to]++
		}
	}
	var sum int32
	for i := range a.nodes {
		a.nodes[i].first = sum
		sum += count[i]
		count[i] = a.nodes[i].first
	}
	a.hubs = make([]int32, sum)
	a.place = make([]int32, 2*len(a.runs))
	for h := range int32(2 * len(a.runs)) {
		if a.runs[h/2].gone {
			continue
		}
		v, _ := a.leaves(h)
		a.hubs[count[v]] = h
		count[v]++
	}
	for i := range a.nodes {
		at := a.nodes[i].at
		around := a.around(int32(i))
		slices.SortFunc(around, func(g, h int32) int {
			_, p := a.leaves(g)
			_, q := a.leaves(h)
			if c := cmp.Compare(quarter(at, p), quarter(at, q)); c != 0 {
				return c
			}
			return cmp.Compare(0, cross(at, p, q))
		})
		for k, h := range around {
			a.place[h] = int32(k)
		}
	}
}

// around returns the half-edges that leave node v, counter-clockwise.
func (a *arrangement) around(v int32) []int32 {
	end := int32(len(a.hubs))
	if int(v)+1 < len(a.nodes) {
		end = a.nodes[v+1].first
	}
	return a.hubs[a.nodes[v].first:end]
}

// quarter orders directions from at by angle, beginning just after due left:
// below, due right, above, due left.
func quarter(at, p gridPoint) int {
	switch {
	case p.Y < at.Y:
		return 0
	case p.Y > at.Y:
		return 2
	case p.X > at.X:
		return 1
	}
	return 3
}

// windings finds the winding numbers beside every run and free ring: one ray for
// each group of rings that meet, the rest from node to node.
func (a *arrangement) windings() error {
	for i := range a.free {
		f := &a.free[i]
		var l low
		points := a.points[a.first[f.ring] : a.first[f.ring+1]-1]
		m := len(points)
		least := 0
		for j, p := range points {
			if q := points[least]; p.X < q.X || p.X == q.X && p.Y < q.Y {
				least = j
			}
		}
		l.offer(points[least], points[(least+m-1)%m], points[(least+1)%m], -1, -1)
		f.left, f.right = l.outside(a.winding(l.at, a.root(f.ring)), 1)
	}
	for i := range a.runs {
		if a.runs[i].gone || a.nodes[a.runs[i].from].seen {
			continue
		}
		group := a.root(a.nodes[a.runs[i].from].ring)
		l := a.lows[group]
		if !l.set {
			return errNoding
		}
		outside := a.winding(l.at, group)
		v := l.node
		if v >= 0 {
			around := a.around(v)
			a.setLeft(around[len(around)-1], outside)
		} else {
			r := &a.runs[l.run]
			v = r.from
			r.left, r.right = l.outside(outside, r.weight)
		}
		first := int32(-1)
		if l.node >= 0 {
			around := a.around(v)
			first = around[len(around)-1]
		} else {
			first = 2 * l.run
		}
		if err := a.spread(v, first); err != nil {
			return err
		}
		if !a.nodes[a.runs[i].from].seen {
			return errNoding // the graph has parts that the rings don't know of
		}
		delete(a.lows, group)
	}
	return nil
}

// beside returns the winding numbers left and right of half-edge h.
func (a *arrangement) beside(h int32) (left, right int32) {
	r := &a.runs[h/2]
	if h&1 == 0 {
		return r.left, r.right
	}
	return r.right, r.left
}

func (a *arrangement) setLeft(h, left int32) {
	r := &a.runs[h/2]
	if h&1 == 0 {
		r.left, r.right = left, left-r.weight
	} else {
		r.right, r.left = left, left+r.weight
	}
}

// spread carries the winding numbers beside half-edge h, which leaves node v, to
// everything that is connected with it.
func (a *arrangement) spread(v, h int32) error {
	type known struct{ node, half int32 }
	stack := []known{{v, h}}
	a.nodes[v].seen = true
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		around := a.around(k.node)
		m := int32(len(around))
		start := a.place[k.half]
		left, _ := a.beside(k.half)
		for i := int32(1); i <= m; i++ {
			g := around[(start+i)%m]
			r := &a.runs[g/2]
			// Its right is what the one before has on its left.
			weight := r.weight
			if g&1 == 1 {
				weight = -weight
			}
			if i == m {
				if _, right := a.beside(g); right != left {
					return errNoding
				}
				break
			}
			left += weight
			a.setLeft(g, left)
			w, _ := a.leaves(g ^ 1)
			if !a.nodes[w].seen {
				a.nodes[w].seen = true
				stack = append(stack, known{w, g ^ 1})
			}
		}
		if w, _ := a.leaves(k.half ^ 1); !a.nodes[w].seen {
			a.nodes[w].seen = true
			stack = append(stack, known{w, k.half ^ 1})
		}
	}
	return nil
}

// isBorder reports whether half-edge h has film on its left only.
func (a *arrangement) isBorder(h int32) bool {
	left, right := a.beside(h)
	return a.filled(left) && !a.filled(right)
}

// link joins the borders to rings.
func (a *arrangement) link() ([]ring, error) {
	var out []ring
	for _, f := range a.free {
		if l, r := a.filled(f.left), a.filled(f.right); l && !r {
			out = append(out, a.rings[f.ring])
		} else if r && !l {
			out = append(out, a.rings[f.ring].reversed())
		}
	}
	// Where the walk on the stack last left each node, to part rings that touch
	// themselves.
	onStack := make([]int32, len(a.nodes))
	for i := range onStack {
		onStack[i] = -1
	}
	var walk []int32
	for i := range a.runs {
		for side := range int32(2) {
			h := int32(2*i) + side
			if a.runs[i].gone || a.runs[i].used || !a.isBorder(h) {
				continue
			}
			for h >= 0 {
				a.runs[h/2].used = true
				v, _ := a.leaves(h)
				onStack[v] = int32(len(walk))
				walk = append(walk, h)
				w, _ := a.leaves(h ^ 1)
				if k := onStack[w]; k >= 0 {
					out = append(out, a.chords(walk[k:]))
					for _, g := range walk[k:] {
						u, _ := a.leaves(g)
						onStack[u] = -1
					}
					walk = walk[:k]
					// Go on from w, unless the walk has come back to its start.
					if k == 0 {
						break
					}
				}
				if h = a.next(h); h < 0 {
					return nil, errNoding
				}
			}
		}
	}
	return out, nil
}

// next returns the border that goes on with the same film where half-edge h
// arrives, -1 for none.
func (a *arrangement) next(h int32) int32 {
	v, _ := a.leaves(h ^ 1)
	around := a.around(v)
	m := int32(len(around))
	for i, start := int32(1), a.place[h^1]; i <= m; i++ {
		// Clockwise from the way back: the film lies in between.
		if g := around[(start-i+m)%m]; !a.runs[g/2].used && a.isBorder(g) {
			return g
		}
	}
	return -1
}

// chords returns the ring along half-edges.
func (a *arrangement) chords(walk []int32) ring {
	total := int32(0)
	for _, h := range walk {
		total += a.runs[h/2].hi - a.runs[h/2].lo
	}
	out := make(ring, 0, total)
	for _, h := range walk {
		r := &a.runs[h/2]
		if h&1 == 0 {
			out = append(out, a.edges[r.lo:r.hi]...)
			continue
		}
		from, isNode := a.nodes[r.to].at, true
		for j := r.hi - 1; j >= r.lo; j-- {
			e := a.edges[j]
			out = append(out, chord{from: from, node: isNode, source: e.source, t0: e.t1, t1: e.t0})
			from, isNode = e.from, e.node
		}
	}
	return out
}
