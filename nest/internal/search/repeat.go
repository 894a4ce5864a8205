package search

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"
)

const (
	// manyCopies: from so many pieces on, a unit that repeats is looked for.
	manyCopies = 60
	// densePieces is the most pieces searched as one layout: the lanes' matrices
	// grow with the square (16 bytes for each two pieces).
	densePieces = 400
	// unitLength is the least length of a repeated unit, in lengths of its
	// longest piece.
	unitLength = 1
	// unitTries is how many unit sizes are tried.
	unitTries = 10
	// againTurns are for the densest of them.
	againTurns = 4
	// repeatShare of the time goes into looking for a unit where all pieces can
	// still be searched as one layout afterwards.
	repeatShare = 0.4
	// trialShare of the time shows how long all regions would take, and buildShare
	// is what they may take; leastChunk is how few pieces are searched together.
	trialShare = 0.05
	buildShare = 0.4
	leastChunk = 16
)

// improve spends the time left on the way that suits the number of pieces.
func (r *run) improve(ctx context.Context, p Problem) {
	if r.n >= manyCopies && len(r.fixed) == 0 {
		r.repeat(ctx)
	}
	if ctx.Err() != nil {
		return
	}
	if len(r.fixed) > 0 || !r.have {
		r.explore(ctx, false)
		return
	}
	size := chunkPieces
	if r.n <= densePieces {
		if size = r.together(ctx); size >= r.n {
			r.explore(ctx, false)
			return
		}
	}
	r.chunks(ctx, size)
}

// together is how many pieces can be searched as one layout so that building
// their regions leaves most of the time for the search: all of them if that is
// so, or if parts of the problem would need as many regions.
func (r *run) together(ctx context.Context) int {
	deadline, ok := ctx.Deadline()
	if !ok || r.n <= chunkPieces || r.regionCount() <= sharedRegions {
		return r.n
	}
	begin := time.Now()
	left := time.Until(deadline)
	trial, cancel := context.WithTimeout(ctx, time.Duration(trialShare*float64(left)))
	share := r.build(trial, workersOf(r.options))
	cancel()
	// The regions of chunks are as many less as the chunks are smaller.
	needed := float64(time.Since(begin)) / max(share, 1e-6)
	fits := buildShare * float64(left) / needed
	if share == 1 || fits >= 1 {
		return r.n
	}
	return min(chunkPieces, max(leastChunk, int(fits*float64(r.n))))
}

// alike groups the pieces that are copies of each other, in order of first
// appearance.
func (w *world) alike() [][]int {
	type key struct {
		shape int
		list  *int32
	}
	index := map[key]int{}
	var groups [][]int
	for i := range w.n {
		k := key{w.shapeOf[i], &w.allowed[i][0]} // equal lists are one slice
		g, ok := index[k]
		if !ok {
			g = len(groups)
			index[k] = g
			groups = append(groups, nil)
		}
		groups[g] = append(groups[g], i)
	}
	return groups
}

// unit is a set of pieces on a ring, to be repeated.
type unit struct {
	counts []int // of each group
	pieces []int
	times  int
}

// units proposes units of several sizes, best use of the pieces first.
func (w *world) units(groups [][]int) []unit {
	longest := 0.0
	for i := range w.n {
		least := math.Inf(1)
		for _, k := range w.allowed[i] {
			b := &w.kinds[k].box
			least = min(least, b.MaxX-b.MinX)
		}
		longest = max(longest, least)
	}
	var us []unit
	last := math.MaxInt
	most := 0
	for _, g := range groups {
		most = max(most, len(g))
	}
	// from the greatest number of repeats whose unit is long enough
	for times := min(most, w.n/2); times >= 2 && len(us) < unitTries; times-- {
		u := unit{times: times}
		area, size := 0.0, 0
		for _, g := range groups {
			c := len(g) / times
			u.counts = append(u.counts, c)
			u.pieces = append(u.pieces, g[:c]...)
			area += float64(c) * w.shapes[w.shapeOf[g[0]]].outline.Area
			size += c
		}
		if size == 0 || size == last || area*float64(times) < 0.7*w.area || area/w.width < unitLength*longest*firstDensity {
			continue
		}
		if size > densePieces/2 {
			break
		}
		last = size
		us = append(us, u)
	}
	return us
}

// repeat looks for a dense unit on a ring and lays it out again and again.
func (r *run) repeat(ctx context.Context) {
	groups := r.alike()
	us := r.units(groups)
	if len(us) == 0 {
		return
	}
	share := 1.0
	if r.n <= densePieces {
		share = repeatShare
	}
	end := time.Time{}
	if d, ok := ctx.Deadline(); ok {
		end = time.Now().Add(time.Duration(share * float64(time.Until(d))))
	}
	// Every unit gets its turn, then the densest another with other random numbers.
	dense := make([]float64, len(us))
	turns := len(us) + againTurns
	for turn := range turns {
		if ctx.Err() != nil {
			return
		}
		i := turn
		if turn >= len(us) {
			i = 0
			for k, d := range dense {
				if d > dense[i] {
					i = k
				}
			}
		}
		u := us[i]
		sub := &run{world: r.part(u.pieces), options: r.options, start: r.start}
		sub.options.Progress = nil
		sub.options.Seed += uint64(turn / len(us) * (turn + 1))
		sub.options.Iterations = ringPasses * len(u.pieces)
		if r.options.Iterations > 0 {
			sub.options.Iterations = max(1, r.options.Iterations/(2*turns))
		}
		c, cancel := ctx, func() {}
		if !end.IsZero() {
			c, cancel = context.WithDeadline(ctx, time.Now().Add(time.Until(end)/time.Duration(turns-turn)))
		}
		ex := sub.explore(c, true)
		cancel()
		r.best.Iterations += sub.best.Iterations
		r.best.evaluations += sub.best.evaluations
		var best *explorer
		for _, e := range ex {
			if e.have && (best == nil || e.bestL < best.bestL) {
				best = e
			}
		}
		if best != nil {
			dense[i] = max(dense[i], sub.area/best.bestL)
			r.unroll(ctx, u, groups, best)
		}
	}
}

