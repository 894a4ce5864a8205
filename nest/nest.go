package nest

import (
	"context"
	"fmt"
	"sync"
	"time"

	"github.com/vinylgeom/vinyl/nest/internal/guillotine"
	"github.com/vinylgeom/vinyl/units"
)

// Nest places all copies of the pieces on the strip: on as few loads as it finds, then with as little film as it finds.
// It does not modify its arguments. Pieces whose outlines differ at most inside holes too narrow for any piece count as
// copies of one shape; in each load, those lie along the strip in the order they are given in.
//
// The errors are an *InputError for arguments that make no sense, a *SizeError for a piece that fits the film at no allowed
// rotation, a *RoomError, together with a valid layout of the rest, if MaxLoads, a leftover or the room between forbidden
// zones is too small, and ctx.Err(), together with the best layout so far, if the context ended the work early.
func Nest(ctx context.Context, strip Strip, pieces []Piece, options Options) (Result, error) {
	start := time.Now()
	j, err := prepare(strip, pieces, options)
	if err != nil {
		return Result{}, err
	}
	best := &record{job: j, start: start}
	if err := j.begin(best); err != nil {
		return Result{}, err
	}
	if options.Budget >= 0 && ctx.Err() == nil {
		work, cancel := ctx, context.CancelFunc(func() {})
		if budget := options.Budget; budget > 0 || options.Iterations == 0 {
			if budget == 0 {
				budget = DefaultBudget
			}
			best.deadline = start.Add(budget)
			work, cancel = context.WithDeadline(ctx, best.deadline)
		}
		err = j.improve(work, best)
		cancel()
		if err != nil {
			return Result{}, err
		}
	}
	result := best.result()
	if err := ctx.Err(); err != nil {
		return result, err
	}
	if len(result.Unplaced) > 0 {
		return result, &RoomError{result.Unplaced}
	}
	return result, nil
}

// record keeps the best verified layout. It is safe for concurrent use.
type record struct {
	job      *job
	start    time.Time
	deadline time.Time // zero without a budget

	asPlan   bool          // gangs are taken as plans that can be improved
	updating sync.Mutex    // held while a plan is made out of the best one and offered
	took     time.Duration // the time that verifying the first plan took

	mu         sync.Mutex
	best       *plan
	stats      Stats
	iterations int
}

