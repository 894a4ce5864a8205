package outline

// spurReach bounds, in tolerances, how long a line back may be that is taken for
// a spur: beyond a cusp an offset curve runs back by a few tolerances at most
// before chords of it tell.
const spurReach = 16

// withoutSpurs returns c without lines that run back along the segment before
// them, only for the next to go forward again: what an offset curve does between
// two cusps that chords step over. The segment before ends where the line led.
// c is not modified.
func withoutSpurs(c Contour, tolerance float64) Contour {
	out := Contour{Start: c.Start, Segments: make([]Segment, 0, len(c.Segments))}
	starts := make([]Point, 0, len(c.Segments)) // of out's segments
	at := c.Start
	for i, s := range c.Segments {
		k := len(out.Segments) - 1
		way := s.End.Sub(at)
		if k >= 0 && i+1 < len(c.Segments) && s.Kind == Line && way.Norm() <= spurReach*tolerance {
			before := &out.Segments[k]
			forward := c.Segments[i+1].Direction(s.End, 0)
			if before.Direction(starts[k], 1).Dot(way) < 0 && forward.Dot(way) < 0 && before.endAt(starts[k], s.End, tolerance) {
				at = s.End
				continue
			}
		}
		starts = append(starts, at)
		out.Segments = append(out.Segments, s)
		at = s.End
	}
	return out
}

// endAt shortens the segment so that it ends at p, near which it passes; it
// reports false, and leaves the segment, where it does not pass within tolerance.
func (s *Segment) endAt(start, p Point, tolerance float64) bool {
	near := Curve{Start: start, Segments: []Segment{*s}}.Nearest(p)
	if near.T <= 0 || float64(near.Distance) > tolerance {
		return false
	}
	first, _ := s.Split(start, near.T)
	by := p.Sub(first.End)
	first.C1, first.C2, first.End = first.C1.Add(by.Mul(1.0/3)), first.C2.Add(by), p
	if first.Kind == Line {
		first.C1, first.C2 = Point{}, Point{}
	}
	*s = first
	return true
}
