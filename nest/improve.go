package nest

import (
	"context"
	"errors"
	"math"
	"time"

	"github.com/vinylgeom/vinyl/nest/internal/search"
)

// improve betters the layout until the context ends or the searches have had their passes.
func (j *job) improve(ctx context.Context, best *record) error {
	p := best.current()
	if len(p.sections) == 0 {
		return nil
	}
	return j.shorten(ctx, best)
}

// shorten searches for a shorter layout of every section in turn.
func (j *job) shorten(ctx context.Context, best *record) error {
	for n := range best.current().sections {
		if ctx.Err() != nil {
			return nil
		}
		var deadline time.Time
		if !best.deadline.IsZero() {
			left := time.Until(best.deadline)
			deadline = time.Now().Add(left / time.Duration(len(best.current().sections)-n))
		}
		if err := j.minimise(ctx, best, n, deadline); err != nil {
			return err
		}
	}
	return nil
}

// minimise searches for a shorter layout of section n.
func (j *job) minimise(ctx context.Context, best *record, n int, deadline time.Time) error {
	s := best.current().sections[n]
	problem, err := j.problem(s)
	if err != nil {
		return err
	}
	problem.Start = s.poses
	o := search.Options{Seed: j.options.Seed + uint64(n)*seedStep, Iterations: j.options.Iterations, Workers: j.options.Workers, Deadline: deadline}
	done := 0
	o.Progress = func(p search.Progress) {
		best.count(p.Iterations - done)
		done = p.Iterations
		j.replace(best, n, p.Poses)
	}
	solution, err := search.Minimise(ctx, problem, o)
	best.count(solution.Iterations - done)
	if len(solution.Poses) == len(s.items) {
		j.replace(best, n, solution.Poses)
	}
	var problemError *search.ProblemError
	if errors.As(err, &problemError) {
		// The search is stricter about what fits than the first layout; that one stands.
		return nil
	}
	return nil
}

// seedStep parts the seeds of the searches within one call: the golden ratio in 64 bits.
const seedStep = 0x9e3779b97f4a7c15

// replace offers the best plan with new poses for section n; what follows it in the load moves along.
func (j *job) replace(best *record, n int, poses []search.Pose) bool {
	old := best.current()
	p := &plan{sections: append([]*section{}, old.sections...), unplaced: old.unplaced, loads: append([]Load{}, old.loads...)}
	s := *p.sections[n]
	s.poses = append([]search.Pose{}, poses...)
	for i := range s.poses {
		s.poses[i].Angle = float64(canonicalRadians(s.poses[i].Angle))
	}
	s.extent = j.extentOf(s.kinds, s.poses)
	p.sections[n] = &s
	at := s.offset + s.extent
	for i := n + 1; i < len(p.sections) && p.sections[i].load == s.load; i++ {
		if len(j.strip.Forbidden) > 0 || len(j.fixed) > 0 {
			break // obstacles do not move along
		}
		t := *p.sections[i]
		t.offset = at
		at += t.extent
		p.sections[i] = &t
	}
	return best.offer(p, []int{s.load})
}

var _ = math.Inf
