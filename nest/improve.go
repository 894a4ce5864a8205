package nest

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"github.com/vinylgeom/vinyl/nest/internal/search"
)

// improve betters the layout until the context ends or the searches have had their passes.
func (j *job) improve(ctx context.Context, best *record) error {
	if len(best.current().sections) == 0 {
		return nil
	}
	j.refill(ctx, best)
	if err := j.makeShapes(ctx); err != nil || ctx.Err() != nil {
		return err
	}
	if j.canRepack() {
		j.fewerLoads(ctx, best)
	}
	return j.shorten(ctx, best)
}

// shorten searches for shorter layouts of the sections. Sections that are alike, with the same kinds in the same room, are
// searched once. Where there are several, each is searched by one worker, as many at a time as there are workers.
func (j *job) shorten(ctx context.Context, best *record) error {
	var alike [][]int
	index := map[string]int{}
	for n, s := range best.current().sections {
		key := fmt.Sprintf("%d %v %v", s.group, s.offset, setKey(s.kinds))
		if len(j.fixed) > 0 || !slices.IsSorted(s.kinds) {
			key = fmt.Sprint(n)
		}
		i, seen := index[key]
		if !seen {
			i = len(alike)
			index[key] = i
			alike = append(alike, nil)
		}
		alike[i] = append(alike[i], n)
	}
	// What follows in a load moves along when a section before it gets shorter, so these are searched one after another.
	together := len(alike) > 1 && len(alike) >= j.options.Workers && len(best.current().sections) == len(best.current().loads)
	workers, each := 1, j.options.Workers
	if together {
		workers, each = j.options.Workers, 1
	}
	errs := make([]error, len(alike))
	parallel(workers, len(alike), func(i int) {
		if ctx.Err() != nil {
			return
		}
		var deadline time.Time
		if !best.deadline.IsZero() {
			rounds := (len(alike) - i + workers - 1) / workers
			deadline = time.Now().Add(time.Until(best.deadline) / time.Duration(rounds))
		}
		errs[i] = j.minimise(ctx, best, alike[i], deadline, each)
	})
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// seedStep parts the seeds of the searches within one call: the golden ratio in 64 bits.
const seedStep = 0x9e3779b97f4a7c15

// littleTime is for how short a search coarse shapes are better than fine ones.
const littleTime = 1500 * time.Millisecond

// minimise searches for a shorter layout of the sections alike, which have the same kinds.
func (j *job) minimise(ctx context.Context, best *record, alike []int, deadline time.Time, workers int) error {
	s := *best.current().sections[alike[0]]
	seed := j.options.Seed + uint64(alike[0])*seedStep
	if !j.mayFlip(s.items) {
		return j.minimiseAs(ctx, best, alike, s, seed, deadline, workers)
	}
	// The search takes a copy either as it is or mirrored, so which is which is tried in a few rounds.
	rng := rand.New(rand.NewPCG(seed, 0xa0761d6478bd642f))
	for round := range flipRounds {
		if ctx.Err() != nil {
			return nil
		}
		until := deadline
		if !deadline.IsZero() {
			until = time.Now().Add(time.Until(deadline) / time.Duration(flipRounds-round))
		}
		if err := j.minimiseAs(ctx, best, alike, s, seed+uint64(round), until, workers); err != nil {
			return err
		}
		s = *best.current().sections[alike[0]]
		s.kinds = slices.Clone(s.kinds)
		for i, it := range s.items {
			if kinds := j.items[it].kinds; len(kinds) > 1 && rng.IntN(2) == 0 {
				s.kinds[i] = kinds[0] + kinds[1] - s.kinds[i]
				s.poses = nil // begin anew
			}
		}
	}
	return nil
}

// flipRounds is how many choices of mirrored copies are tried.
const flipRounds = 4

// mayFlip reports whether some of the items may be mirrored or not.
func (j *job) mayFlip(items []int) bool {
	return slices.ContainsFunc(items, func(i int) bool { return len(j.items[i].kinds) > 1 })
}

// minimiseAs searches for a shorter layout of the sections alike with the kinds of s, beginning with its poses if it has any.
func (j *job) minimiseAs(ctx context.Context, best *record, alike []int, s section, seed uint64, deadline time.Time, workers int) error {
	if !deadline.IsZero() && time.Until(deadline) <= best.took {
		return nil // another layout could not even be verified
	}
	problem, err := j.problem(&s, !deadline.IsZero() && time.Until(deadline) < littleTime)
	if err != nil {
		return err
	}
	if list, ok := j.rectangles(s.kinds); ok && len(problem.Obstacles) == 0 {
		poses, found := j.packRectangles(ctx, s.kinds, list, seed, deadline, j.options.Iterations*evaluationsPerPass, workers, j.room(s.offset), 0,
			func(poses []search.Pose) { j.replace(best, alike, s.kinds, poses) })
		if found {
			j.replace(best, alike, s.kinds, poses)
		}
		return nil
	}
	problem.Start = s.poses
	least := j.leastExtent(s.kinds) * (1 + enoughOver)
	if s.poses != nil && s.extent <= least {
		return nil
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	o := search.Options{Seed: seed, Iterations: j.options.Iterations, Workers: workers, Deadline: deadline}
	if !deadline.IsZero() {
		o.Deadline = deadline.Add(-best.took) // the last layout is verified, too
	}
	done := 0
	o.Progress = func(p search.Progress) {
		best.count(p.Iterations - done)
		done = p.Iterations
		j.replace(best, alike, s.kinds, p.Poses)
		if p.Length <= least {
			stop()
		}
	}
	// An error is no more than the search being stricter about what fits than the first layout, which then stands.
	solution, _ := search.Minimise(ctx, problem, o)
	best.count(solution.Iterations - done)
	if len(solution.Poses) == len(s.items) {
		j.replace(best, alike, s.kinds, solution.Poses)
	}
	return nil
}

// enoughOver is how near to the least extent, as a share of it, a layout is as short as it can be.
const enoughOver = 1e-9

// leastExtent is a length that no layout of the kinds can beat: by area, or by the longest shape as it may lie.
func (j *job) leastExtent(kinds []int) float64 {
	area, longest := 0.0, 0.0
	for _, k := range kinds {
		kd := &j.kinds[k]
		area += kd.area
		hull := hullOf(kd.outline)
		shortest := hull.leastWidth().width
		if kd.angles != nil {
			shortest = math.Inf(1)
			for _, a := range kd.angles {
				w, _ := hull.size(a)
				shortest = min(shortest, w)
			}
		}
		longest = max(longest, shortest+2*j.reach)
	}
	return max(longest, area/j.width)
}

// replace offers the best plan with new kinds and poses for the sections alike; what follows them in their loads moves along.
func (j *job) replace(best *record, alike, kinds []int, poses []search.Pose) bool {
	best.updating.Lock()
	defer best.updating.Unlock()
	old := best.current()
	p := &plan{sections: slices.Clone(old.sections), unplaced: old.unplaced, loads: slices.Clone(old.loads)}
	rounded := slices.Clone(poses)
	for i := range rounded {
		rounded[i].Angle = float64(canonicalRadians(rounded[i].Angle))
	}
	var changed []int
	for _, n := range alike {
		s := *p.sections[n]
		s.kinds, s.poses = kinds, rounded
		s.extent = j.extentOf(s.kinds, s.poses)
		p.sections[n] = &s
		changed = append(changed, s.load)
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
	}
	return best.offer(p, changed)
}
