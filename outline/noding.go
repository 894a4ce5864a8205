package outline

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// Noding finds where the edges of rings meet and makes nodes there, by snap
// rounding (Hobby, "Practical segment intersection with finite precision
// output", Computational Geometry 13, 1999): every vertex and every crossing,
// rounded to the grid, is the centre of a unit square, and each edge that passes
// through such a square is led through its centre. Afterwards edges meet at
// nodes only, exactly. For that no point may belong to two squares: to a square
// belong its left and lower sides and the corner between them. An edge through
// the corner of four squares would else be led through all of them, and another
// one there across it.

// noder holds rings while their nodes are found.
type noder struct {
	rings    []ring
	first    []int32     // per ring, the index of its first vertex; one more at the end
	points   []gridPoint // ring by ring, each with its start repeated at the end
	junction []bool      // per vertex, borders meet there; of a ring's start, only at the first index
	cuts     []cut       // nodes on edges
	pixels   []pixel     // rounded crossings
	crossed  []cut       // the first of each two edges that cross in their middles
	group    []int32     // union-find of rings that meet
	meets    []bool      // per ring, it has a node
	chains   []chain
	strips   strips
}

// cut is a node on the edge that starts at vertex edge.
type cut struct {
	edge int32
	at   gridPoint
}

// pixel is a rounded crossing of an edge of ring.
type pixel struct {
	at   gridPoint
	ring int32
}

// chain is a run of edges from vertex lo to hi whose x and y only rise or only
// fall, so that its ends give its box and it can't meet itself.
type chain struct {
	minX, minY, maxX, maxY int32
	lo, hi                 int32
	ring                   int32
}

func newNoder(rings []ring) *noder {
	n := &noder{rings: rings}
	total := 0
	for _, r := range rings {
		total += len(r) + 1
	}
	n.points = make([]gridPoint, 0, total)
	n.first = make([]int32, 0, len(rings)+1)
	n.junction = make([]bool, total)
	n.group = make([]int32, len(rings))
	n.meets = make([]bool, len(rings))
	n.chains = make([]chain, 0, total/4+1)
	for i, r := range rings {
		n.group[i] = int32(i)
		lo := int32(len(n.points))
		n.first = append(n.first, lo)
		for j := range r {
			n.points = append(n.points, r[j].from)
		}
		n.points = append(n.points, r[0].from)
		n.addChains(lo, int32(len(n.points))-1, int32(i))
	}
	n.first = append(n.first, int32(len(n.points)))
	n.strips = newStrips(n.chains)
	return n
}

func (n *noder) addChains(first, last, ring int32) {
	for lo := first; lo < last; {
		var sx, sy int32 // the chain's senses, zero while open
		hi := lo
		for hi < last {
			a, b := n.points[hi], n.points[hi+1]
			dx, dy := int32(cmp.Compare(b.X, a.X)), int32(cmp.Compare(b.Y, a.Y))
			if dx*sx < 0 || dy*sy < 0 {
				break
			}
			if dx != 0 {
				sx = dx
			}
			if dy != 0 {
				sy = dy
			}
			hi++
		}
		a, b := n.points[lo], n.points[hi]
		n.chains = append(n.chains, chain{min(a.X, b.X), min(a.Y, b.Y), max(a.X, b.X), max(a.Y, b.Y), lo, hi, ring})
		lo = hi
	}
}

// strips is an index of chains: strips along x, each with its chains by least x.
type strips struct {
	minY   int32
	height int64
	start  []int32 // per strip, where its items begin; one more at the end
	items  []int32 // indices of chains
}

func newStrips(chains []chain) strips {
	if len(chains) == 0 {
		return strips{height: 1, start: []int32{0, 0}}
	}
	lo, hi := int32(math.MaxInt32), int32(math.MinInt32)
	var sum int64
	for i := range chains {
		c := &chains[i]
		lo, hi = min(lo, c.minY), max(hi, c.maxY)
		sum += int64(c.maxY) - int64(c.minY)
	}
	extent := int64(hi) - int64(lo) + 1
	// As high as a chain on average, so that each stands in about two strips.
	s := strips{minY: lo, height: max(1, sum/int64(len(chains)), extent/int64(len(chains)))}
	count := int(extent/s.height) + 1
	s.start = make([]int32, count+1)
	for i := range chains {
		for k := s.of(chains[i].minY); k <= s.of(chains[i].maxY); k++ {
			s.start[k+1]++
		}
	}
	for k := range count {
		s.start[k+1] += s.start[k]
	}
	order := make([]uint64, len(chains))
	for i := range chains {
		order[i] = uint64(int64(chains[i].minX)-math.MinInt32)<<32 | uint64(i)
	}
	slices.Sort(order)
	s.items = make([]int32, s.start[count])
	next := slices.Clone(s.start)
	for _, o := range order {
		i := int32(uint32(o))
		for k := s.of(chains[i].minY); k <= s.of(chains[i].maxY); k++ {
			s.items[next[k]] = i
			next[k]++
		}
	}
	return s
}

