package tour

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

const (
	// boundSteps is the number of subgradient steps; more raise the bound by
	// less than a tenth of a percent.
	boundSteps = 120
	// denseStops is the number of stops up to which every step looks at all
	// pairs; beyond it the steps look at near pairs and only the last one,
	// which gives the answer, at all.
	denseStops = 300
	// boundNeighbours is the number of near pairs per stop in those steps.
	boundNeighbours = 10
	// forcedFactor times the extent is more than all weights together can make
	// up for, and few enough digits of a float64 to leave the bound its own.
	forcedFactor = 1e4
)

// Region is a stop as [Bound] sees it.
type Region struct {
	// Points of which the way passes at least one.
	Points []outline.Point
	// Through says that there are two points and the way passes both, one
	// right after the other and at no cost: an open stroke.
	Through bool
}

// Bound returns a length that no way from start past all regions to end can
// undercut, whatever its order and wherever it touches each region. Nil for
// start or end lets the way begin or end anywhere.
//
// A way is a spanning tree of the stops, the start and the end in which every
// stop has two links, start and end one. The least spanning tree after adding
// a weight to every place for each link, less those weights, is therefore never
// longer; the weights are raised where the tree has too many links and lowered
// where it has too few (Held and Karp 1970).
func Bound(regions []Region, start, end *outline.Point) float64 {
	if len(regions) == 0 {
		if start != nil && end != nil {
			return start.Distance(*end)
		}
		return 0
	}
	b := &bounder{freeStart: start == nil, freeEnd: end == nil}
	for _, r := range regions {
		if r.Through && len(r.Points) == 2 {
			k := len(b.points)
			b.points = append(b.points, r.Points[:1], r.Points[1:])
			b.partner = append(b.partner, int32(k+1), int32(k))
			b.pairs++
			continue
		}
		b.points = append(b.points, r.Points)
		b.partner = append(b.partner, -1)
	}
	n := len(b.points)
	b.n, b.m = n, n+2
	for _, p := range []*outline.Point{start, end} {
		if p == nil {
			p = &regions[0].Points[0]
		}
		b.points = append(b.points, []outline.Point{*p})
		b.partner = append(b.partner, -1)
	}
	b.centre = make([]outline.Point, b.m)
	b.radius = make([]float64, b.m)
	for i, r := range b.points {
		box := outline.EmptyBox()
		for _, p := range r {
			box = box.Extend(p)
		}
		b.centre[i] = box.Centre()
		for _, p := range r {
			b.radius[i] = math.Max(b.radius[i], b.centre[i].Distance(p))
		}
	}
	b.weight = make([]float64, b.m)
	b.degree = make([]int, b.m)
	b.key = make([]float64, b.m)
	b.from = make([]int32, b.m)
	b.done = make([]bool, b.m)

	box := outline.EmptyBox()
	for i, c := range b.centre {
		box = box.Union(outline.Box{Min: c, Max: c}.Grow(b.radius[i]))
	}
	// Links that must be there are shorter than any other by far.
	b.forced = forcedFactor * (1 + box.Width() + box.Height())
	// At no distance from everything, a free start or end would take all
	// links; a weight beyond any distance makes it a leaf.
	loose := func(w float64) {
		if b.freeStart {
			b.weight[n] = w
		}
		if b.freeEnd {
			b.weight[n+1] = w
		}
	}
	if b.n <= denseStops {
		b.table = make([]float64, b.m*b.m)
		for i := range b.m {
			for j := range i {
				l := b.measure(i, j, math.Inf(1))
				b.table[i*b.m+j], b.table[j*b.m+i] = l, l
			}
		}
	}
	loose(box.Width() + box.Height())
	tree := b.dense() // the weighted ends hang by links of exactly their weight
	loose(tree / float64(n+1))
	best := math.Max(0, b.dense())
	bestWeight := append([]float64{}, b.weight...)
	sparse := n > denseStops
	var links [][]link
	if sparse {
		links = b.nearLinks()
	}
	step := tree / float64(2*b.m)
	last := make([]float64, b.m)
	bestSparse := math.Inf(-1)
	for k := range boundSteps {
		// b.degree is that of the latest tree.
		for i := range b.weight {
			want := 2
			if i >= n {
				want = 1
			}
			g := float64(b.degree[i] - want)
			b.weight[i] += step * (0.7*g + 0.3*last[i])
			last[i] = g
		}
		var v float64
		if sparse {
			v = b.sparse(links)
			if v > bestSparse {
				bestSparse = v
				copy(bestWeight, b.weight)
			}
		} else {
			v = b.dense()
			if v > best {
				best = v
			}
		}
		if k > boundSteps/8 {
			step *= 0.97
		}
	}
	if sparse {
		copy(b.weight, bestWeight)
		best = math.Max(best, b.dense())
	}
	return best
}

type bounder struct {
	n, m               int // places; places, start (n) and end (n+1)
	freeStart, freeEnd bool
	partner            []int32 // the other end of an open stroke, or -1
	pairs              int
	forced             float64 // what their links are shortened by

	table  []float64 // of all distances, where there are few places
	points [][]outline.Point
	centre []outline.Point
	radius []float64
	weight []float64
	degree []int
	key    []float64
	from   []int32
	done   []bool
	heap   entries
}

// apart returns the least distance between places i and j, or +Inf if it is
// not below limit.
func (b *bounder) apart(i, j int, limit float64) float64 {
	if b.table != nil {
		return b.table[i*b.m+j]
	}
	return b.measure(i, j, limit)
}

