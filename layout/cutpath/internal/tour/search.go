package tour

import (
	"math"
	"math/rand/v2"
	"time"

	"github.com/vinylgeom/vinyl/outline"
)

const (
	// neighbourCount is the length of the lists that moves are taken from.
	neighbourCount = 10
	// maxSegment is the longest run that Or-opt moves.
	maxSegment = 3
	// maxKickRun is the longest run that a kick swaps, so that what has to be
	// mended stays in one place.
	maxKickRun = 50
	// maxRepairRun bounds the reversals that mend a kick; the first descent
	// has no bound.
	maxRepairRun = 1000
	// improvement is the least gain, in millimetres, that counts as one:
	// anything smaller may be rounding and would let the search run in circles.
	improvement = 1e-7
	// clockEvery is the number of trials between looks at the clock.
	clockEvery = 64
)

// Solve returns a short way through the stops that keeps the rules, starting
// its search from the given way (nil: nearest neighbour), and its length. The
// result is the same for the same problem, way, Trials and Seed unless Deadline
// or Stop ends it. It returns nil where the rules contradict one another.
func Solve(p *Problem, from []Visit, opt Options) ([]Visit, float64) {
	if from == nil {
		from = nearestNeighbour(p)
	}
	if len(from) == 0 || len(from) != len(p.A) {
		return nil, 0
	}
	if opt.Trials < 0 {
		return from, p.Length(from)
	}
	s := newSearch(p, from)
	s.run(opt)
	way := s.way()
	return way, p.Length(way)
}

// search is the state of one Solve. Stops 0..n-1 are the problem's, n is the
// start and n+1 the end; both stay where they are.
type search struct {
	p       *Problem
	n       int
	seq     []int32 // position -> stop; position 0 is the start, n+1 the end
	pos     []int32 // stop -> position
	in, out []outline.Point
	flip    []bool
	place   []int32
	cost    []float64       // of the places as they are chosen
	middle  []outline.Point // of the circles round the places
	radius  []float64
	open    bool // some stop has two ends
	placed  bool // some stop has places
	free    bool // the end is wherever the last stop is

	ruled    bool
	after    []int32
	children [][]int32

	near    [][]int32
	queue   []int32
	queued  []bool
	length  float64
	maxRun  int
	journal [][2]int32 // since the last kick: reversals, and ^stop with its place before
	record  bool
}

func newSearch(p *Problem, from []Visit) *search {
	n := len(p.A)
	s := &search{p: p, n: n, near: neighbours(p, neighbourCount), free: p.End == nil,
		seq: make([]int32, n+2), pos: make([]int32, n+2), in: make([]outline.Point, n+2), out: make([]outline.Point, n+2),
		flip: make([]bool, n+2), place: make([]int32, n+2), cost: make([]float64, n+2), queued: make([]bool, n+2), maxRun: n}
	s.seq[0], s.seq[n+1] = int32(n), int32(n+1)
	s.pos[n], s.pos[n+1] = 0, int32(n+1)
	s.in[n], s.out[n] = p.Start, p.Start
	if p.End != nil {
		s.in[n+1], s.out[n+1] = *p.End, *p.End
	}
	for i, v := range from {
		s.seq[i+1], s.pos[v.Stop] = int32(v.Stop), int32(i+1)
		s.in[v.Stop], s.out[v.Stop] = p.ends(v)
		s.flip[v.Stop] = v.Flip
		if p.A[v.Stop] != p.B[v.Stop] {
			s.open = true
		} else if p.Places != nil && len(p.Places[v.Stop]) > 1 {
			s.placed = true
			s.place[v.Stop], s.cost[v.Stop] = int32(v.Place), p.Costs[v.Stop][v.Place]
		}
	}
	if p.After != nil {
		s.after = make([]int32, n)
		s.children = make([][]int32, n)
		for i, q := range p.After {
			s.after[i] = int32(q)
			if q >= 0 {
				s.ruled = true
				s.children[q] = append(s.children[q], int32(i))
			}
		}
	}
	if p.Window > 0 {
		s.ruled = true
	}
	if s.placed {
		s.surround()
	}
	s.length = p.Length(from) // and the places' costs, which only ever count by differences
	return s
}

func (s *search) way() []Visit {
	w := make([]Visit, s.n)
	for i := range w {
		stop := s.seq[i+1]
		w[i] = Visit{int(stop), s.flip[stop], int(s.place[stop])}
	}
	return w
}

// d returns the distance between two places.
func d(a, b outline.Point) float64 {
	x, y := a.X-b.X, a.Y-b.Y
	return math.Sqrt(x*x + y*y)
}

// gap returns the travel from stop a to stop b as they lie.
func (s *search) gap(a, b int32) float64 {
	if s.free && int(b) == s.n+1 {
		return 0
	}
	return d(s.out[a], s.in[b])
}

// to returns the travel from place q to the entry of stop b.
func (s *search) to(q outline.Point, b int32) float64 {
	if s.free && int(b) == s.n+1 {
		return 0
	}
	return d(q, s.in[b])
}