// ringPasses, for each of its pieces, bounds the search for one unit.
const ringPasses = 2000

// unroll repeats the unit and offers the result.
func (r *run) unroll(ctx context.Context, u unit, groups [][]int, e *explorer) {
	w := e.world
	ring, a := e.bestL, e.best.clone()
	grid := math.Exp2(math.Floor(math.Log2(w.width)) - gridBits)
	margin := settleMargin * w.width
	wide := map[[2]int]int{}
	list, ok := w.separations(a, ring, 100*margin, nil)
	if !ok {
		return
	}
	for _, c := range list {
		if _, seen := wide[[2]int{c.i, c.j}]; !seen {
			wide[[2]int{c.i, c.j}] = len(wide)
		}
	}
	s := shortener{stop: func() bool { return ctx.Err() != nil }}
	ring += s.solve(w, a, ring, list, 100*margin, wide, nil, margin)
	ring = math.Ceil(ring/grid) * grid
	left := make([]float64, w.n) // of each piece's box
	for i := range w.n {
		p := Pose{X: a.x[i], Y: a.y[i]}
		p.X = math.Round(p.X/grid) * grid
		w.toGrid(&p, a.k[i], grid)
		a.x[i], a.y[i] = p.X, p.Y
		left[i] = p.X + w.kinds[a.k[i]].box.MinX
	}
	var best []Pose
	bestLength := math.Inf(1)
	for cut := range w.n { // the strip may start at any piece
		if best != nil && ctx.Err() != nil {
			break
		}
		if ps, length := r.repeated(u, groups, w, a, left, ring, left[cut], grid); length < bestLength {
			best, bestLength = ps, length
		}
	}
	if best == nil {
		return
	}
	if !r.offer(best, beforeLanes) && r.n <= programPieces {
		b := newLayout(r.m)
		for i, p := range best {
			b.x[i], b.y[i], b.k[i] = p.X, p.Y, r.kindAt(i, p.Angle)
		}
		if ps, ok := s.settle(r.world, b); ok {
			r.offer(ps, beforeLanes)
		}
	}
}

// kindAt is the allowed kind of a piece nearest to an angle.
func (w *world) kindAt(i int, angle float64) int32 {
	best, off := w.allowed[i][0], math.Inf(1)
	for _, k := range w.allowed[i] {
		d := math.Abs(math.Remainder(w.kinds[k].angle-angle, 2*math.Pi))
		if d < off {
			best, off = k, d
		}
	}
	return best
}

// repeated lays out the unit's copies from a cut on. What the copies do not use
// up comes from one more copy, left-most first, and then in columns.
func (r *run) repeated(u unit, groups [][]int, w *world, a layout, left []float64, ring, cut, grid float64) ([]Pose, float64) {
	type spot struct {
		i    int // in the unit
		x    float64
		left float64
	}
	spots := make([]spot, w.n)
	for i := range spots {
		turns := math.Ceil((cut - left[i]) / ring)
		spots[i] = spot{i, a.x[i] + turns*ring, left[i] + turns*ring}
	}
	slices.SortStableFunc(spots, func(p, q spot) int { return cmp.Compare(p.left, q.left) })
	start := math.Floor(spots[0].left/grid) * grid
	groupOf := make([]int, w.n)
	at := 0
	for g, c := range u.counts {
		for range c {
			groupOf[at] = g
			at++
		}
	}
	used := make([]int, len(groups))
	ps := make([]Pose, r.n)
	placed := 0
	end := 0.0
	for turn := 0; turn <= u.times; turn++ {
		for _, s := range spots {
			g := groupOf[s.i]
			if used[g] == len(groups[g]) {
				continue
			}
			p := Pose{s.x - start + float64(turn)*ring, a.y[s.i], w.kinds[a.k[s.i]].angle}
			ps[groups[g][used[g]]] = p
			used[g]++
			placed++
			end = max(end, p.X+w.kinds[a.k[s.i]].box.MaxX)
		}
	}
	if placed < r.n {
		var rest []int
		for g, members := range groups {
			rest = append(rest, members[used[g]:]...)
		}
		columns := r.part(rest)
		shelf, ok := columns.shelf()
		if !ok {
			return nil, math.Inf(1)
		}
		base := math.Ceil(end/grid) * grid
		for i, p := range rest {
			k := columns.kinds[shelf.k[i]]
			ps[p] = Pose{base + shelf.x[i], shelf.y[i], k.angle}
			end = max(end, ps[p].X+k.box.MaxX)
		}
	}
	return ps, end
}
