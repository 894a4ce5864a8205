package search

import (
	"math"
	"math/rand/v2"
)

// layout is where every piece is.
type layout struct {
	x, y []float64
	k    []int32
}

func newLayout(n int) layout {
	return layout{make([]float64, n), make([]float64, n), make([]int32, n)}
}

func (a layout) copyFrom(b layout) {
	copy(a.x, b.x)
	copy(a.y, b.y)
	copy(a.k, b.k)
}

func (a layout) clone() layout {
	b := newLayout(len(a.x))
	b.copyFrom(a)
	return b
}

// near is a piece that the moving one may meet, with everything a candidate
// position has to be compared with in one cache line.
type near struct {
	x0, x1, y0, y1 float64 // box of the no-fit region, shifted to the piece
	px, py         float64 // position of the piece
	weight         float64 // pair weight times hull factor
	p              *pair
}

// lane is one search. It owns its layout and random numbers.
type lane struct {
	*world
	rng    *rand.PCG
	length float64
	layout
	loss   []float64 // n*m, 0 = apart
	weight []float64 // n*m
	total  float64   // unweighted loss over pairs
	evals  int64
	passes int

	byKind [][]near // near lists of the piece being moved, by index of its kinds
	haveK  []bool
	local  []near
	lines  []line
	kept   []line
	order  []int32
	tol    float64
	// ring: the strip's end is joined to its start; pieces meet copies of
	// themselves and of the others one length further left and right
	ring  bool
	bests [3]candidate
	nBest int
}

func newLane(w *world, seed uint64, stream uint64) *lane {
	l := &lane{world: w, rng: rand.NewPCG(seed, stream), layout: newLayout(w.m)}
	l.loss = make([]float64, w.n*w.m)
	l.weight = make([]float64, w.n*w.m)
	l.tol = contactTolerance * w.width
	most := 0
	for _, a := range w.allowed {
		most = max(most, len(a))
	}
	l.byKind = make([][]near, most)
	l.haveK = make([]bool, most)
	for i, k := range w.fixed {
		l.k[w.n+i] = k
	}
	l.resetWeights()
	return l
}

func (l *lane) resetWeights() {
	for i := range l.weight {
		l.weight[i] = 1
	}
}

// float64n is uniform in [0, 1).
func (l *lane) float() float64 { return float64(l.rng.Uint64()>>11) * 0x1p-53 }

// intn is uniform in [0, n).
func (l *lane) intn(n int) int {
	return int((l.rng.Uint64() >> 33) * uint64(n) >> 31)
}

// bounds of the position of a kind inside the strip at the present length.
func (l *lane) bounds(k int32) (x0, x1, y0, y1 float64) {
	b := &l.kinds[k].box
	x0, x1 = -b.MinX, l.length-b.MaxX
	if l.ring {
		x1 = l.length - b.MinX
	}
	y0, y1 = -b.MinY, l.width-b.MaxY
	return x0, max(x0, x1), y0, max(y0, y1)
}

// prepare lists what piece i may meet at its s-th allowed kind.
func (l *lane) prepare(i, s int) []near {
	if l.haveK[s] {
		return l.byKind[s]
	}
	l.haveK[s] = true
	list := l.byKind[s][:0]
	k := l.allowed[i][s]
	row := l.weight[i*l.m : (i+1)*l.m]
	for j := range l.m {
		if j == i {
			continue
		}
		p := l.pair(l.k[j], k)
		px, py := l.x[j], l.y[j]
		list = append(list, near{px + p.box.MinX, px + p.box.MaxX, py + p.box.MinY, py + p.box.MaxY, px, py, row[j] * p.scale, p})
		if l.ring {
			n := list[len(list)-1]
			for turn := range l.images(l.length, descentReach*l.side) {
				for _, by := range [2]float64{-float64(turn+1) * l.length, float64(turn+1) * l.length} {
					c := n
					c.x0, c.x1, c.px = n.x0+by, n.x1+by, n.px+by
					list = append(list, c)
				}
			}
		}
	}
	l.byKind[s] = list
	return list
}

