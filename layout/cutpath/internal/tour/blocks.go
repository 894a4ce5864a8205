package tour

import (
	"math"
	"math/rand/v2"
	"time"

	"github.com/vinylgeom/vinyl/outline"
)

// Block is a run of stops that stays as it is: it is entered at In and left at
// Out, and never run backwards.
type Block struct {
	In, Out    outline.Point
	MinX, MaxX float64
}

// blockSpan bounds how far along the order a move of blocks reaches.
const blockSpan = 100

// OrderBlocks returns a short order of the blocks that keeps the window, from
// the given one (which must keep it), and the travel between them.
func OrderBlocks(blocks []Block, from []int, start outline.Point, end *outline.Point, window float64, opt Options) ([]int, float64) {
	s := newBlockSearch(blocks, from, start, end, window)
	m := len(blocks)
	if m < 2 || opt.Trials < 0 {
		return s.order, s.length()
	}
	timed := !opt.Deadline.IsZero()
	ended := func() bool {
		return (timed && !time.Now().Before(opt.Deadline)) || (opt.Stop != nil && opt.Stop())
	}
	for i := range m {
		s.look(i)
	}
	if !s.descend(ended) {
		return s.order, s.length()
	}
	rng := rand.New(rand.NewPCG(opt.Seed, 0x632be59bd9b4e019))
	best := append([]int{}, s.order...)
	length := s.length()
	for trial := 0; trial < opt.Trials && m > 3; trial++ {
		if ended() {
			break
		}
		longest := min(maxKickRun, max(1, m/3))
		l1, l2 := 1+rng.IntN(longest), 1+rng.IntN(longest)
		if l1+l2 > m {
			continue
		}
		i := rng.IntN(m - l1 - l2 + 1)
		if !s.mayFollow(i, i+l1, i+l1+l2) {
			continue
		}
		s.swapRuns(i, i+l1, i+l1+l2)
		s.descend(nil)
		if l := s.length(); l < length-improvement {
			length = l
			copy(best, s.order)
		} else {
			copy(s.order, best)
			s.placed(0, m)
		}
	}
	return best, length
}

type blockSearch struct {
	blocks []Block
	order  []int
	start  outline.Point
	end    *outline.Point
	window float64
	// links[i] is the travel to position i, links[len(order)] to the end.
	links []float64
	// at is the position of each block; queue and queued are the blocks from
	// which a move may have become possible.
	at     []int
	queue  []int
	queued []bool
}

func newBlockSearch(blocks []Block, from []int, start outline.Point, end *outline.Point, window float64) *blockSearch {
	m := len(from)
	s := &blockSearch{blocks: blocks, start: start, end: end, window: window, order: append([]int{}, from...),
		links: make([]float64, m+1), at: make([]int, len(blocks)), queued: make([]bool, len(blocks))}
	s.placed(0, m)
	return s
}

// placed brings positions and links up to date after the blocks at [i, e) have
// changed places.
func (s *blockSearch) placed(i, e int) {
	for k := i; k < e; k++ {
		s.at[s.order[k]] = k
		s.links[k] = s.gap(k-1, k)
	}
	s.links[e] = s.gap(e-1, e)
}

func (s *blockSearch) length() float64 {
	sum := 0.0
	for _, l := range s.links {
		sum += l
	}
	return sum
}

// gap returns the travel from the block at position i to the one at j; -1 is
// the start, len(order) the end.
func (s *blockSearch) gap(i, j int) float64 {
	out := s.start
	if i >= 0 {
		out = s.blocks[s.order[i]].Out
	}
	if j == len(s.order) {
		if s.end == nil {
			return 0
		}
		return d(out, *s.end)
	}
	return d(out, s.blocks[s.order[j]].In)
}

// mayFollow reports whether the window lets the blocks at [i, k) come after
// those at [k, e).
func (s *blockSearch) mayFollow(i, k, e int) bool {
	if s.window <= 0 {
		return true
	}
	end, begin := math.Inf(1), math.Inf(-1)
	for _, b := range s.order[i:k] {
		end = math.Min(end, s.blocks[b].MaxX)
	}
	for _, b := range s.order[k:e] {
		begin = math.Max(begin, s.blocks[b].MinX)
	}
	return end+s.window >= begin
}

