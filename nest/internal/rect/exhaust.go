package rect

import (
	"cmp"
	"context"
	"math/bits"
	"math/rand/v2"
	"slices"
)

// Settings of the exhaustive search.
const (
	mostExhaust   = 60      // rectangles; more are hopeless
	firstNodes    = 20000   // nodes of the first attempt; each next one may take half as many again
	mostNodes     = 4 << 20 // nodes of one attempt
	mostVisited   = 1 << 20 // states remembered
	widestSums    = 4096    // units of width up to which sums of sizes are kept
	nodesPerCheck = 1024
)

// exhaust looks for packings of the target length by filling the least filled segment of the front from its lower end, in
// all ways. Attempts are cut short and begun again with another order of the candidates, at first with every rectangle
// lying as given.
func (g *grid) exhaust(ctx context.Context, seed uint64, evaluations int, target int64, found func(int64, []cell)) int {
	if len(g.rects) > mostExhaust {
		return g.climb(ctx, seed^0x5bd1e995, evaluations, target, found)
	}
	rng := rand.New(rand.NewPCG(seed, 0xbf58476d1ce4e5b9))
	count := 0
	limit := firstNodes
	for attempt := 0; ctx.Err() == nil; attempt++ {
		if evaluations > 0 {
			if count >= evaluations*nodesPerEvaluation {
				break
			}
			limit = min(limit, evaluations*nodesPerEvaluation-count)
		}
		e := newExhaustive(g, target, attempt%2 == 1, rng, attempt > 1)
		e.ctx, e.limit = ctx, limit
		done := e.search()
		count += e.nodes
		if done {
			found(target, e.cells())
			break
		}
		if e.nodes < limit && ctx.Err() == nil && (attempt%2 == 1 || !e.anyTurns) {
			// The whole tree has been seen: no packing of this length exists. One more attempt would see the same.
			count += g.climb(ctx, seed^0x5bd1e995, evaluations, target, found)
			break
		}
		if attempt%2 == 1 {
			limit = min(limit+limit/2, mostNodes)
		}
	}
	return count
}

// nodesPerEvaluation is how many nodes count as one evaluation of an order: about the time they take.
const nodesPerEvaluation = 20

// size is a kind of rectangle: how many are left of it.
type size struct {
	ways []way
	left int
	ids  []int
	rank float64
}

type exhaustive struct {
	g        *grid
	ctx      context.Context
	target   int64
	waste    int64 // that may still be wasted
	sizes    []size
	front    []segment
	spots    []placedRect
	nodes    int
	limit    int
	visited  map[uint64]struct{}
	sums     []uint64
	anyTurns bool // some rectangle could have been turned but was not allowed to
}

type placedRect struct {
	size int
	cell cell
}

func newExhaustive(g *grid, target int64, turns bool, rng *rand.Rand, shuffle bool) *exhaustive {
	e := &exhaustive{g: g, target: target, waste: target*g.width - g.area, front: []segment{{0, g.width, 0}}, visited: map[uint64]struct{}{}}
	index := map[[3]int64]int{}
	for i, r := range g.rects {
		ways := r.ways[:r.n]
		if !turns && r.n == 2 {
			ways = ways[:1]
			e.anyTurns = true
		}
		key := [3]int64{ways[0].w, ways[0].h, int64(len(ways))}
		k, seen := index[key]
		if !seen {
			k = len(e.sizes)
			index[key] = k
			e.sizes = append(e.sizes, size{ways: slices.Clone(ways)})
		}
		e.sizes[k].left++
		e.sizes[k].ids = append(e.sizes[k].ids, i)
	}
	for k := range e.sizes {
		s := &e.sizes[k]
		s.rank = float64(s.ways[0].w) * float64(s.ways[0].h)
		if shuffle {
			s.rank *= 0.4 + rng.Float64()
		}
	}
	slices.SortStableFunc(e.sizes, func(a, b size) int { return cmp.Compare(b.rank, a.rank) })
	return e
}