func (s *search) push(stop int32) {
	if !s.queued[stop] && int(stop) <= s.n {
		s.queued[stop] = true
		s.queue = append(s.queue, stop)
	}
}

func (s *search) run(opt Options) {
	rng := rand.New(rand.NewPCG(opt.Seed, 0x9e3779b97f4a7c15))
	for i := 0; i <= s.n; i++ {
		s.push(s.seq[i])
	}
	timed := !opt.Deadline.IsZero()
	ended := func() bool {
		return (timed && !time.Now().Before(opt.Deadline)) || (opt.Stop != nil && opt.Stop())
	}
	if !s.descend(ended) || s.n < 3 {
		return
	}
	s.maxRun = maxRepairRun
	s.record = true
	for trial := 0; trial < opt.Trials; trial++ {
		if trial%clockEvery == 0 && ended() {
			return
		}
		before := s.length
		s.journal = s.journal[:0]
		if !s.kick(rng) {
			continue
		}
		s.descend(nil)
		if s.length > before {
			for i := len(s.journal) - 1; i >= 0; i-- {
				if x := s.journal[i][0]; x < 0 {
					s.put(^x, s.journal[i][1])
				} else {
					s.swing(x, s.journal[i][1])
				}
			}
			s.length = before
		}
	}
}

// descend improves until no stop in the queue has an improving move; ended, if
// not nil, is asked now and then. It reports whether it came to the end.
func (s *search) descend(ended func() bool) bool {
	for head, steps := 0, 0; head < len(s.queue); head++ {
		a := s.queue[head]
		s.queued[a] = false
		for s.improve(a) {
		}
		if steps++; ended != nil && steps%(clockEvery*4) == 0 && ended() {
			for _, b := range s.queue[head+1:] {
				s.queued[b] = false
			}
			s.queue = s.queue[:0]
			return false
		}
		if head > 4*s.n {
			s.queue = append(s.queue[:0], s.queue[head+1:]...)
			head = -1
		}
	}
	s.queue = s.queue[:0]
	return true
}

// improve makes one improving move at stop a, if there is one.
func (s *search) improve(a int32) bool {
	if int(a) > s.n {
		return false
	}
	return s.improvePlace(a) || s.improve2opt(a) || s.improveOr(a)
}

func (s *search) improve2opt(a int32) bool {
	i := s.pos[a]
	list := s.nearOf(a)
	na := s.seq[i+1]
	d0 := s.gap(a, na)
	for _, c := range list {
		d1 := d(s.out[a], s.out[c])
		if d1 >= d0 {
			if s.open || s.placed {
				continue // the list is not in the order of these distances
			}
			break
		}
		j := s.pos[c]
		nc := s.seq[j+1]
		delta := d1 - d0 - s.gap(c, nc)
		if delta >= -improvement {
			continue
		}
		lo, hi := i+1, j
		if j < i {
			lo, hi = j+1, i
		}
		if int(hi-lo) >= s.maxRun {
			continue
		}
		// The later of the two edges may lead to a free end.
		if j < i {
			delta += s.to(s.in[nc], na)
		} else {
			delta += s.to(s.in[na], nc)
		}
		if delta < -improvement && s.mayReverse(lo, hi) {
			s.reverse(lo, hi)
			s.length += delta
			s.push(a)
			s.push(c)
			s.push(na)
			s.push(nc)
			return true
		}
	}
	if i == 0 {
		return false
	}
	pa := s.seq[i-1]
	d0 = s.gap(pa, a)
	for _, c := range list {
		d1 := d(s.in[a], s.in[c])
		if d1 >= d0 {
			if s.open || s.placed {
				continue // the list is not in the order of these distances
			}
			break
		}
		j := s.pos[c]
		pc := s.seq[j-1]
		delta := d1 + d(s.out[pa], s.out[pc]) - d0 - s.gap(pc, c)
		if delta >= -improvement {
			continue
		}
		lo, hi := i, j-1
		if j < i {
			lo, hi = j, i-1
		}
		if int(hi-lo) < s.maxRun && s.mayReverse(lo, hi) {
			s.reverse(lo, hi)
			s.length += delta
			s.push(a)
			s.push(c)
			s.push(pa)
			s.push(pc)
			return true
		}
	}
	return false
}

func (s *search) nearOf(a int32) []int32 {
	if int(a) < s.n {
		return s.near[a]
	}
	return nil
}

