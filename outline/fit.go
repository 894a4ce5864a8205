package outline

import "math"

// fitHermite fits one cubic from a to b, with end tangents along d0 and d1 in
// running direction, to points in between, handle lengths by least squares with
// repeated projection (Schneider, "An algorithm for automatically fitting
// digitized curves", Graphics Gems, 1990). ts are the parameters nearest to the
// points. ok is false where a point is further than tolerance from the cubic.
func fitHermite(a, b, d0, d1 Point, points []Point, tolerance float64) (s Segment, ts []float64, ok bool) {
	u0, _ := d0.unit()
	u1, _ := d1.unit()
	n := len(points)
	ts = make([]float64, n)
	// Chord length first.
	at, sum := a, 0.0
	for i, p := range points {
		sum += at.Distance(p)
		ts[i] = sum
		at = p
	}
	sum += at.Distance(b)
	if sum == 0 {
		return Segment{End: b}, ts, true
	}
	for i := range ts {
		ts[i] /= sum
	}
	span := a.Distance(b)
	for round := range fitRounds {
		h0, h1 := fitHandles(a, b, u0, u1, points, ts)
		// Handles that run backwards or far beyond the points make loops.
		if !(h0 > 0 && h1 > 0 && h0 < 4*sum && h1 < 4*sum) {
			h0, h1 = span/3, span/3
		}
		s = CubicTo(a.Add(u0.Mul(h0)), b.Sub(u1.Mul(h1)), b)
		worst := 0.0
		for i, p := range points {
			ts[i] = s.project(a, p, ts[i])
			d := s.At(a, ts[i]).Sub(p)
			worst = max(worst, d.Dot(d))
		}
		worst = math.Sqrt(worst)
		if worst <= tolerance {
			return s, ts, true
		}
		if round == 0 && worst > giveUp*tolerance {
			return s, ts, false
		}
	}
	return s, ts, false
}

const (
	// fitRounds is how often parameters are projected anew before a fit fails.
	fitRounds = 4
	// giveUp is the deviation, in tolerances, from which better parameters do not
	// rescue a fit.
	giveUp = 16
)

// fitHandles returns the lengths of the two handles that bring the cubic nearest to
// points at parameters ts, in the sense of least squares.
func fitHandles(a, b, u0, u1 Point, points []Point, ts []float64) (h0, h1 float64) {
	var c00, c01, c11, x0, x1 float64
	for i, p := range points {
		t := ts[i]
		v := 1 - t
		b0, b1, b2, b3 := v*v*v, 3*v*v*t, 3*v*t*t, t*t*t
		e0, e1 := u0.Mul(b1), u1.Mul(-b2)
		rest := p.Sub(a.Mul(b0 + b1)).Sub(b.Mul(b2 + b3))
		c00 += e0.Dot(e0)
		c01 += e0.Dot(e1)
		c11 += e1.Dot(e1)
		x0 += e0.Dot(rest)
		x1 += e1.Dot(rest)
	}
	det := c00*c11 - c01*c01
	return (x0*c11 - x1*c01) / det, (x1*c00 - x0*c01) / det
}

// project returns the parameter of the point of s near t that is nearest to p,
// by two Newton steps.
func (s Segment) project(start, p Point, t float64) float64 {
	for range 2 {
		d := s.At(start, t).Sub(p)
		v, w := s.Derivative(start, t), s.second(start, t)
		f, g := d.Dot(v), v.Dot(v)+d.Dot(w)
		if !(g > 0) {
			break
		}
		t = math.Min(1, math.Max(0, t-f/g))
	}
	return t
}
