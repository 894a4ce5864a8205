package nest

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"github.com/vinylgeom/vinyl/nest/internal/grow"
	"github.com/vinylgeom/vinyl/nest/internal/search"
)

// Shares of the budget: what finding fewer loads may take, and how many tries of the search that should allow.
const (
	repackShare = 0.55
	repackTries = 8
)

// leastTry and mostTry bound the time for one try to fit a set of pieces in one load.
const (
	leastTry = 60 * time.Millisecond
	mostTry  = 4 * time.Second
)

// fillOrders is how many orders of a set of pieces are tried by row filling before the search is asked.
const fillOrders = 12

// fullest is the share of a load's area above which no try is made to fit pieces into it; fullestIrregular is the same for
// the search with shapes other than rectangles, which hardly ever get that dense.
const (
	fullest          = 0.985
	fullestIrregular = 0.9
)

// fitEvaluations is how many orders of rectangles are looked at to fit them in a load.
const fitEvaluations = 5000

// packer finds sets of pieces that fit one load. Sets are lists of kinds, sorted; what is found is remembered.
type packer struct {
	j        *job
	best     *record
	ctx      context.Context
	until    time.Time     // zero: by iterations
	try      time.Duration // for one search
	filler   *filler
	known    map[string]packed
	area     float64   // of a load
	areaOf   []float64 // of the shape of each kind
	searches int
}

// packed is what is known of a set.
type packed struct {
	fits  bool
	poses []search.Pose // for the kinds in sorted order
	tried bool          // by the search, not by row filling alone
}

func (j *job) newPacker(ctx context.Context, best *record) *packer {
	p := &packer{j: j, best: best, ctx: ctx, filler: j.newFiller(), known: map[string]packed{}, area: j.width * j.length}
	for _, k := range j.kinds {
		p.areaOf = append(p.areaOf, grow.Area(k.shape))
	}
	if !best.deadline.IsZero() {
		left := time.Duration(float64(time.Until(best.deadline)) * repackShare)
		p.until = time.Now().Add(left)
		p.try = min(max(left/repackTries, leastTry), mostTry)
	}
	return p
}

// over reports whether the packer's time is up.
func (p *packer) over() bool {
	return p.ctx.Err() != nil || !p.until.IsZero() && time.Now().After(p.until)
}

func setKey(kinds []int) string {
	var b strings.Builder
	for _, k := range kinds {
		fmt.Fprintf(&b, "%d,", k)
	}
	return b.String()
}

// fit looks for a layout of the set, sorted kinds, in an empty load; thorough asks the search if row filling fails.
func (p *packer) fit(kinds []int, thorough bool) (packed, bool) {
	total := 0.0
	for _, k := range kinds {
		total += p.areaOf[k]
	}
	if total > fullest*p.area {
		return packed{}, false
	}
	key := setKey(kinds)
	if known, ok := p.known[key]; ok && (known.fits || known.tried || !thorough) {
		return known, known.fits
	}
	if poses, ok := p.rowFill(kinds, key); ok {
		p.known[key] = packed{fits: true, poses: poses}
		return p.known[key], true
	}
	if !thorough || p.over() {
		if _, ok := p.known[key]; !ok {
			p.known[key] = packed{}
		}
		return packed{}, false
	}
	if list, ok := p.j.rectangles(kinds); ok {
		var deadline time.Time
		if !p.until.IsZero() {
			deadline = time.Now().Add(p.try)
		}
		p.searches++
		poses, fits := p.j.packRectangles(p.ctx, kinds, list, p.j.options.Seed, deadline, fitEvaluations, p.j.options.Workers, p.j.length, p.j.length, nil)
		p.known[key] = packed{tried: true, fits: fits, poses: poses}
		return p.known[key], fits
	}
	if total > fullestIrregular*p.area {
		p.known[key] = packed{tried: true}
		return packed{}, false
	}
	s := &section{kinds: kinds}
	problem, err := p.j.problem(s, true)
	if err != nil {
		return packed{}, false
	}
	o := search.Options{Seed: p.j.options.Seed + uint64(len(p.known))*seedStep, Iterations: p.j.options.Iterations, Workers: p.j.options.Workers}
	if !p.until.IsZero() {
		o.Deadline = time.Now().Add(p.try)
		if o.Deadline.After(p.until) {
			o.Deadline = p.until
		}
	}
	p.searches++
	solution, ok, err := search.Fit(p.ctx, problem, p.j.length, o)
	p.best.count(solution.Iterations)
	if !ok && solution.Iterations == 0 && !p.over() {
		// All the time went into the tables of the search. A set that had no chance is not known not to fit.
		p.try *= 2
		return p.fit(kinds, thorough)
	}
	found := packed{tried: true}
	if ok && (err == nil || len(solution.Poses) == len(kinds)) {
		found.fits, found.poses = true, solution.Poses
		for i := range found.poses {
			found.poses[i].Angle = float64(canonicalRadians(found.poses[i].Angle))
		}
	}
	p.known[key] = found
	return found, found.fits
}

