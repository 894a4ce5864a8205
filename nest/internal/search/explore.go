package search

import (
	"context"
	"math"
	"sync"
)

const (
	// firstShrink, leastShrink bound the share by which the strip is cut after
	// a success.
	firstShrink = 0.04
	leastShrink = 0.001
	// attemptPasses and attemptStrikes bound one attempt to separate.
	attemptPasses  = 50
	attemptStrikes = 2
	// freshCut is the largest share by which the shortest valid layout is cut anew.
	freshCut = 0.01
	// leastGain is the least share by which a layout pulled apart must be shorter.
	leastGain = 1e-5
	// firstDensity is the share of the strip that the pieces fill at the start.
	firstDensity = 0.6
	// Lanes scatter the pieces, which soon leads to denser layouts than the one
	// that is there already, but begin with that where it is dense: the first
	// lane from denseStart on. Of more than scatterPieces scattering takes long,
	// so the first lane never does it, nor do others from startDensity on.
	startDensity  = 0.72
	denseStart    = 0.82
	scatterPieces = 100
	// firstGrow lengthens the strip as long as nothing has been solved.
	firstGrow = 1.08
	// easyPasses: a success that took fewer lets the next cut grow.
	easyPasses = 60
	// epochEvals is how many evaluations a lane makes between two exchanges.
	epochEvals = 6_000_000
	// fitEvals is the same where one layout is enough.
	fitEvals = 500_000
	// matrixPieces is the most pieces of one layout: a lane needs 16 bytes for
	// each two of them, 144 MB at this number.
	matrixPieces = 3000
)

// explorer is a lane's outer loop, resumable between epochs.
type explorer struct {
	*lane
	run    *run
	index  int     // of the lane
	startL float64 // length to begin with
	from   []Pose  // layout to begin with, if any
	best   layout  // shortest valid layout of this lane
	bestL  float64
	have   bool
	shrink float64
	pool   []attempt
	evalAt int64 // evaluations at which the epoch ends
	gate   func() bool
	done   bool
	// adopted: the last exchange replaced best; renew: it wants a new beginning
	adopted, renew bool
	// alone is for how many more exchanges the lane takes no other's layout
	alone     int
	shortener shortener
	now       shake
	spare     layout
	strike    int // unsolved rounds of this attempt
	turner    turner
}

// attempt is an unsolved layout at the present length.
type attempt struct {
	layout
	loss float64
}

// explore runs the lanes until the context is done and returns them. On a ring
// the layouts are not offered to the run. A run that only has to fit stops soon
// after the first layout.
func (r *run) explore(ctx context.Context, ring bool) []*explorer {
	if r.n > matrixPieces {
		return nil
	}
	workers := workersOf(r.options)
	r.build(ctx, workers)
	if ctx.Err() != nil {
		return nil
	}
	start := min(r.maxLength, r.area/r.width/firstDensity)
	if r.have && !ring {
		start = min(start, r.best.Length)
	} else if !r.have && !math.IsInf(r.maxLength, 1) {
		start = r.maxLength
	}
	given := 0.0 // density of the layout that is there already
	if r.have && !ring {
		given = r.area / r.width / r.best.Length
	}
	ex := make([]*explorer, lanes)
	slots := make(chan struct{}, min(workers, lanes))
	meet := &meetingPoint{n: lanes}
	meet.cond = sync.NewCond(&meet.mu)
	for i := range ex {
		ex[i] = &explorer{lane: newLane(r.world, r.options.Seed, uint64(i+1)), run: r, shrink: firstShrink}
		ex[i].ring, ex[i].index, ex[i].startL = ring, i, start
		if given > denseStart && i == 0 || r.n > scatterPieces && (given > startDensity || i == 0 && given > 0) {
			ex[i].from = r.best.Poses
		}
		ex[i].shortener.stop = func() bool { return ctx.Err() != nil }
	}
	x := exchange{lanes: ex, bestL: math.Inf(1), stint: firstStint}
	meet.exchange = x.run
	every := int64(epochEvals)
	if r.onlyFit {
		every = fitEvals
		meet.exchange = func() { stopIfSolved(ex) }
	}
	var wg sync.WaitGroup
	for _, e := range ex {
		wg.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			e.evalAt = every
			e.gate = func() bool {
				if ctx.Err() != nil || (r.options.Iterations > 0 && e.passes >= r.options.Iterations) {
					e.done = true
					return true
				}
				if e.evals >= e.evalAt {
					<-slots
					meet.wait()
					slots <- struct{}{}
					e.evalAt += every
				}
				return e.adopted || e.renew || e.done
			}
			e.search()
			meet.leave()
		})
	}
	wg.Wait()
	for _, e := range ex {
		r.best.Iterations += e.passes
		r.best.evaluations += e.evals
	}
	return ex
}

// search shrinks the strip again and again until the gate closes.
func (e *explorer) search() {
	e.begin()
	for !e.done {
		passes := e.passes
		if e.separate(attemptPasses, 1, e.gate) {
			e.success(e.passes - passes)
			// A strip that cannot get any shorter is solved again at once, for ever, if nothing asks whether to stop.
			if e.gate() && !e.done {
				e.afterExchange()
			}
			continue
		}
		if e.done {
			return
		}
		if e.afterExchange() {
			continue
		}
		if e.pullApart() {
			e.strike = 0
			e.success(e.passes - passes)
			continue
		}
		if e.strike++; e.strike < attemptStrikes {
			continue // the same layout with the weights it has
		}
		e.strike = 0
		e.shrink = max(leastShrink, e.shrink/2)
		e.failure()
	}
}