func (b *bounder) measure(i, j int, limit float64) float64 {
	if i > j {
		i, j = j, i
	}
	switch {
	case j == b.n+1 && i == b.n:
		return math.Inf(1) // a way has stops between its ends
	case (j == b.n+1 && b.freeEnd) || (j == b.n && b.freeStart):
		return 0
	case int(b.partner[i]) == j:
		return -b.forced
	}
	dist := d(b.centre[i], b.centre[j])
	if len(b.points[i]) == 1 && len(b.points[j]) == 1 {
		return dist
	}
	if dist-b.radius[i]-b.radius[j] >= limit {
		return math.Inf(1)
	}
	least := math.Inf(1) // squared
	for _, p := range b.points[i] {
		for _, q := range b.points[j] {
			x, y := p.X-q.X, p.Y-q.Y
			if l := x*x + y*y; l < least {
				least = l
			}
		}
	}
	return math.Sqrt(least)
}

// value turns a tree's weighted length into the bound.
func (b *bounder) value(tree float64) float64 {
	tree += float64(b.pairs) * b.forced
	for i, w := range b.weight {
		if i < b.n {
			tree -= 2 * w
		} else {
			tree -= w
		}
	}
	return tree
}

// dense finds the least spanning tree over all pairs (Prim), leaves the number
// of links of each place in degree and returns the bound.
func (b *bounder) dense() float64 {
	for i := range b.key {
		b.key[i], b.done[i], b.degree[i], b.from[i] = math.Inf(1), false, 0, -1
	}
	left := make([]int32, 0, b.m-1)
	for i := 1; i < b.m; i++ {
		left = append(left, int32(i))
	}
	sum := 0.0
	at := 0
	for len(left) > 0 {
		bestK := 0
		for k, v := range left {
			w := b.weight[at] + b.weight[v]
			if l := b.apart(at, int(v), b.key[v]-w) + w; l < b.key[v] {
				b.key[v], b.from[v] = l, int32(at)
			}
			if b.key[v] < b.key[left[bestK]] {
				bestK = k
			}
		}
		v := int(left[bestK])
		sum += b.key[v]
		b.degree[v]++
		b.degree[b.from[v]]++
		at = v
		left[bestK] = left[len(left)-1]
		left = left[:len(left)-1]
	}
	return b.value(sum)
}

// link is a pair that the steps consider.
type link struct {
	to     int32
	length float64
}

// nearLinks returns the pairs of near regions, of the tree that dense has just
// found (so that all is connected), and of start and end with everything.
func (b *bounder) nearLinks() [][]link {
	p := &Problem{A: b.centre[:b.n], B: b.centre[:b.n]}
	links := make([][]link, b.m)
	add := func(i, j int) {
		for _, l := range links[i] {
			if int(l.to) == j {
				return
			}
		}
		length := b.apart(i, j, math.Inf(1))
		links[i] = append(links[i], link{int32(j), length})
		links[j] = append(links[j], link{int32(i), length})
	}
	for i, list := range neighbours(p, boundNeighbours) {
		for _, j := range list {
			add(i, int(j))
		}
	}
	for v, u := range b.from {
		if u >= 0 && int(u) < b.n && v < b.n {
			add(int(u), v)
		}
	}
	for i := range b.n {
		if q := b.partner[i]; int(q) > i {
			add(i, int(q))
		}
		for _, e := range [2]int{b.n, b.n + 1} {
			length := b.apart(i, e, math.Inf(1))
			links[i] = append(links[i], link{int32(e), length})
			links[e] = append(links[e], link{int32(i), length})
		}
	}
	return links
}

// entry of the heap in sparse: a link that would bring place to into the tree.
type entry struct {
	key      float64
	to, from int32
}

// entries is a binary heap, least key first; container/heap would allocate for
// every entry.
type entries []entry

func (h *entries) push(e entry) {
	q := append(*h, e)
	i := len(q) - 1
	for i > 0 {
		up := (i - 1) / 2
		if q[up].key <= e.key {
			break
		}
		q[i] = q[up]
		i = up
	}
	q[i] = e
	*h = q
}

func (h *entries) pop() entry {
	q := *h
	top, last := q[0], q[len(q)-1]
	q = q[:len(q)-1]
	i := 0
	for {
		down := 2*i + 1
		if down >= len(q) {
			break
		}
		if down+1 < len(q) && q[down+1].key < q[down].key {
			down++
		}
		if last.key <= q[down].key {
			break
		}
		q[i] = q[down]
		i = down
	}
	if len(q) > 0 {
		q[i] = last
	}
	*h = q
	return top
}

// sparse is dense over the given links only: no bound, but quick.
func (b *bounder) sparse(links [][]link) float64 {
	for i := range b.key {
		b.key[i], b.done[i], b.degree[i] = math.Inf(1), false, 0
	}
	h := b.heap[:0]
	defer func() { b.heap = h[:0] }()
	sum := 0.0
	visit := func(at int32) {
		b.done[at] = true
		for _, l := range links[at] {
			if b.done[l.to] {
				continue
			}
			if k := l.length + b.weight[at] + b.weight[l.to]; k < b.key[l.to] {
				b.key[l.to] = k
				h.push(entry{k, l.to, at})
			}
		}
	}
	visit(0)
	for len(h) > 0 {
		e := h.pop()
		if b.done[e.to] || e.key > b.key[e.to] {
			continue
		}
		sum += e.key
		b.degree[e.to]++
		b.degree[e.from]++
		visit(e.to)
	}
	return b.value(sum)
}