// of returns the strip that holds y.
func (s *strips) of(y int32) int { return int((int64(y) - int64(s.minY)) / s.height) }

// at returns the chains in the strip that holds y, none outside.
func (s *strips) at(y int32) []int32 {
	if y < s.minY {
		return nil
	}
	k := s.of(y)
	if k >= len(s.start)-1 {
		return nil
	}
	return s.items[s.start[k]:s.start[k+1]]
}

// run finds all nodes.
func (n *noder) run() {
	for k := range len(n.strips.start) - 1 {
		items := n.strips.items[n.strips.start[k]:n.strips.start[k+1]]
		for i, a := range items {
			c := &n.chains[a]
			for _, b := range items[i+1:] {
				d := &n.chains[b]
				if d.minX > c.maxX {
					break
				}
				if d.minY > c.maxY || c.minY > d.maxY {
					continue
				}
				// Chains that share several strips meet in the first.
				if k != n.strips.of(max(c.minY, d.minY)) {
					continue
				}
				n.overlap(c.lo, c.hi, c.ring, d.lo, d.hi, d.ring)
			}
		}
	}
	n.snapToPixels()
}

// overlap visits the pairs of edges of two chains whose boxes meet, by halving.
func (n *noder) overlap(lo0, hi0, ring0, lo1, hi1, ring1 int32) {
	a0, a1, b0, b1 := n.points[lo0], n.points[hi0], n.points[lo1], n.points[hi1]
	if max(a0.X, a1.X) < min(b0.X, b1.X) || max(b0.X, b1.X) < min(a0.X, a1.X) ||
		max(a0.Y, a1.Y) < min(b0.Y, b1.Y) || max(b0.Y, b1.Y) < min(a0.Y, a1.Y) {
		return
	}
	if hi0-lo0 == 1 && hi1-lo1 == 1 {
		n.pair(lo0, ring0, lo1, ring1)
		return
	}
	if hi0-lo0 >= hi1-lo1 {
		m := (lo0 + hi0) / 2
		n.overlap(lo0, m, ring0, lo1, hi1, ring1)
		n.overlap(m, hi0, ring0, lo1, hi1, ring1)
		return
	}
	m := (lo1 + hi1) / 2
	n.overlap(lo0, hi0, ring0, lo1, m, ring1)
	n.overlap(lo0, hi0, ring0, m, hi1, ring1)
}

// vertex returns the one index of a ring's vertex: its start for its end.
func (n *noder) vertex(i, ring int32) int32 {
	if i == n.first[ring+1]-1 {
		return n.first[ring]
	}
	return i
}

// pair finds the nodes that two edges make.
func (n *noder) pair(e, ringE, f, ringF int32) {
	a0, a1, b0, b1 := n.points[e], n.points[e+1], n.points[f], n.points[f+1]
	ob0, ob1 := cross(a0, a1, b0), cross(a0, a1, b1)
	reachA := reach(a0, a1)
	if ob0 > reachA && ob1 > reachA || ob0 < -reachA && ob1 < -reachA {
		return
	}
	oa0, oa1 := cross(b0, b1, a0), cross(b0, b1, a1)
	reachB := reach(b0, b1)
	if oa0 > reachB && oa1 > reachB || oa0 < -reachB && oa1 < -reachB {
		return
	}
	met := false
	for i := range int32(2) {
		for j := range int32(2) {
			if n.points[e+i] == n.points[f+j] {
				v, w := n.vertex(e+i, ringE), n.vertex(f+j, ringF)
				if v != w {
					n.junction[v], n.junction[w] = true, true
					met = true
				}
			}
		}
	}
	touch := func(edge, vertex, ring int32, o int64) {
		p, q, v := n.points[edge], n.points[edge+1], n.points[vertex]
		if v == p || v == q || !inBoxOf(p, q, v) || !meetsSquare(p, q, o) {
			return
		}
		n.junction[n.vertex(vertex, ring)] = true
		n.cuts = append(n.cuts, cut{edge, v})
		met = true
	}
	touch(e, f, ringF, ob0)
	touch(e, f+1, ringF, ob1)
	touch(f, e, ringE, oa0)
	touch(f, e+1, ringE, oa1)
	if (ob0 > 0) != (ob1 > 0) && ob0 != 0 && ob1 != 0 && (oa0 > 0) != (oa1 > 0) && oa0 != 0 && oa1 != 0 {
		c := gridPoint{b0.X + share(b1.X-b0.X, ob0, ob1), b0.Y + share(b1.Y-b0.Y, ob0, ob1)}
		n.node(e, ringE, c)
		n.node(f, ringF, c)
		n.pixels = append(n.pixels, pixel{c, ringE})
		n.crossed = append(n.crossed, cut{min(e, f), c})
		met = true
	}
	if met {
		n.join(ringE, ringF)
	}
}

// reach returns the cross product up to which a point's square, half a unit to
// every side, touches the line through a and b.
func reach(a, b gridPoint) int64 {
	return (abs64(int64(b.X)-int64(a.X)) + abs64(int64(b.Y)-int64(a.Y))) / 2
}