// rowFill tries some orders of a set: largest first, then random ones.
func (p *packer) rowFill(kinds []int, key string) ([]search.Pose, bool) {
	rng := rand.New(rand.NewPCG(p.j.options.Seed, uint64(len(key))))
	order := make([]int, len(kinds))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p.j.sizes[kinds[b]], p.j.sizes[kinds[a]]) })
	poses := make([]search.Pose, len(kinds))
	for range fillOrders {
		area := p.filler.area(0, 0)
		fits := true
		for _, i := range order {
			_, pose, _, ok := p.filler.put(area, item{kinds: kinds[i : i+1]})
			if !ok {
				fits = false
				break
			}
			poses[i] = pose
		}
		if fits {
			return poses, true
		}
		rng.Shuffle(len(order), func(a, b int) { order[a], order[b] = order[b], order[a] })
	}
	return nil, false
}

// canRepack reports whether loads are alike and free, so that sets of pieces may be packed into any of them.
func (j *job) canRepack() bool {
	return !math.IsInf(j.length, 1) && len(j.strip.Leftover) == 0 && len(j.strip.Forbidden) == 0 && len(j.fixed) == 0 && len(j.groups) == 1
}

// fewerLoads looks for a layout in fewer loads: first by sets that can be cut several times, then by emptying loads.
func (j *job) fewerLoads(ctx context.Context, best *record) {
	if n := len(best.current().loads); n < 2 && len(best.current().unplaced) == 0 {
		return
	}
	p := j.newPacker(ctx, best)
	// What the first round finds out about sets serves the second, which tries those that the first one passed over.
	for range 2 {
		if sets := p.bySets(); sets != nil {
			best.offer(p.plan(sets), nil)
		}
		if p.over() {
			return
		}
	}
	p.emptyLoads()
}

// set is a set of kinds, sorted, and how many loads of it there are.
type set struct {
	kinds []int
	loads int
}

// bySets covers all copies by sets of pieces that fit a load, each used as often as there are copies: a set that was
// found with some effort then serves many loads.
func (p *packer) bySets() []set {
	rest := make([]int, len(p.j.kinds)) // copies left, by the first kind of a piece
	left, area := 0, 0.0
	for _, it := range p.j.items {
		rest[it.kinds[0]]++
		left++
		area += p.areaOf[it.kinds[0]]
	}
	var sets []set
	size := 1
	refused := math.MaxInt // the least size that the search has refused: later sets are not tried that large while time is short
	for left > 0 {
		if p.ctx.Err() != nil {
			return nil
		}
		most := min(left, int(fullest*p.area/(area/float64(left))))
		size = max(1, min(size, most))
		// The largest set that row filling can do, then what the search adds to it.
		var found []int
		for n := size; n <= most; n++ {
			kinds := p.compose(rest, n, 0)
			if _, ok := p.fit(kinds, false); !ok {
				break
			}
			found = kinds
		}
		for n := size - 1; found == nil && n > 0; n-- {
			if kinds := p.compose(rest, n, 0); n == 1 {
				found = kinds
			} else if _, ok := p.fit(kinds, false); ok {
				found = kinds
			}
		}
		for n := len(found) + 1; n <= most && n < refused && !p.over(); n++ {
			bigger := false
			for variant := 0; variant < setVariants && !bigger && !p.over(); variant++ {
				kinds := p.compose(rest, n, variant)
				if _, ok := p.fit(kinds, true); ok {
					found, bigger = kinds, true
				}
			}
			if !bigger {
				refused = n
				break
			}
		}
		if _, ok := p.fit(found, true); !ok {
			return nil // even one piece is refused
		}
		size = len(found)
		times := left
		for _, k := range found {
			n := 0
			for _, other := range found {
				if other == k {
					n++
				}
			}
			times = min(times, rest[k]/n)
		}
		sets = append(sets, set{found, times})
		for _, k := range found {
			rest[k] -= times
			left -= times
			area -= float64(times) * p.areaOf[k]
		}
	}
	return sets
}

// setVariants is how many sets of one size are tried before a smaller size is settled for.
const setVariants = 2