// improveOr moves a run of up to maxSegment stops that begins or ends at a
// next to one of a's neighbours.
func (s *search) improveOr(a int32) bool {
	if int(a) >= s.n {
		return false
	}
	if s.improvePlacedOr(a) {
		return true
	}
	i := s.pos[a]
	for l := int32(0); l < maxSegment; l++ {
		for side := range 2 {
			from, to := i, i+l // a at the front
			if side == 1 {
				if l == 0 {
					break
				}
				from, to = i-l, i // a at the back
			}
			if from < 1 || int(to) > s.n {
				continue
			}
			f, t := s.seq[from], s.seq[to]
			pf, nt := s.seq[from-1], s.seq[to+1]
			saved := s.gap(pf, f) + s.gap(t, nt) - s.gap(pf, nt)
			if saved <= improvement {
				continue
			}
			for _, c := range s.near[a] {
				j := s.pos[c]
				if j >= from && j <= to {
					continue
				}
				dc := min(d(s.out[c], s.in[a]), d(s.in[c], s.in[a]), d(s.out[c], s.out[a]), d(s.in[c], s.out[a]))
				if dc >= saved {
					if s.open || s.placed {
						continue
					}
					break
				}
				// After c, with a next to it.
				nc := s.seq[j+1]
				if j != from-1 {
					old := s.gap(c, nc)
					var added float64
					if side == 0 {
						added = d(s.out[c], s.in[a]) + s.to(s.out[t], nc)
					} else {
						added = d(s.out[c], s.out[a]) + s.to(s.in[f], nc)
					}
					if added-old-saved < -improvement && s.moveRun(from, to, j, side == 1) {
						s.length += added - old - saved
						s.pushAll(pf, nt, f, t, c, nc)
						return true
					}
					if l == 0 && s.open {
						added = d(s.out[c], s.out[a]) + s.to(s.in[a], nc)
						if added-old-saved < -improvement && s.moveRun(from, to, j, true) {
							s.length += added - old - saved
							s.pushAll(pf, nt, f, t, c, nc)
							return true
						}
					}
				}
				// Before c, with a next to it.
				if j != to+1 {
					pc := s.seq[j-1]
					old := s.gap(pc, c)
					var added float64
					if side == 0 {
						added = d(s.out[pc], s.out[t]) + d(s.in[a], s.in[c])
					} else {
						added = d(s.out[pc], s.in[f]) + d(s.out[a], s.in[c])
					}
					if added-old-saved < -improvement && s.moveRun(from, to, j-1, side == 0) {
						s.length += added - old - saved
						s.pushAll(pf, nt, f, t, c, pc)
						return true
					}
					if l == 0 && s.open {
						added = d(s.out[pc], s.in[a]) + d(s.out[a], s.in[c])
						if added-old-saved < -improvement && s.moveRun(from, to, j-1, false) {
							s.length += added - old - saved
							s.pushAll(pf, nt, f, t, c, pc)
							return true
						}
					}
				}
			}
		}
	}
	return false
}

func (s *search) pushAll(stops ...int32) {
	for _, x := range stops {
		s.push(x)
	}
}

// moveRun puts the run [from, to] behind the stop at position k, turned round
// if turn is set, where the rules and the bound on work allow.
func (s *search) moveRun(from, to, k int32, turn bool) bool {
	l := to - from + 1
	if k > to {
		if int(k-from) >= s.maxRun || !s.mayMove(from, to, k) || (turn && !s.mayReverse(from, to)) {
			return false
		}
		// [run][middle] -> reversed: [elddim][nur]
		s.reverse(from, k)
		s.reverse(from, k-l)
		if !turn {
			s.reverse(k-l+1, k)
		}
		return true
	}
	if int(to-k) >= s.maxRun || !s.mayMove(k+1, from-1, to) || (turn && !s.mayReverse(from, to)) {
		return false
	}
	// [middle][run] -> reversed: [nur][elddim]
	s.reverse(k+1, to)
	s.reverse(k+1+l, to)
	if !turn {
		s.reverse(k+1, k+l)
	}
	return true
}

// kick swaps two neighbouring runs at a random place: a double bridge.
func (s *search) kick(rng *rand.Rand) bool {
	longest := int32(min(maxKickRun, max(1, s.n/3)))
	l1, l2 := 1+rng.Int32N(longest), 1+rng.Int32N(longest)
	if int(l1+l2) > s.n {
		return false
	}
	from := 1 + rng.Int32N(int32(s.n)-l1-l2+1)
	mid, to := from+l1-1, from+l1+l2-1
	if s.ruled && !s.mayMove(from, mid, to) {
		return false
	}
	a, b, c, e := s.seq[from-1], s.seq[from], s.seq[mid], s.seq[mid+1]
	f, g := s.seq[to], s.seq[to+1]
	s.length += s.gap(a, e) + s.gap(f, b) + s.gap(c, g) - s.gap(a, b) - s.gap(c, e) - s.gap(f, g)
	s.reverse(from, to)
	s.reverse(from, from+l2-1)
	s.reverse(from+l2, to)
	s.pushAll(a, b, c, e, f, g)
	return true
}

// reverse turns round the run [lo, hi] and remembers it for undoing.
func (s *search) reverse(lo, hi int32) {
	if s.record {
		s.journal = append(s.journal, [2]int32{lo, hi})
	}
	s.swing(lo, hi)
}

func (s *search) swing(lo, hi int32) {
	if s.open {
		for k := lo; k <= hi; k++ {
			x := s.seq[k]
			s.in[x], s.out[x] = s.out[x], s.in[x]
			s.flip[x] = !s.flip[x]
		}
	}
	for lo < hi {
		x, y := s.seq[lo], s.seq[hi]
		s.seq[lo], s.seq[hi] = y, x
		s.pos[y], s.pos[x] = lo, hi
		lo++
		hi--
	}
	if lo == hi {
		s.pos[s.seq[lo]] = lo
	}
}