// meetsSquare reports whether the line through a and b meets the square of the
// point v where cross(a, b, v) is o: its inside, or its lower left corner.
func meetsSquare(a, b gridPoint, o int64) bool {
	dx, dy := int64(b.X)-int64(a.X), int64(b.Y)-int64(a.Y)
	around := abs64(dx) + abs64(dy)
	if abs64(o) <= (around-1)/2 {
		return true
	}
	// Through a corner; which one it is, cross(a, b, corner) tells.
	return around%2 == 0 && abs64(o) == around/2 && o == (dx-dy)/2
}

// share returns d·from/(from-to), rounded to the nearest integer and upwards from
// the middle of two, so that the point belongs to the square of what is returned;
// from and to have different signs.
func share(d int32, from, to int64) int32 {
	whole := uint64(abs64(from)) + uint64(abs64(to))
	hi, lo := bits.Mul64(uint64(abs64(from)), uint64(abs64(int64(d))))
	quotient, rest := bits.Div64(hi, lo, whole)
	if d < 0 {
		if rest > whole-rest {
			quotient++
		}
		return -int32(quotient)
	}
	if rest >= whole-rest {
		quotient++
	}
	return int32(quotient)
}

func abs64(v int64) int64 {
	if v < 0 {
		return -v
	}
	return v
}

// inBoxOf reports whether v lies in the box of a and b.
func inBoxOf(a, b, v gridPoint) bool {
	return min(a.X, b.X) <= v.X && v.X <= max(a.X, b.X) && min(a.Y, b.Y) <= v.Y && v.Y <= max(a.Y, b.Y)
}

// node makes a node of c on an edge, or of the edge's end that it falls on.
func (n *noder) node(edge, ring int32, c gridPoint) {
	switch c {
	case n.points[edge]:
		n.junction[n.vertex(edge, ring)] = true
	case n.points[edge+1]:
		n.junction[n.vertex(edge+1, ring)] = true
	default:
		n.cuts = append(n.cuts, cut{edge, c})
	}
}

// root returns the ring that stands for all that ring meets, directly or not.
func (n *noder) root(ring int32) int32 {
	for n.group[ring] != ring {
		n.group[ring] = n.group[n.group[ring]]
		ring = n.group[ring]
	}
	return ring
}

func (n *noder) join(a, b int32) {
	n.meets[a], n.meets[b] = true, true
	a, b = n.root(a), n.root(b)
	if a != b {
		n.group[max(a, b)] = min(a, b)
	}
}

// snapToPixels leads every edge that passes through a crossing's square through
// the crossing. The squares of vertices were seen by pair.
func (n *noder) snapToPixels() {
	slices.SortFunc(n.pixels, func(a, b pixel) int {
		return cmp.Or(cmp.Compare(a.at.Y, b.at.Y), cmp.Compare(a.at.X, b.at.X), cmp.Compare(a.ring, b.ring))
	})
	for i, p := range n.pixels {
		if i > 0 && p.at == n.pixels[i-1].at {
			continue
		}
		for _, k := range n.strips.at(p.at.Y) {
			c := &n.chains[k]
			if c.minX > p.at.X {
				break
			}
			if c.maxX < p.at.X || p.at.Y < c.minY || p.at.Y > c.maxY {
				continue
			}
			n.snapChain(c.lo, c.hi, c.ring, p)
		}
	}
}

func (n *noder) snapChain(lo, hi, ring int32, p pixel) {
	a, b := n.points[lo], n.points[hi]
	if !inBoxOf(a, b, p.at) {
		return
	}
	if hi-lo > 1 {
		m := (lo + hi) / 2
		n.snapChain(lo, m, ring, p)
		n.snapChain(m, hi, ring, p)
		return
	}
	if meetsSquare(a, b, cross(a, b, p.at)) {
		n.node(lo, ring, p.at)
		n.join(ring, p.ring)
	}
}

// winding returns how often the rings that do not belong to group run around p,
// which lies on none of them: counted along a ray to the left.
func (n *noder) winding(p gridPoint, group int32) int32 {
	var w int32
	for _, k := range n.strips.at(p.Y) {
		c := &n.chains[k]
		if c.minX > p.X {
			break
		}
		if p.Y < c.minY || p.Y >= c.maxY || n.root(c.ring) == group {
			continue
		}
		lo, hi := c.lo, c.hi
		up := n.points[hi].Y > n.points[lo].Y
		if c.maxX >= p.X {
			// The one edge at the height of p, counted as by the half-open rule.
			for hi-lo > 1 {
				m := (lo + hi) / 2
				if (n.points[m].Y <= p.Y) == up {
					lo = m
				} else {
					hi = m
				}
			}
			if o := cross(n.points[lo], n.points[hi], p); (o < 0) != up {
				continue // to the right of p
			}
		}
		// An edge upwards on the left has p on its right.
		if up {
			w--
		} else {
			w++
		}
	}
	return w
}
