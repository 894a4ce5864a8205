package rect

import (
	"context"
	"math"
	"slices"
	"sync"
	"time"
)

// Rect is a rectangle of W along the strip and H across it. Turned it is H along and W across.
type Rect struct {
	W, H    float64
	Upright bool // it may lie as given
	Turned  bool // it may lie turned by a quarter
}

// Spot is where a rectangle lies: its corner of least coordinates.
type Spot struct {
	X, Y   float64
	Turned bool
}

// Options bound the work. Without any bound Pack runs until the context ends.
type Options struct {
	Seed        uint64
	Evaluations int       // of the order, by each of the two searches; zero means no bound
	Deadline    time.Time // zero means none
	Workers     int       // 1 runs the searches one after the other, anything else side by side
	Enough      float64   // a length at which to stop; zero means the least that areas allow
	Greatest    float64   // longer packings are of no use; zero means all are
}

// Packing is one spot for each rectangle and the length they take.
type Packing struct {
	Spots  []Spot
	Length float64
}

// Pack returns the shortest packing it finds and the number of orders and nodes that were looked at. ok is false if some
// rectangle is too wide, or if nothing within Greatest was found. improved, if not nil, is told of every better packing,
// one call at a time.
func Pack(ctx context.Context, width float64, rects []Rect, o Options, improved func(Packing)) (best Packing, count int, ok bool) {
	g, fits := newGrid(width, rects)
	if !fits || len(rects) == 0 {
		return Packing{}, 0, false
	}
	if !o.Deadline.IsZero() {
		var cancel context.CancelFunc
		ctx, cancel = context.WithDeadline(ctx, o.Deadline)
		defer cancel()
	}
	inner, stop := context.WithCancel(ctx)
	defer stop()
	target := g.leastLength()
	if o.Enough > 0 {
		target = max(target, int64(math.Floor(o.Enough*g.factor)))
	}
	greatest := int64(math.MaxInt64)
	if o.Greatest > 0 {
		greatest = int64(math.Floor(o.Greatest*g.factor + gridRounding))
	}
	var mu sync.Mutex
	bestLength := [2]int64{math.MaxInt64, math.MaxInt64}
	var found [2][]cell
	var counts [2]int
	tell := func(who int, length int64, cells []cell) {
		mu.Lock()
		defer mu.Unlock()
		if length >= bestLength[who] || length > greatest {
			return
		}
		first := length < min(bestLength[0], bestLength[1])
		bestLength[who], found[who] = length, slices.Clone(cells)
		if first && improved != nil {
			improved(g.packing(cells, rects))
		}
		if length <= target {
			// With a number of evaluations the other search is not cut short, so that the outcome does not depend on who
			// is faster; it stops by itself once it has the target, too, or has had its share.
			if o.Evaluations == 0 {
				stop()
			}
		}
	}
	searches := []func(){
		func() {
			counts[0] = g.climb(inner, o.Seed, o.Evaluations, target, func(l int64, c []cell) { tell(0, l, c) })
		},
		func() {
			counts[1] = g.exhaust(inner, o.Seed, o.Evaluations, target, func(l int64, c []cell) { tell(1, l, c) })
		},
	}
	if o.Workers == 1 {
		g.inTurns(inner, searches)
	} else {
		var wait sync.WaitGroup
		for _, s := range searches {
			wait.Add(1)
			go func() { defer wait.Done(); s() }()
		}
		wait.Wait()
	}
	winner := 0
	if bestLength[1] < bestLength[0] {
		winner = 1
	}
	if found[winner] == nil {
		return Packing{}, counts[0] + counts[1], false
	}
	return g.packing(found[winner], rects), counts[0] + counts[1], true
}

// inTurns runs the exhaustive search, which stops early by itself, and then the climb.
func (g *grid) inTurns(ctx context.Context, searches []func()) {
	searches[1]()
	if ctx.Err() == nil {
		searches[0]()
	}
}

// grid is the problem in whole numbers: a unit is 1/factor of a millimetre.
type grid struct {
	factor float64
	width  int64
	rects  []whole
	area   int64
}

