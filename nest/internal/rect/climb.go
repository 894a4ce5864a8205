package rect

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// Settings of the climb: the length of the list of accepted values, and after how many evaluations without a better best
// it starts again from the best.
const (
	climbHistory = 400
	climbPatient = 60000
	checkEvery   = 64 // evaluations between looks at the context
)

// climb searches the order in which the skyline rule takes the rectangles.
func (g *grid) climb(ctx context.Context, seed uint64, evaluations int, target int64, found func(int64, []cell)) int {
	rng := rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15))
	n := len(g.rects)
	s := newSkyline(g)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	best, bestOrder := int64(math.MaxInt64), slices.Clone(order)
	count := 0
	try := func(o []int, bound int64) int64 {
		count++
		l := s.build(o, bound)
		if l < best {
			best = l
			copy(bestOrder, o)
			found(l, s.cells)
		}
		return l
	}
	// Several sensible orders to begin with.
	keys := []func(w whole) int64{
		func(w whole) int64 { return w.ways[0].w * w.ways[0].h },
		func(w whole) int64 { return max(w.ways[0].w, w.ways[0].h) },
		func(w whole) int64 { return w.ways[0].w },
		func(w whole) int64 { return w.ways[0].h },
		func(w whole) int64 { return w.ways[0].w + w.ways[0].h },
	}
	for _, key := range keys {
		slices.SortStableFunc(order, func(a, b int) int { return int(min(max(key(g.rects[b])-key(g.rects[a]), -1), 1)) })
		try(order, math.MaxInt64)
	}
	copy(order, bestOrder)
	current, since := best, 0
	var history [climbHistory]int64
	for i := range history {
		history[i] = current
	}
	if n < 2 {
		return count
	}
	for best > target && (evaluations == 0 || count < evaluations) {
		if count%checkEvery == 0 && ctx.Err() != nil {
			break
		}
		a, b := rng.IntN(n), rng.IntN(n)
		if a == b {
			continue
		}
		move := rng.IntN(4) == 0
		if move {
			shift(order, a, b)
		} else {
			order[a], order[b] = order[b], order[a]
		}
		h := &history[count%climbHistory]
		before := best
		l := try(order, max(*h, current))
		if l <= current || l <= *h {
			current = l
		} else if move {
			shift(order, b, a)
		} else {
			order[a], order[b] = order[b], order[a]
		}
		if current < *h {
			*h = current
		}
		if since++; best < before {
			since = 0
		}
		if since > climbPatient {
			// Start again from the best, shaken a little.
			since = 0
			copy(order, bestOrder)
			for range 3 + rng.IntN(3) {
				a, b := rng.IntN(n), rng.IntN(n)
				order[a], order[b] = order[b], order[a]
			}
			current = try(order, math.MaxInt64)
			for i := range history {
				history[i] = current
			}
		}
	}
	return count
}

// shift moves the element at a to b.
func shift(order []int, a, b int) {
	v := order[a]
	if a < b {
		copy(order[a:b], order[a+1:b+1])
	} else {
		copy(order[b+1:a+1], order[b:a])
	}
	order[b] = v
}

// segment is a stretch of the front: from y on, as wide as size, filled up to x.
type segment struct{ y, size, x int64 }

// skyline places rectangles on the front of what is filled.
type skyline struct {
	g     *grid
	front []segment
	left  []int
	cells []cell
}

func newSkyline(g *grid) *skyline { return &skyline{g: g, cells: make([]cell, len(g.rects))} }

// build places all rectangles and returns the length, or any number above bound once it is passed. At each step the
// segment filled least takes the rectangle that suits it best: one that is as wide as the segment and ends level with a
// neighbour before one that only is as wide, before one that only ends level; among equals the first in the order.
func (s *skyline) build(order []int, bound int64) int64 {
	g := s.g
	s.front = append(s.front[:0], segment{0, g.width, 0})
	s.left = append(s.left[:0], order...)
	length := int64(0)
	for len(s.left) > 0 {
		low := 0
		for i, f := range s.front {
			if f.x < s.front[low].x {
				low = i
			}
		}
		f := s.front[low]
		below, above := int64(math.MaxInt64), int64(math.MaxInt64) // how far the neighbours stand out
		if low > 0 {
			below = s.front[low-1].x - f.x
		}
		if low+1 < len(s.front) {
			above = s.front[low+1].x - f.x
		}
		bestScore, bestAt, bestWay := -1, -1, way{}
		for at, i := range s.left {
			r := &g.rects[i]
			for k := range r.n {
				w := r.ways[k]
				if w.h > f.size {
					continue
				}
				score := 0
				level := w.w == below || w.w == above
				switch {
				case w.h == f.size && level:
					score = 4
				case w.h == f.size && w.w > max(below, above):
					score = 2
				case w.h == f.size:
					score = 3
				case level:
					score = 1
				}
				if score > bestScore {
					bestScore, bestAt, bestWay = score, at, w
				}
			}
			if bestScore == 4 {
				break
			}
		}
		if bestAt < 0 {
			s.raise(low, below, above)
			continue
		}
		// Against the neighbour that stands out more level with it, else against the one that stands out more.
		atTop := above > below
		if bestWay.w == above && bestWay.w != below {
			atTop = true
		} else if bestWay.w == below && bestWay.w != above {
			atTop = false
		}
		y := f.y
		if atTop {
			y = f.y + f.size - bestWay.h
		}
		i := s.left[bestAt]
		s.cells[i] = cell{f.x, y, bestWay.w, bestWay.h, bestWay.turned}
		s.left = slices.Delete(s.left, bestAt, bestAt+1)
		s.place(low, bestWay, atTop)
		if length = max(length, f.x+bestWay.w); length > bound {
			return length
		}
	}
	return length
}

// raise fills a segment up to its lower neighbour: nothing fits there.
func (s *skyline) raise(i int, below, above int64) {
	s.front[i].x += min(below, above)
	s.join(i)
}

// place fills a part of segment i, its lower or upper one.
func (s *skyline) place(i int, w way, atTop bool) {
	f := s.front[i]
	if w.h == f.size {
		s.front[i].x += w.w
		s.join(i)
		return
	}
	if atTop {
		s.front[i].size -= w.h
		s.front = slices.Insert(s.front, i+1, segment{f.y + f.size - w.h, w.h, f.x + w.w})
		s.join(i + 1)
		return
	}
	s.front[i].y += w.h
	s.front[i].size -= w.h
	s.front = slices.Insert(s.front, i, segment{f.y, w.h, f.x + w.w})
	s.join(i)
}

// join merges segment i with neighbours that are level with it.
func (s *skyline) join(i int) {
	if i+1 < len(s.front) && s.front[i+1].x == s.front[i].x {
		s.front[i].size += s.front[i+1].size
		s.front = slices.Delete(s.front, i+1, i+2)
	}
	if i > 0 && s.front[i-1].x == s.front[i].x {
		s.front[i-1].size += s.front[i].size
		s.front = slices.Delete(s.front, i, i+1)
	}
}
