package tour

import "math"

// mayReverse reports whether the rules let the run [lo, hi] be passed the
// other way round: no stop in it may need another of the run behind it.
func (s *search) mayReverse(lo, hi int32) bool {
	if !s.ruled {
		return true
	}
	if s.after != nil {
		for k := lo; k <= hi; k++ {
			if q := s.after[s.seq[k]]; q >= 0 && s.pos[q] <= hi {
				return false
			}
		}
	}
	if s.p.Window > 0 {
		end := math.Inf(1)
		for k := lo; k <= hi; k++ {
			x := s.seq[k]
			if end+s.p.Window < s.p.MinX[x] {
				return false
			}
			end = math.Min(end, s.p.MaxX[x])
		}
	}
	return true
}

// mayMove reports whether the rules let the run [from, to] come after the run
// [to+1, k]. It looks at the shorter one's links.
func (s *search) mayMove(from, to, k int32) bool {
	if !s.ruled {
		return true
	}
	if s.after != nil {
		if to-from <= k-to {
			for i := from; i <= to; i++ {
				if q := s.after[s.seq[i]]; q >= 0 && s.pos[q] > to && s.pos[q] <= k {
					return false
				}
			}
		} else {
			for i := to + 1; i <= k; i++ {
				for _, q := range s.children[s.seq[i]] {
					if s.pos[q] >= from && s.pos[q] <= to {
						return false
					}
				}
			}
		}
	}
	if s.p.Window > 0 {
		end, begin := math.Inf(1), math.Inf(-1)
		for i := from; i <= to; i++ {
			end = math.Min(end, s.p.MaxX[s.seq[i]])
		}
		for i := to + 1; i <= k; i++ {
			begin = math.Max(begin, s.p.MinX[s.seq[i]])
		}
		if end+s.p.Window < begin {
			return false
		}
	}
	return true
}