// afterExchange does what the last exchange asked for, if anything.
func (e *explorer) afterExchange() bool {
	switch {
	case e.renew:
		e.renew, e.have, e.from = false, false, nil
		e.shrink, e.strike, e.pool = firstShrink, 0, e.pool[:0]
		e.begin()
		e.resetWeights()
	case e.adopted:
		e.adopted, e.strike = false, 0
		e.restart()
	default:
		return false
	}
	return true
}

// begin scatters the pieces over a strip they would fill to a fair share.
func (e *explorer) begin() {
	e.length = e.startL
	if e.from != nil {
		for i, p := range e.from {
			e.x[i], e.y[i], e.k[i] = p.X, p.Y, e.kindAt(i, p.Angle)
		}
		e.length = e.extent(e.layout)
		e.clampAll()
		return
	}
	if e.ring {
		e.length = max(e.length, e.longest)
	}
	for i := range e.n {
		a := e.allowed[i]
		e.k[i] = a[e.intn(len(a))]
		e.length = max(e.length, e.kinds[e.k[i]].box.MaxX-e.kinds[e.k[i]].box.MinX)
	}
	for i := range e.n {
		x0, x1, y0, y1 := e.bounds(e.k[i])
		e.x[i] = x0 + e.float()*(x1-x0)
		e.y[i] = y0 + e.float()*(y1-y0)
	}
}

// success stores the layout and cuts the strip.
func (e *explorer) success(passes int) {
	if passes < easyPasses {
		e.shrink = min(firstShrink, e.shrink*1.5)
	} else {
		e.shrink = max(leastShrink, e.shrink/2)
	}
	if e.ring {
		e.bestL = e.shortener.shorten(e.world, e.layout, e.length)
		e.length = e.bestL
		e.clampAll()
		e.store()
		return
	}
	e.bestL = e.shortener.shorten(e.world, e.layout, 0)
	ps, ok := e.shortener.settle(e.world, e.layout)
	if ok {
		e.run.offer(ps, e.index)
	}
	switch {
	case !e.run.onlyFit:
		if ok {
			e.turn(ps)
		}
		e.store()
	case ok:
		e.have, e.done = true, true
	default:
		e.disrupt(shakeSwapLarge)
		e.resetWeights()
	}
}

// pullApart tries to make the unsolved layout valid and shorter than the best
// by moving all pieces at once.
func (e *explorer) pullApart() bool {
	if e.ring || !e.have {
		return false
	}
	if e.spare.x == nil {
		e.spare = newLayout(e.m)
	}
	e.spare.copyFrom(e.layout)
	if !e.shortener.legalise(e.world, e.spare, e.bestL*(1-leastGain)) {
		return false
	}
	e.layout.copyFrom(e.spare)
	e.length = e.extent(e.layout)
	return true
}

// turn polishes a layout whose pieces may turn freely and offers it.
func (e *explorer) turn(ps []Pose) {
	if !e.turnable {
		return
	}
	e.turner.stop = e.shortener.stop
	if qs, _, ok := e.turner.polish(e.world, ps); ok {
		e.run.offer(qs, e.index)
	}
}

// store keeps the layout as the lane's best and goes on from it.
func (e *explorer) store() {
	if !e.have {
		e.best = newLayout(e.m)
		e.have = true
	}
	e.best.copyFrom(e.layout)
	e.restart()
}

// restart goes on from the shortest layout.
func (e *explorer) restart() {
	e.layout.copyFrom(e.best)
	e.pool = e.pool[:0]
	e.cut(e.bestL * (1 - e.shrink))
	e.resetWeights()
}

// fresh cuts the shortest valid layout anew.
func (e *explorer) fresh() {
	e.layout.copyFrom(e.best)
	share := leastShrink * math.Pow(freshCut/leastShrink, e.float())
	target := e.length
	e.cutAt(e.bestL*(1-share), e.float())
	if e.length != target {
		e.pool = e.pool[:0] // its losses are of another length
	}
	e.resetWeights()
}

// cut shortens the strip to length and moves what is right of the middle left.
func (e *explorer) cut(length float64) { e.cutAt(length, 0.5) }

// cutAt shortens the strip and moves what is right of a place, as a share of
// the length, left.
func (e *explorer) cutAt(length, at float64) {
	if e.ring {
		length = max(length, e.longest)
		if length >= e.bestL {
			e.done = true
			return
		}
		e.stretchRing(length)
		return
	}
	by := e.extent(e.layout) - length
	mid := length * at
	for i := range e.n {
		b := e.kinds[e.k[i]].box
		if e.x[i]+(b.MinX+b.MaxX)/2 > mid {
			e.x[i] -= by
		}
	}
	e.length = length
	e.clampAll()
}

// stretchRing makes the ring longer or shorter, with everything on it.
func (e *explorer) stretchRing(length float64) {
	for i := range e.n {
		e.x[i] *= length / e.length
	}
	e.length = length
	e.clampAll()
}

// failure goes back to an earlier layout and shakes it.
func (e *explorer) failure() {
	if !e.have && e.ring {
		e.stretchRing(e.length * firstGrow)
		e.resetWeights()
		return
	}
	if !e.have && e.length < e.maxLength {
		// too short to begin with: obstacles, or shapes that pack badly
		e.cutAt(min(e.length*firstGrow, e.maxLength), e.float())
		e.resetWeights()
		return
	}
	e.now = e.drawShake()
	if e.now == shakeFresh && e.have {
		e.fresh()
		return
	}
	e.file()
	e.pick()
	e.disrupt(e.now)
	e.resetWeights()
}

// stopIfSolved ends all lanes once one has a layout. Lanes look at each other
// only here, so that the result does not depend on which was faster.
func stopIfSolved(ex []*explorer) {
	solved := false
	for _, e := range ex {
		solved = solved || e.have
	}
	for _, e := range ex {
		e.done = e.done || solved
	}
}
