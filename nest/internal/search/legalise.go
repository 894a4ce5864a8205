package search

import "math"

const (
	// legaliseRounds bounds the programs that pull one layout apart.
	legaliseRounds = 12
	// legaliseGain: a round that leaves more than this share of the overlap is
	// not worth another one.
	legaliseGain = 0.9
	// legaliseShare: layouts in which more than this share of the pieces
	// overlap are not tried.
	legaliseShare = 0.5
)

// legalise moves all pieces at once to remove the overlaps of an almost valid
// layout, letting the strip grow as little as needed, and reports whether
// nothing overlaps any more and the strip is shorter than limit.
func (s *shortener) legalise(w *world, a layout, limit float64) bool {
	if w.n > programPieces {
		return false
	}
	trust := trustShare * w.minSide
	tol := contactTolerance * w.width
	wide := map[[2]int]int{}
	var off []float64
	last := math.Inf(1)
	for range legaliseRounds {
		s.list, _ = w.separations(a, 0, trust, s.list)
		clear(wide)
		off = off[:0]
		for _, c := range s.list {
			if c.slack >= -tol {
				continue
			}
			k, ok := wide[[2]int{c.i, c.j}]
			if !ok {
				k = len(off)
				wide[[2]int{c.i, c.j}] = k
				off = append(off, 0)
			}
			off[k] = max(off[k], -c.slack)
		}
		if len(off) == 0 {
			return w.extent(a) < limit
		}
		sum := 0.0
		for _, o := range off {
			sum += o
		}
		if sum > legaliseGain*last || float64(len(off)) > legaliseShare*float64(w.n) {
			return false
		}
		last = sum
		s.solve(w, a, 0, s.list, trust, wide, off, 0)
		if s.stop != nil && s.stop() {
			return false
		}
	}
	return false
}