// search reports whether it placed everything.
func (e *exhaustive) search() bool {
	if e.nodes++; e.nodes > e.limit || e.nodes%nodesPerCheck == 0 && e.ctx.Err() != nil {
		e.limit = min(e.limit, e.nodes)
		return false
	}
	if len(e.spots) == len(e.g.rects) {
		return true
	}
	if !e.fresh() {
		return false
	}
	low := 0
	for i, f := range e.front {
		if f.x < e.front[low].x {
			low = i
		}
	}
	f := e.front[low]
	rise := e.target - f.x
	if low > 0 {
		rise = min(rise, e.front[low-1].x-f.x)
	}
	if low+1 < len(e.front) {
		rise = min(rise, e.front[low+1].x-f.x)
	}
	if e.waste >= f.size || e.reachable(f.size) {
		// Rectangles as wide as the segment first.
		for _, exact := range []bool{true, false} {
			for k := range e.sizes {
				s := &e.sizes[k]
				if s.left == 0 {
					continue
				}
				for _, w := range s.ways {
					if (w.h == f.size) != exact || w.h > f.size || f.x+w.w > e.target {
						continue
					}
					if e.put(k, w, low) {
						return true
					}
					if e.nodes >= e.limit {
						return false
					}
				}
			}
		}
	}
	// Leave the segment empty up to its lower neighbour.
	if lost := rise * f.size; lost <= e.waste && rise > 0 && len(e.front) > 1 {
		saved := slices.Clone(e.front)
		e.front[low].x += rise
		e.join(low)
		e.waste -= lost
		done := e.search()
		e.waste += lost
		e.front = saved
		return done
	}
	return false
}

// put tries a rectangle at the lower end of a segment.
func (e *exhaustive) put(k int, w way, low int) bool {
	saved := slices.Clone(e.front)
	f := e.front[low]
	e.sizes[k].left--
	e.spots = append(e.spots, placedRect{k, cell{f.x, f.y, w.w, w.h, w.turned}})
	if w.h == f.size {
		e.front[low].x += w.w
		e.join(low)
	} else {
		e.front[low].y += w.h
		e.front[low].size -= w.h
		e.front = slices.Insert(e.front, low, segment{f.y, w.h, f.x + w.w})
		e.join(low)
	}
	if e.search() {
		return true
	}
	e.sizes[k].left++
	e.spots = e.spots[:len(e.spots)-1]
	e.front = saved
	return false
}

func (e *exhaustive) join(i int) {
	if i+1 < len(e.front) && e.front[i+1].x == e.front[i].x {
		e.front[i].size += e.front[i+1].size
		e.front = slices.Delete(e.front, i+1, i+2)
	}
	if i > 0 && e.front[i-1].x == e.front[i].x {
		e.front[i-1].size += e.front[i].size
		e.front = slices.Delete(e.front, i, i+1)
	}
}

// reachable reports whether sizes that are left add up to exactly the width of a segment, by the sums that a bit set holds.
func (e *exhaustive) reachable(width int64) bool {
	if width > widestSums {
		return true
	}
	words := int(width/64) + 1
	if cap(e.sums) < words {
		e.sums = make([]uint64, widestSums/64+1)
	}
	sums := e.sums[:words]
	clear(sums)
	sums[0] = 1
	for k := range e.sizes {
		s := &e.sizes[k]
		for range s.left {
			if len(s.ways) == 1 {
				orShifted(sums, s.ways[0].h, 0)
			} else {
				orShifted(sums, s.ways[0].h, s.ways[1].h)
			}
		}
	}
	return sums[width/64]>>(width%64)&1 == 1
}

// orShifted adds to the set all its members plus a, and plus b unless that is zero, each from the set as it was. Going from
// the top down lets it be done in place.
func orShifted(sums []uint64, a, b int64) {
	for i := len(sums) - 1; i >= 0; i-- {
		v := shifted(sums, i, a)
		if b > 0 {
			v |= shifted(sums, i, b)
		}
		sums[i] |= v
	}
}

// shifted is word i of the set moved up by n.
func shifted(sums []uint64, i int, n int64) uint64 {
	from := i - int(n/64)
	if from < 0 {
		return 0
	}
	v := sums[from] << (n % 64)
	if n%64 > 0 && from > 0 {
		v |= sums[from-1] >> (64 - n%64)
	}
	return v
}

// fresh reports whether the state, front and what is left, has not been seen, and remembers it.
func (e *exhaustive) fresh() bool {
	h := uint64(0x9e3779b97f4a7c15)
	mix := func(v uint64) { h = bits.RotateLeft64((h^v)*0xff51afd7ed558ccd, 31) }
	for _, f := range e.front {
		mix(uint64(f.y))
		mix(uint64(f.x))
	}
	for k := range e.sizes {
		mix(uint64(e.sizes[k].left) + uint64(k)<<32)
	}
	mix(uint64(e.waste))
	if _, seen := e.visited[h]; seen {
		return false
	}
	if len(e.visited) < mostVisited {
		e.visited[h] = struct{}{}
	}
	return true
}

// cells lists where the rectangles lie, by their number.
func (e *exhaustive) cells() []cell {
	cells := make([]cell, len(e.g.rects))
	next := make([]int, len(e.sizes))
	for _, p := range e.spots {
		ids := e.sizes[p.size].ids
		cells[ids[next[p.size]]] = p.cell
		next[p.size]++
	}
	return cells
}