// offer verifies the loads of a plan that differ from those already verified and keeps the plan if it is valid and better.
// changed lists the loads to verify; nil means all. It reports whether the plan was kept.
func (r *record) offer(p *plan, changed []int) bool {
	loads := 0
	for _, s := range p.sections {
		loads = max(loads, s.load+1)
	}
	for _, f := range r.job.fixed {
		loads = max(loads, f.Load)
	}
	if changed == nil || len(p.loads) != loads {
		p.loads = make([]Load, loads)
		changed = changed[:0]
		for n := range loads {
			changed = append(changed, n)
		}
	}
	valid := make([]bool, len(changed))
	parallel(r.job.options.Workers, len(changed), func(i int) {
		p.loads[changed[i]], valid[i] = r.job.realise(p, changed[i])
	})
	for _, ok := range valid {
		if !ok {
			return false
		}
	}
	if r.job.options.IdenticalLoads {
		p.distinct = p.countDistinct()
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if !p.better(r.best) {
		return false
	}
	r.keep(p)
	return true
}

// keep makes a verified plan the best one and reports it; mu is held.
func (r *record) keep(p *plan) {
	r.best = p
	if r.stats.First == 0 {
		r.stats.First = time.Since(r.start)
		r.stats.FirstDensity = r.job.density(p)
	}
	if report := r.job.options.Progress; report != nil {
		report(Progress{Loads: len(p.loads), Length: units.Length(p.film()), Density: r.job.density(p), Elapsed: time.Since(r.start), Iterations: r.iterations})
	}
}

// current is the best plan so far. It must not be modified.
func (r *record) current() *plan {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.best
}

// count adds passes of the search.
func (r *record) count(n int) {
	r.mu.Lock()
	r.iterations += n
	r.mu.Unlock()
}

// result is the best plan as a Result.
func (r *record) result() Result {
	p := r.current()
	result := Result{Loads: p.loads, Length: units.Length(p.film()), Density: r.job.density(p), Seed: r.job.options.Seed, Stats: r.stats}
	result.Stats.Elapsed = time.Since(r.start)
	result.Stats.Iterations = r.iterations
	left := map[int]int{}
	for _, i := range p.unplaced {
		left[r.job.items[i].piece]++
	}
	for i, piece := range r.job.pieces {
		if left[i] > 0 {
			result.Unplaced = append(result.Unplaced, Unplaced{piece.ID, left[i]})
		}
	}
	return result
}

// density is the area of the placed pieces by that of the film.
func (j *job) density(p *plan) float64 {
	covered, film := 0.0, 0.0
	for _, l := range p.loads {
		if l.Density > 0 {
			covered += l.Density * float64(l.Length)
			film += float64(l.Length)
		}
	}
	if len(j.strip.Leftover) > 0 && len(p.loads) > 0 {
		return p.loads[0].Density
	}
	if film == 0 {
		return 0
	}
	return covered / film
}

// begin makes the first layout, of Options.Start if that is one.
func (j *job) begin(best *record) error {
	if err := j.checkFixed(); err != nil {
		return err
	}
	if len(j.options.Start) > 0 {
		if p := j.fromStart(); p != nil {
			best.offer(p, nil)
		}
	}
	p := j.first()
	verifying := time.Now()
	best.offer(p, nil)
	best.took = time.Since(verifying)
	if j.canGang() {
		// Rows and columns may be better at first, above all where boxes fill the film exactly.
		best.asPlan = true
		for _, slack := range []float64{0, gangSlack} {
			g := j.newGang(slack)
			l, _ := guillotine.Search(context.Background(), g.frame, g.boxes, guillotine.Options{Quick: true}, nil)
			if l != nil {
				best.offerGang(g, l)
			}
		}
	}
	if best.current() == nil {
		return fmt.Errorf("nest: the first layout did not verify: %w", j.firstFault(p))
	}
	// What concerns all loads together depends on the fixed pieces only: the rest is made so that it holds.
	c := newChecker(j.strip, j.pieces)
	r := best.result()
	c.counts(r)
	c.groups(r)
	if len(c.faults) > 0 {
		return &InputError{"Options.Fixed", c.faults[0].String(), "leave pieces of one group in loads that follow one another, apart from other groups", ErrInvalid}
	}
	return nil
}

// checkFixed verifies the fixed placements by themselves: around bad ones no layout can be made.
func (j *job) checkFixed() error {
	loads := map[int][]Placement{}
	most := 0
	for _, f := range j.fixed {
		loads[f.Load] = append(loads[f.Load], f)
		most = max(most, f.Load)
	}
	c := newChecker(j.strip, j.pieces)
	for n := 1; n <= most; n++ {
		if len(loads[n]) > 0 {
			c.load(n, loads[n])
		}
	}
	if len(c.faults) > 0 {
		return &InputError{"Options.Fixed", c.faults[0].String(), "take the fixed placements out of a layout that verifies for this strip", ErrInvalid}
	}
	return nil
}

// mostGang is the number of copies up to which a first layout is made in rows and columns, too.
const mostGang = 150

// canGang reports whether a layout in rows and columns can be made at once.
func (j *job) canGang() bool {
	return len(j.items) > 0 && len(j.items) <= mostGang && len(j.groups) == 1 && len(j.fixed) == 0 && len(j.strip.Forbidden) == 0 && len(j.strip.Leftover) == 0
}

// firstFault is why a plan is not valid.
func (j *job) firstFault(p *plan) error {
	c := newChecker(j.strip, j.pieces)
	for n := range p.loads {
		l, _ := j.realise(p, n)
		c.load(n+1, l.Placements)
	}
	return &VerifyError{c.faults}
}

// parallel calls f(0) to f(n-1) on a number of goroutines.
func parallel(workers, n int, f func(i int)) {
	if workers <= 1 || n <= 1 {
		for i := range n {
			f(i)
		}
		return
	}
	var wait sync.WaitGroup
	next := make(chan int)
	for range min(workers, n) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := range next {
				f(i)
			}
		}()
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
}
