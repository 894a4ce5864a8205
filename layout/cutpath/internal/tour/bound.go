package tour

import (
	"container/heap"
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
)

// Bound returns a length that no way from start past all regions to end can
// undercut, whatever its order and wherever it touches each region. A region
// is a set of points of which the way passes at least one. End nil: the way
// ends anywhere.
//
// A way is a spanning tree of the stops, the start and the end in which every
// stop has two links, start and end one. The least spanning tree after adding
// a weight to every place for each link, less those weights, is therefore never
// longer; the weights are raised where the tree has too many links and lowered
// where it has too few (Held and Karp 1970).
func Bound(regions [][]outline.Point, start outline.Point, end *outline.Point) float64 {
	n := len(regions)
	if n == 0 {
		if end != nil {
			return start.Distance(*end)
		}
		return 0
	}
	b := &bounder{n: n, m: n + 2, free: end == nil}
	b.points = append(append([][]outline.Point{}, regions...), []outline.Point{start}, []outline.Point{start})
	if end != nil {
		b.points[n+1] = []outline.Point{*end}
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

	if b.free {
		// At no distance from everything, the end would take all links; a
		// weight beyond any distance makes it a leaf.
		box := outline.EmptyBox()
		for i, c := range b.centre {
			box = box.Union(outline.Box{Min: c, Max: c}.Grow(b.radius[i]))
		}
		b.weight[n+1] = box.Width() + box.Height()
	}
	tree := b.dense() // the weighted end hangs by a link of exactly its weight
	if b.free {
		b.weight[n+1] = tree / float64(n+1)
	}
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
	n, m   int // stops; stops, start (n) and end (n+1)
	free   bool
	points [][]outline.Point
	centre []outline.Point
	radius []float64
	weight []float64
	degree []int
	key    []float64
	from   []int32
	done   []bool
}

// apart returns the least distance between regions i and j, or +Inf if it is
// not below limit.
func (b *bounder) apart(i, j int, limit float64) float64 {
	if i > j {
		i, j = j, i
	}
	if j == b.n+1 {
		if i == b.n {
			return math.Inf(1) // a way has stops between its ends
		}
		if b.free {
			return 0
		}
	}
	dist := d(b.centre[i], b.centre[j])
	if len(b.points[i]) == 1 && len(b.points[j]) == 1 {
		return dist
	}
	if dist-b.radius[i]-b.radius[j] >= limit {
		return math.Inf(1)
	}
	least := math.Inf(1)
	for _, p := range b.points[i] {
		for _, q := range b.points[j] {
			least = math.Min(least, d(p, q))
		}
	}
	return least
}

// value turns a tree's weighted length into the bound.
func (b *bounder) value(tree float64) float64 {
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
// found (so that all is connected), and of the end with everything.
func (b *bounder) nearLinks() [][]link {
	p := &Problem{A: b.centre[:b.n+1], B: b.centre[:b.n+1]}
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
		if u >= 0 && int(u) != b.n+1 && v != b.n+1 {
			add(int(u), v)
		}
	}
	for i := range b.n {
		length := b.apart(i, b.n+1, math.Inf(1))
		links[i] = append(links[i], link{int32(b.n + 1), length})
		links[b.n+1] = append(links[b.n+1], link{int32(i), length})
	}
	return links
}

// entry of the heap in sparse.
type entry struct {
	key      float64
	to, from int32
}

type entries []entry

func (h entries) Len() int           { return len(h) }
func (h entries) Less(i, j int) bool { return h[i].key < h[j].key }
func (h entries) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *entries) Push(x any)        { *h = append(*h, x.(entry)) }
func (h *entries) Pop() any {
	old := *h
	e := old[len(old)-1]
	*h = old[:len(old)-1]
	return e
}

// sparse is dense over the given links only: no bound, but quick.
func (b *bounder) sparse(links [][]link) float64 {
	for i := range b.key {
		b.key[i], b.done[i], b.degree[i] = math.Inf(1), false, 0
	}
	h := make(entries, 0, b.m)
	sum := 0.0
	visit := func(at int32) {
		b.done[at] = true
		for _, l := range links[at] {
			if b.done[l.to] {
				continue
			}
			if k := l.length + b.weight[at] + b.weight[l.to]; k < b.key[l.to] {
				b.key[l.to] = k
				heap.Push(&h, entry{k, l.to, at})
			}
		}
	}
	visit(0)
	for len(h) > 0 {
		e := heap.Pop(&h).(entry)
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
