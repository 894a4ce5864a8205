package outline

// step tells how a monotone run from y0 to y1 crosses the height y.
func step(y0, y1, y float64) int {
	switch {
	case y0 <= y && y < y1:
		return 1
	case y1 <= y && y < y0:
		return -1
	}
	return 0
}

// extremesY appends the sorted parameters inside the segment at which y is
// extreme.
func (s *Segment) extremesY(start Point, ts []float64) []float64 {
	switch s.Kind {
	case Quad:
		if t := ratio(start.Y-s.C1.Y, start.Y-2*s.C1.Y+s.End.Y); t > 0 && t < 1 {
			ts = append(ts, t)
		}
	case Cubic:
		ts = cubicExtremes(start.Y, s.C1.Y, s.C2.Y, s.End.Y, ts)
		if len(ts) == 2 && ts[0] > ts[1] {
			ts[0], ts[1] = ts[1], ts[0]
		}
	}
	return ts
}

// maxRootSteps bounds the search for a parameter; false position needs some ten
// steps, bisection alone 53.
const maxRootSteps = 100

// parameterAtY returns the parameter at which the segment, monotone in y over
// [t0, t1] with heights y0 and y1 at its ends, is at height y: by the Illinois
// form of the rule of false position, down to the last bit of t (Dowell and
// Jarratt, BIT 11, 1971).
func (s *Segment) parameterAtY(start Point, t0, t1, y0, y1, y float64) float64 {
	f0, f1 := y0-y, y1-y
	if f0 == 0 {
		return t0
	}
	if f1 == 0 {
		return t1
	}
	side := 0
	t := t1
	for range maxRootSteps {
		t = (t0*f1 - t1*f0) / (f1 - f0)
		if !(t > t0 && t < t1) {
			t = t0 + (t1-t0)/2
			if t == t0 || t == t1 {
				break
			}
		}
		f := s.At(start, t).Y - y
		switch {
		case f == 0:
			return t
		case (f < 0) == (f0 < 0):
			t0, f0 = t, f
			if side == -1 {
				f1 /= 2
			}
			side = -1
		default:
			t1, f1 = t, f
			if side == 1 {
				f0 /= 2
			}
			side = 1
		}
	}
	return t
}

// meetX appends the parameters strictly inside the segment at which its x is
// the given one.
func (s *Segment) meetX(start Point, at float64, ts []float64) []float64 {
	// Mirrored at the diagonal, so that the extremes of y part it.
	m := Segment{Kind: s.Kind, C1: Point{s.C1.Y, s.C1.X}, C2: Point{s.C2.Y, s.C2.X}, End: Point{s.End.Y, s.End.X}}
	return m.meetY(Point{start.Y, start.X}, at, ts)
}

func (s *Segment) meetY(start Point, at float64, ts []float64) []float64 {
	var buffer [5]float64
	cuts := s.extremesY(start, buffer[:0])
	t0, a := 0.0, start.Y
	for _, t1 := range append(cuts, 1) {
		b := s.At(start, t1).Y
		if d := step(a, b, at); d != 0 && a != at {
			if t := s.parameterAtY(start, t0, t1, a, b, at); t > 0 && t < 1 {
				ts = append(ts, t)
			}
		} else if b == at && t1 < 1 {
			ts = append(ts, t1)
		}
		t0, a = t1, b
	}
	return ts
}