// mayReverse is the same for turning the order of [i, e) round.
func (s *blockSearch) mayReverse(i, e int) bool {
	if s.window <= 0 {
		return true
	}
	end := math.Inf(1)
	for _, b := range s.order[i:e] {
		if end+s.window < s.blocks[b].MinX {
			return false
		}
		end = math.Min(end, s.blocks[b].MaxX)
	}
	return true
}

// swapRuns brings the blocks at [i, k) behind those at [k, e).
func (s *blockSearch) swapRuns(i, k, e int) {
	turn(s.order[i:k])
	turn(s.order[k:e])
	turn(s.order[i:e])
	s.placed(i, e)
	s.look(i)
	s.look(i + e - k)
	s.look(e)
}

// turnRun reverses the order of the blocks at [i, e).
func (s *blockSearch) turnRun(i, e int) {
	turn(s.order[i:e])
	s.placed(i, e)
	for k := i; k <= e; k++ { // every link in between is another one, too
		s.look(k)
	}
}

func turn(run []int) {
	for i, j := 0, len(run)-1; i < j; i, j = i+1, j-1 {
		run[i], run[j] = run[j], run[i]
	}
}

// look queues the blocks whose moves use the link to position i: the one there
// and as many before it as a short run is long.
func (s *blockSearch) look(i int) {
	for k := max(0, i-maxSegment); k <= min(i, len(s.order)-1); k++ {
		if b := s.order[k]; !s.queued[b] {
			s.queued[b] = true
			s.queue = append(s.queue, b)
		}
	}
}

// descend makes moves from the queued blocks until there are none that gain;
// false: it was ended before.
func (s *blockSearch) descend(ended func() bool) bool {
	for head := 0; head < len(s.queue); head++ {
		if ended != nil && ended() {
			return false
		}
		b := s.queue[head]
		s.queued[b] = false
		s.moveFrom(s.at[b])
	}
	s.queue = s.queue[:0]
	return true
}

// moveFrom tries every swap of a short run that begins at position i with a run
// beside it, and every turn of a run that begins there.
func (s *blockSearch) moveFrom(i int) {
	m := len(s.order)
	for l := 1; l <= maxSegment && i+l <= m; l++ {
		k := i + l // [i,k) goes behind [k,e), or in front of [b,i)
		saved := s.links[i] + s.links[k] - s.gap(i-1, k)
		for e := k + 1; e <= min(m, k+blockSpan); e++ {
			gain := saved + s.links[e]
			if gain > improvement {
				gain -= s.gap(e-1, i)
			}
			if gain > improvement {
				gain -= s.gap(k-1, e)
			}
			if gain > improvement && s.mayFollow(i, k, e) {
				s.swapRuns(i, k, e)
				saved = s.links[i] + s.links[k] - s.gap(i-1, k)
			}
		}
		for b := i - 1; b >= max(0, i-blockSpan); b-- {
			gain := saved + s.links[b]
			if gain > improvement {
				gain -= s.gap(b-1, i)
			}
			if gain > improvement {
				gain -= s.gap(k-1, b)
			}
			if gain > improvement && s.mayFollow(b, i, k) {
				s.swapRuns(b, i, k)
				saved = s.links[i] + s.links[k] - s.gap(i-1, k)
			}
		}
	}
	forth, back := 0.0, 0.0
	for e := i + 2; e <= min(m, i+blockSpan); e++ {
		forth += s.links[e-1]
		back += s.gap(e-1, e-2)
		gain := s.links[i] + s.links[e] + forth - back
		if gain > improvement {
			gain -= s.gap(i-1, e-1)
		}
		if gain > improvement {
			gain -= s.gap(i, e)
		}
		if gain > improvement && s.mayReverse(i, e) {
			s.turnRun(i, e)
			forth, back = back, forth
		}
	}
}
