package search

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"
	"time"

	"github.com/vinylgeom/vinyl/nest/internal/convex"
	"github.com/vinylgeom/vinyl/nest/internal/region"
)

// chunkPieces is how many pieces are searched together when there are too many
// for one layout.
const chunkPieces = 80

// chunks deals the pieces into stretches of the strip of about size pieces,
// searches each by itself and pushes them together.
func (r *run) chunks(ctx context.Context, size int) {
	count := (r.n + size - 1) / size
	order := make([]int, r.n)
	for i := range order {
		order[i] = i
	}
	area := func(i int) float64 { return r.shapes[r.shapeOf[i]].outline.Area }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(area(b), area(a)) })
	sets := make([][]int, count)
	for n, i := range order {
		sets[n%count] = append(sets[n%count], i)
	}
	workers := workersOf(r.options)
	runs := make([]*run, count)
	var wg sync.WaitGroup
	slots := make(chan struct{}, workers)
	begin := time.Now()
	left := time.Duration(0)
	if d, ok := ctx.Deadline(); ok {
		left = time.Until(d) * 9 / 10
	}
	rounds := (count + workers - 1) / workers
	for c := range count {
		slots <- struct{}{}
		wg.Go(func() {
			defer func() { <-slots }()
			sub := &run{world: r.part(sets[c]), options: r.options, start: r.start}
			sub.options.Progress = nil
			sub.options.Workers = 1
			if sub.options.Iterations == 0 {
				sub.options.Iterations = chunkPasses
			}
			if a, ok := sub.shelf(); ok {
				sub.offer(sub.poses(a), beforeLanes)
			}
			cc, cancel := ctx, func() {}
			if left > 0 {
				round := c/workers + 1
				cc, cancel = context.WithDeadline(ctx, begin.Add(left*time.Duration(round)/time.Duration(rounds)))
			}
			sub.explore(cc, false)
			cancel()
			runs[c] = sub
		})
	}
	wg.Wait()
	if ctx.Err() == nil {
		r.join(sets, runs)
	}
}

// chunkPasses bounds the search of one chunk.
const chunkPasses = 100000

// join lays chunks one after the other, each pushed left until it meets those
// before it, and offers the result.
func (r *run) join(sets [][]int, runs []*run) {
	a := newLayout(r.m)
	for i, k := range r.fixed {
		a.k[r.n+i] = k
	}
	grid := math.Exp2(math.Floor(math.Log2(r.width)) - gridBits)
	margin := settleMargin * r.width
	var before []int // pieces of the chunk before
	end := 0.0
	for c, sub := range runs {
		r.best.Iterations += sub.best.Iterations
		r.best.evaluations += sub.best.evaluations
		if !sub.have {
			return
		}
		for n, i := range sets[c] {
			p := sub.best.Poses[n]
			a.x[i], a.y[i], a.k[i] = p.X+end, p.Y, r.kindAt(i, p.Angle)
		}
		longest := 0.0
		for _, i := range sets[c] {
			b := &r.kinds[a.k[i]].box
			longest = max(longest, b.MaxX-b.MinX)
		}
		push := end
		for _, i := range sets[c] {
			left := a.x[i] + r.kinds[a.k[i]].box.MinX
			push = min(push, left)
			if left > end+longest {
				continue // those in front stop first
			}
			for _, j := range before {
				push = r.roomLeft(a, j, i, push+margin) - margin
			}
		}
		push = min(push, longest)
		push = math.Floor(max(0, push)/grid) * grid
		newEnd := end
		for _, i := range sets[c] {
			a.x[i] -= push
			newEnd = max(newEnd, a.x[i]+r.kinds[a.k[i]].box.MaxX)
		}
		end = math.Ceil(newEnd/grid) * grid
		before = append(before, sets[c]...)
		// pieces far behind cannot be met any more
		before = slices.DeleteFunc(before, func(j int) bool {
			return a.x[j]+r.kinds[a.k[j]].box.MaxX < end-4*longest
		})
	}
	r.offer(r.poses(a), beforeLanes)
}

// roomLeft is how far piece i, which lies right of piece j, can go left before
// it meets it; more than most is not looked for.
func (w *world) roomLeft(a layout, j, i int, most float64) float64 {
	ki, kj := &w.kinds[a.k[i]], &w.kinds[a.k[j]]
	tx, ty := a.x[i]-a.x[j], a.y[i]-a.y[j]
	if ty+ki.box.MaxY <= kj.box.MinY || ty+ki.box.MinY >= kj.box.MaxY || tx+ki.box.MinX-kj.box.MaxX >= most {
		return most
	}
	room := most
	opposites := region.NewShape(w.shapes[ki.shape].outline, ki.angle).Opposites()
	sj := region.NewShape(w.shapes[kj.shape].outline, kj.angle)
	var part []convex.HalfPlane
	for _, pj := range sj.Parts {
		for _, pi := range opposites {
			if ty <= pj.Box.MinY+pi.Box.MinY || ty >= pj.Box.MaxY+pi.Box.MaxY || tx-(pj.Box.MaxX+pi.Box.MaxX) >= room {
				continue
			}
			part = convex.NoFit(pj, pi, part[:0])
			lo, hi := math.Inf(-1), math.Inf(1) // of x inside the part at this y
			for _, h := range part {
				rest := h.D - h.NY*ty
				switch {
				case h.NX > flatNormal:
					hi = min(hi, rest/h.NX)
				case h.NX < -flatNormal:
					lo = max(lo, rest/h.NX)
				case rest <= 0:
					hi = math.Inf(-1)
				}
			}
			if hi > lo && lo < tx {
				room = min(room, max(0, tx-hi))
			}
		}
	}
	return room
}

// flatNormal: a half-plane whose normal has a smaller x does not bound x.
const flatNormal = 1e-12