// compose chooses a set of n kinds out of what is left: those with most copies left for each one taken, and among these
// large and small ones in turn, so that what stays is as hard to pack as what goes. Other variants start elsewhere.
func (p *packer) compose(rest []int, n, variant int) []int {
	taken := make([]int, len(rest))
	mean, count := 0.0, 0
	for k, r := range rest {
		mean += float64(r) * p.areaOf[k]
		count += r
	}
	mean /= float64(count)
	var kinds []int
	sum := 0.0
	for len(kinds) < n {
		var ties []int
		most := 0.0
		for k, r := range rest {
			if r <= taken[k] {
				continue
			}
			switch share := float64(r) / float64(taken[k]+1); {
			case share > most:
				most, ties = share, []int{k}
			case share == most:
				ties = append(ties, k)
			}
		}
		slices.SortStableFunc(ties, func(a, b int) int { return cmp.Compare(p.areaOf[a], p.areaOf[b]) })
		pick := ties[0]
		switch {
		case len(kinds) == 0 && variant > 0:
			pick = ties[len(ties)*variant/(setVariants+1)]
		case sum <= mean*float64(len(kinds)):
			pick = ties[len(ties)-1]
		}
		kinds = append(kinds, pick)
		taken[pick]++
		sum += p.areaOf[pick]
	}
	slices.Sort(kinds)
	return kinds
}

// plan makes a plan of sets, giving copies out in order.
func (p *packer) plan(sets []set) *plan {
	queue := map[int][]int{}
	for i, it := range p.j.items {
		queue[it.kinds[0]] = append(queue[it.kinds[0]], i)
	}
	out := &plan{}
	load := 0
	for _, s := range sets {
		found := p.known[setKey(s.kinds)]
		for range s.loads {
			if load >= p.j.mostLoads() {
				break
			}
			sec := &section{load: load, kinds: s.kinds, poses: found.poses, extent: p.j.extentOf(s.kinds, found.poses)}
			for _, k := range s.kinds {
				sec.items = append(sec.items, queue[k][0])
				queue[k] = queue[k][1:]
			}
			out.sections = append(out.sections, sec)
			load++
		}
	}
	for _, it := range p.j.items {
		k := it.kinds[0]
		out.unplaced = append(out.unplaced, queue[k]...)
		queue[k] = nil
	}
	return out
}

// emptyLoads takes the emptiest load and tries to bring its pieces into others, as long as there is time and success.
func (p *packer) emptyLoads() {
	for !p.over() {
		cur := p.best.current()
		if len(cur.sections) < 2 {
			return
		}
		area := func(s *section) float64 {
			sum := 0.0
			for _, k := range s.kinds {
				sum += p.areaOf[k]
			}
			return sum
		}
		order := slices.Clone(cur.sections)
		slices.SortStableFunc(order, func(a, b *section) int { return cmp.Compare(area(a), area(b)) })
		victim := order[0]
		free := 0.0
		for _, s := range order[1:] {
			free += fullest*p.area - area(s)
		}
		if free < area(victim) {
			return
		}
		targets := make([]*section, len(order)-1)
		for i, s := range order[1:] {
			c := *s
			targets[i] = &c
		}
		moved := true
		items := slices.Clone(victim.items)
		slices.SortStableFunc(items, func(a, b int) int {
			return cmp.Compare(p.areaOf[p.j.items[b].kinds[0]], p.areaOf[p.j.items[a].kinds[0]])
		})
		for _, i := range items {
			if !p.bring(i, targets) {
				moved = false
				break
			}
		}
		if !moved {
			return
		}
		next := &plan{unplaced: cur.unplaced}
		slices.SortStableFunc(targets, func(a, b *section) int { return cmp.Compare(a.load, b.load) })
		for n, s := range targets {
			s.load = n
			next.sections = append(next.sections, s)
		}
		if !p.best.offer(next, nil) {
			return
		}
	}
}

// bring puts an item into the first target that takes it. It replaces the target's lists, which others may share.
func (p *packer) bring(i int, targets []*section) bool {
	for _, thorough := range []bool{false, true} {
		for _, t := range targets {
			if p.over() {
				return false
			}
			items := append(slices.Clone(t.items), i)
			kinds := append(slices.Clone(t.kinds), p.j.items[i].kinds[0])
			sortByKind(items, kinds)
			if found, ok := p.fit(kinds, thorough); ok {
				t.items, t.kinds, t.poses = items, kinds, found.poses
				t.extent = p.j.extentOf(kinds, found.poses)
				return true
			}
		}
	}
	return false
}

// sortByKind sorts items and their kinds by kind, then by item.
func sortByKind(items, kinds []int) {
	type pair struct{ item, kind int }
	pairs := make([]pair, len(items))
	for i := range items {
		pairs[i] = pair{items[i], kinds[i]}
	}
	slices.SortFunc(pairs, func(a, b pair) int { return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.item, b.item)) })
	for i, q := range pairs {
		items[i], kinds[i] = q.item, q.kind
	}
}
