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
// the given one (which must keep it), and the travel between them. One trial
// stands for as much work as a trial of Solve per block.
func OrderBlocks(blocks []Block, from []int, start outline.Point, end *outline.Point, window float64, opt Options) ([]int, float64) {
	s := &blockSearch{blocks: blocks, start: start, end: end, window: window, order: append([]int{}, from...)}
	m := len(blocks)
	if m < 2 || opt.Trials < 0 {
		return s.order, s.length()
	}
	timed := !opt.Deadline.IsZero()
	ended := func() bool {
		return (timed && !time.Now().Before(opt.Deadline)) || (opt.Stop != nil && opt.Stop())
	}
	for s.pass() {
		if ended() {
			return s.order, s.length()
		}
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
		rotate(s.order[i:i+l1+l2], l1)
		for s.pass() {
		}
		if l := s.length(); l < length-improvement {
			length = l
			copy(best, s.order)
		} else {
			copy(s.order, best)
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
}

func (s *blockSearch) length() float64 {
	sum := 0.0
	for i := range len(s.order) + 1 {
		sum += s.gap(i-1, i)
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

// rotate brings the first k of run behind the rest.
func rotate(run []int, k int) {
	turn(run[:k])
	turn(run[k:])
	turn(run)
}

func turn(run []int) {
	for i, j := 0, len(run)-1; i < j; i, j = i+1, j-1 {
		run[i], run[j] = run[j], run[i]
	}
}

// pass tries every swap of two neighbouring runs, one of them short, and every
// turn of a run; it reports whether any move was made.
func (s *blockSearch) pass() bool {
	m := len(s.order)
	moved := false
	for i := 0; i < m; i++ {
		for l := 1; l <= maxSegment && i+l < m; l++ {
			k := i + l // [i,k) behind [k,e), or in front of [e,i)
			for e := k + 1; e <= min(m, k+blockSpan); e++ {
				gain := s.gap(i-1, i) + s.gap(k-1, k) + s.gap(e-1, e) - s.gap(i-1, k) - s.gap(e-1, i) - s.gap(k-1, e)
				if gain > improvement && s.mayFollow(i, k, e) {
					rotate(s.order[i:e], l)
					moved = true
				}
			}
			for b := i - 1; b >= max(0, i-blockSpan); b-- {
				gain := s.gap(b-1, b) + s.gap(i-1, i) + s.gap(k-1, k) - s.gap(b-1, i) - s.gap(k-1, b) - s.gap(i-1, k)
				if gain > improvement && s.mayFollow(b, i, k) {
					rotate(s.order[b:k], i-b)
					moved = true
				}
			}
		}
		forth, back := 0.0, 0.0
		for e := i + 2; e <= min(m, i+blockSpan); e++ {
			forth += s.gap(e-2, e-1)
			back += s.gap(e-1, e-2)
			gain := s.gap(i-1, i) + s.gap(e-1, e) + forth - s.gap(i-1, e-1) - s.gap(i, e) - back
			if gain > improvement && s.mayReverse(i, e) {
				turn(s.order[i:e])
				forth, back = back, forth
				moved = true
			}
		}
	}
	return moved
}