// images is how many turns of a ring to either side have to be looked at, so
// that a piece within a reach of its place meets all it can meet: further turns
// are a piece's length away.
func (w *world) images(ring, reach float64) int {
	return int(math.Ceil((w.longest + reach) / ring))
}

// within copies the part of a near list that a position in the window can meet.
func within(list, buf []near, x0, x1, y0, y1 float64) []near {
	buf = buf[:0]
	for i := range list {
		n := &list[i]
		if n.x0 < x1 && n.x1 > x0 && n.y0 < y1 && n.y1 > y0 {
			buf = append(buf, *n)
		}
	}
	return buf
}

// cost is the weighted loss at a position, or anything above bound once it is
// known to exceed it.
func (l *lane) cost(list []near, x, y, bound float64) float64 {
	l.evals++
	s := 0.0
	for i := range list {
		n := &list[i]
		if x > n.x0 && x < n.x1 && y > n.y0 && y < n.y1 {
			if d := n.p.depth(x-n.px, y-n.py); d > l.tol {
				s += n.weight * (d + n.p.slope)
				if s > bound {
					return s
				}
			}
		}
	}
	return s
}

// roughCost is cost by the tables alone, for ranking samples.
func (l *lane) roughCost(list []near, x, y, bound float64) float64 {
	l.evals++
	s := 0.0
	for i := range list {
		n := &list[i]
		if x > n.x0 && x < n.x1 && y > n.y0 && y < n.y1 {
			if d := n.p.rough(x-n.px, y-n.py); d > 0 {
				s += n.weight * (d + n.p.slope)
				if s > bound {
					return s
				}
			}
		}
	}
	return s
}

// pairLoss is the loss of two pieces where they are.
func (l *lane) pairLoss(i, j int) float64 {
	p := l.pair(l.k[j], l.k[i])
	tx, ty := l.x[i]-l.x[j], l.y[i]-l.y[j]
	if ty <= p.box.MinY || ty >= p.box.MaxY {
		return 0
	}
	e := 0.0
	if tx > p.box.MinX && tx < p.box.MaxX {
		if d := p.depth(tx, ty); d > l.tol {
			e = (d + p.slope) * p.scale
		}
	}
	if l.ring {
		for _, by := range [2]float64{-l.length, l.length} {
			if d := p.depth(tx+by, ty); d > l.tol {
				e += (d + p.slope) * p.scale
			}
		}
	}
	return e
}

// refreshRow recomputes the losses of piece i after it moved.
func (l *lane) refreshRow(i int) {
	for j := range l.m {
		if j == i {
			continue
		}
		e := l.pairLoss(i, j)
		l.total += e - l.loss[i*l.m+j]
		l.loss[i*l.m+j] = e
		if j < l.n {
			l.loss[j*l.m+i] = e
		}
	}
}

// refresh recomputes all losses.
func (l *lane) refresh() {
	l.total = 0
	for i := range l.n {
		for j := i + 1; j < l.m; j++ {
			e := l.pairLoss(i, j)
			l.loss[i*l.m+j] = e
			if j < l.n {
				l.loss[j*l.m+i] = e
			}
			l.total += e
		}
	}
}

// colliding reports whether piece i overlaps anything.
func (l *lane) colliding(i int) bool {
	for _, e := range l.loss[i*l.m : (i+1)*l.m] {
		if e > 0 {
			return true
		}
	}
	return false
}

// clampAll brings every piece into the strip, or back into the ring.
func (l *lane) clampAll() {
	for i := range l.n {
		x0, x1, y0, y1 := l.bounds(l.k[i])
		if l.ring {
			l.x[i] -= math.Floor((l.x[i]-x0)/l.length) * l.length
		}
		l.x[i] = max(x0, min(x1, l.x[i]))
		l.y[i] = max(y0, min(y1, l.y[i]))
	}
}

// extent is the largest x of any movable piece.
func (w *world) extent(a layout) float64 {
	e := 0.0
	for i := range w.n {
		e = max(e, a.x[i]+w.kinds[a.k[i]].box.MaxX)
	}
	return e
}