// whole is a rectangle in units: up to two ways to lie.
type whole struct {
	ways [2]way
	n    int // number of ways, 1 or 2
}

// way is a size along and across the strip.
type way struct {
	w, h   int64
	turned bool
}

// cell is where a rectangle lies, in units.
type cell struct {
	x, y   int64
	w, h   int64
	turned bool
}

// gridRounding is how far from a whole number of units a length may be and still count as that number.
const gridRounding = 1e-6

// newGrid finds the coarsest unit in which all lengths are whole numbers, or else takes micrometres, rounded so that
// nothing overlaps. It reports whether every rectangle fits across the strip.
func newGrid(width float64, rects []Rect) (*grid, bool) {
	factor := 1.0
	isWhole := func(v float64) bool { return math.Abs(v*factor-math.Round(v*factor)) < gridRounding }
	for ; factor < 1000; factor *= 10 {
		exact := isWhole(width)
		for _, r := range rects {
			exact = exact && isWhole(r.W) && isWhole(r.H)
		}
		if exact {
			break
		}
	}
	g := &grid{factor: factor, width: int64(math.Floor(width*factor + gridRounding))}
	up := func(v float64) int64 { return int64(math.Ceil(v*factor - gridRounding)) }
	for _, r := range rects {
		var wh whole
		w, h := up(r.W), up(r.H)
		if r.Upright && h <= g.width {
			wh.ways[wh.n] = way{w, h, false}
			wh.n++
		}
		if r.Turned && w <= g.width && (w != h || wh.n == 0) {
			wh.ways[wh.n] = way{h, w, true}
			wh.n++
		}
		if wh.n == 0 || w <= 0 || h <= 0 {
			return nil, false
		}
		g.rects = append(g.rects, wh)
		g.area += w * h
	}
	return g, true
}

// leastLength is a length that no packing can beat: by area, or by the longest rectangle.
func (g *grid) leastLength() int64 {
	least := (g.area + g.width - 1) / g.width
	for _, r := range g.rects {
		w := r.ways[0].w
		if r.n == 2 {
			w = min(w, r.ways[1].w)
		}
		least = max(least, w)
	}
	return least
}

// packing turns cells into millimetres. Rectangles are pushed against what lies before them, so that float64 sums leave no
// overlap where whole numbers touch.
func (g *grid) packing(cells []cell, rects []Rect) Packing {
	p := Packing{Spots: make([]Spot, len(cells))}
	size := func(i int) (w, h float64) {
		if cells[i].turned {
			return rects[i].H, rects[i].W
		}
		return rects[i].W, rects[i].H
	}
	push := func(axis int) {
		order := make([]int, len(cells))
		for i := range order {
			order[i] = i
		}
		at := func(c cell) (start, end, low, high int64) {
			if axis == 0 {
				return c.x, c.x + c.w, c.y, c.y + c.h
			}
			return c.y, c.y + c.h, c.x, c.x + c.w
		}
		slices.SortFunc(order, func(a, b int) int {
			sa, _, _, _ := at(cells[a])
			sb, _, _, _ := at(cells[b])
			if sa != sb {
				return int(min(max(sa-sb, -1), 1))
			}
			return a - b
		})
		for n, i := range order {
			start, _, low, high := at(cells[i])
			v := 0.0
			for _, k := range order[:n] {
				_, end, l, h := at(cells[k])
				if end <= start && l < high && low < h {
					w, ht := size(k)
					if axis == 0 {
						v = max(v, p.Spots[k].X+w)
					} else {
						v = max(v, p.Spots[k].Y+ht)
					}
				}
			}
			if axis == 0 {
				p.Spots[i].X = v
			} else {
				p.Spots[i].Y = v
			}
		}
	}
	push(0)
	push(1)
	for i, c := range cells {
		p.Spots[i].Turned = c.turned
		w, _ := size(i)
		p.Length = max(p.Length, p.Spots[i].X+w)
	}
	return p
}
