package search

import (
	"context"
	"sync"
	"time"
)

// lanes is the number of independent searches. It does not depend on the
// number of workers, so that neither does the result.
const lanes = 2

// beforeLanes stands for the layouts that no lane made.
const beforeLanes = -1

// run is what the lanes of one search share.
type run struct {
	*world
	ctx     context.Context
	options Options
	start   time.Time
	mu      sync.Mutex
	best    Solution
	// bestLane made the best layout; -1: it was there before the lanes
	bestLane int
	// onlyFit: any layout will do
	onlyFit bool
	have    bool
	// firstTook is the time that reading the problem and laying out and testing
	// all pieces once took
	firstTook time.Duration
}

// Minimise places all pieces on as short a strip as it can. It returns the
// best layout found when the context is done (with the context's error), at
// the deadline, or after Options.Iterations.
func Minimise(ctx context.Context, p Problem, o Options) (Solution, error) {
	begin := time.Now()
	w, err := newWorld(p)
	if err != nil {
		return Solution{}, err
	}
	r := &run{world: w, ctx: ctx, options: o, start: begin}
	if w.n == 0 {
		return r.best, nil
	}
	r.first(p)
	r.firstTook = time.Since(begin)
	if ctx.Err() == nil {
		search, cancel := r.bounded()
		defer cancel()
		r.improve(search, p)
	}
	if !r.have {
		return r.best, &ProblemError{Piece: -1, Err: ErrNoRoom}
	}
	return r.best, ctx.Err()
}

// Fit looks for a layout within a fixed length and stops as soon as it has
// one. ok is false if it found none before the context was done, the deadline
// or Options.Iterations.
func Fit(ctx context.Context, p Problem, length float64, o Options) (s Solution, ok bool, err error) {
	begin := time.Now()
	if p.MaxLength == 0 || length < p.MaxLength {
		p.MaxLength = length
	}
	w, err := newWorld(p)
	if err != nil {
		return Solution{}, false, err
	}
	r := &run{world: w, ctx: ctx, options: o, start: begin, onlyFit: true}
	if w.n == 0 {
		return r.best, true, nil
	}
	r.first(p)
	if !r.have && ctx.Err() == nil && w.area <= w.width*length {
		search, cancel := r.bounded()
		defer cancel()
		r.explore(search, false)
	}
	return r.best, r.have, ctx.Err()
}

// reserve of the time is kept back for what cannot be interrupted, at most
// mostReserve, and half of what the first layout took: laying out and testing a
// last time.
const (
	reserve     = 0.01
	mostReserve = 100 * time.Millisecond
)

// bounded is the context that ends just before the deadline.
func (r *run) bounded() (context.Context, context.CancelFunc) {
	d := r.options.Deadline
	if d.IsZero() {
		return context.WithCancel(r.ctx)
	}
	back := time.Duration(reserve * float64(time.Until(d)))
	return context.WithDeadline(r.ctx, d.Add(-min(max(back, 0), mostReserve)-r.firstTook/2))
}

// first makes the layout that is there at once: the start given, if it is
// valid, or columns.
func (r *run) first(p Problem) {
	if len(p.Start) == r.n {
		r.offer(append([]Pose(nil), p.Start...), beforeLanes)
	}
	if a, ok := r.shelf(); ok {
		r.offer(r.poses(a), beforeLanes)
	}
}

// offer stores poses if they are exactly valid and shorter than the best; of
// equally short layouts that of the lower lane is kept, whichever came first.
func (r *run) offer(ps []Pose, lane int) bool {
	length, ok := r.exact(ps)
	if !ok {
		return false
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.have && (length > r.best.Length || (length == r.best.Length && lane >= r.bestLane)) {
		return true
	}
	if !r.have {
		r.best.First, r.best.FirstLength = time.Since(r.start), length
	}
	r.have, r.bestLane = true, lane
	r.best.Poses, r.best.Length = ps, length
	if r.options.Progress != nil {
		r.options.Progress(Progress{length, time.Since(r.start), r.best.Iterations, append([]Pose(nil), ps...)})
	}
	return true
}
