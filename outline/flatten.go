package outline

import (
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// Flatten appends to points the vertices of a polyline that stays within
// tolerance (zero or less: [DefaultTolerance]) of the curve, starting with Start,
// and returns the extended slice. Every segment's end is a vertex, bit for bit. A
// tolerance finer than float64 can tell, or than a million chords of one segment
// can keep, is kept as far as they can.
func (c Curve) Flatten(points []Point, tolerance units.Length) []Point {
	points = append(points, c.Start)
	at := c.Start
	for _, s := range c.Segments {
		points = s.flatten(points, at, orDefault(tolerance))
		at = s.End
	}
	return points
}

// Flatten appends the vertices of a polygon that stays within tolerance (zero:
// [DefaultTolerance]) of the contour; the start is not repeated at the end.
func (c Contour) Flatten(points []Point, tolerance units.Length) []Point {
	n := len(points)
	points = Curve(c).Flatten(points, tolerance)
	if last := len(points) - 1; last > n && points[last] == points[n] {
		points = points[:last]
	}
	return points
}

// ChordEnds appends the parameters at which the chords end that Flatten makes of the
// segment from start within tolerance (zero: [DefaultTolerance]); the last is 1.
// It is for those who have to know what lies between the vertices.
func (s Segment) ChordEnds(ts []float64, start Point, tolerance units.Length) []float64 {
	return s.breaks(ts, start, float64(orDefault(tolerance)))
}

// flatten appends the vertices of one segment, without its start.
func (s Segment) flatten(points []Point, start Point, tolerance units.Length) []Point {
	if s.Kind == Line {
		return append(points, s.End)
	}
	var buffer [64]float64
	for _, t := range s.breaks(buffer[:0], start, float64(tolerance)) {
		points = append(points, s.At(start, t))
	}
	return points
}

const (
	// maxChords bounds the work that one segment can cause: far
	// more than any film asks for.
	maxChords = 1 << 20
	// flattenSlack is the share of a coordinate below which a deviation is
	// rounding: asking for less never ends.
	flattenSlack = 1e-14
	// densitySteps is the number of steps in which the density of chords is
	// integrated; each is a parabola, by Simpson's rule.
	densitySteps = 8
	// moreChords is how many chords more than the integral asks for are tried
	// before single ones are halved.
	moreChords = 2
	// maxHalvings bounds how often a chord is halved, near a cusp.
	maxHalvings = 20
)

// breaks appends the parameters at which chords within tolerance of s end, the
// last one 1.
//
// A short chord of the parameter's step h is off by h²/8 times the second
// derivative's part across the curve, so that the least number of chords is the
// integral of √(|B'×B"| / (8 tolerance |B'|)), and parameters that cut the
// integral in equal parts make equal errors. What comes out is measured exactly
// and put right where the estimate fails.
func (s Segment) breaks(ts []float64, start Point, tolerance float64) []float64 {
	if s.Kind == Line {
		return append(ts, 1)
	}
	far := math.Max(math.Max(math.Abs(s.End.X), math.Abs(s.End.Y)), math.Max(math.Abs(start.X), math.Abs(start.Y)))
	tolerance = math.Max(tolerance, far*flattenSlack)
	if s.deviation(start, 0, 1) <= tolerance {
		return append(ts, 1)
	}
	h := s.hodograph(start)
	// A cusp has no speed; it is met by halving.
	least := 1e-3 * (h.a.Norm() + h.b.Norm() + h.c.Norm())
	density := func(t float64) float64 {
		vx, vy := h.a.X+t*(h.b.X+t*h.c.X), h.a.Y+t*(h.b.Y+t*h.c.Y)
		wx, wy := h.b.X+2*t*h.c.X, h.b.Y+2*t*h.c.Y
		v := max(math.Sqrt(vx*vx+vy*vy), least)
		return math.Sqrt(math.Abs(vx*wy-vy*wx) / (8 * tolerance * v))
	}
	var sum [densitySteps + 1]float64
	f0 := density(0)
	for i := range densitySteps {
		f1, f2 := density((float64(i)+0.5)/densitySteps), density(float64(i+1)/densitySteps)
		sum[i+1] = sum[i] + (f0+4*f1+f2)/(6*densitySteps)
		f0 = f2
	}
	total := sum[densitySteps]
	n := 1
	if total > 1 {
		n = int(math.Ceil(min(total, maxChords)))
	}
	first := len(ts)
	for more := range moreChords + 1 {
		ts = ts[:first]
		k := 0
		for i := 1; i < n+more; i++ {
			part := total * float64(i) / float64(n+more)
			for k < densitySteps-1 && sum[k+1] < part {
				k++
			}
			t := float64(k)
			if d := sum[k+1] - sum[k]; d > 0 {
				t += (part - sum[k]) / d
			}
			ts = append(ts, t/densitySteps)
		}
		ts = append(ts, 1)
		if s.within(ts[first:], start, tolerance) {
			return ts
		}
	}
	// Halve what is off.
	rough := append([]float64(nil), ts[first:]...)
	ts = ts[:first]
	t0 := 0.0
	for i, t1 := range rough {
		most := first + maxChords - (len(rough) - 1 - i) // leaves one for each of the rest
		ts = s.halve(ts, start, t0, t1, tolerance, maxHalvings, most)
		t0 = t1
	}
	return ts
}

// within reports whether all chords that end at ts are within tolerance.
func (s Segment) within(ts []float64, start Point, tolerance float64) bool {
	t0 := 0.0
	for _, t1 := range ts {
		if s.deviation(start, t0, t1) > tolerance {
			return false
		}
		t0 = t1
	}
	return true
}

// halve appends the ends of chords from t0 to t1 that are within tolerance, as
// long as ts holds fewer than most.
func (s Segment) halve(ts []float64, start Point, t0, t1, tolerance float64, depth, most int) []float64 {
	if depth == 0 || len(ts)+1 >= most || s.deviation(start, t0, t1) <= tolerance {
		return append(ts, t1)
	}
	m := (t0 + t1) / 2
	ts = s.halve(ts, start, t0, m, tolerance, depth-1, most-1)
	return s.halve(ts, start, m, t1, tolerance, depth-1, most)
}

// deviation returns how far the segment between t0 and t1 is from its chord at
// most: exactly for a quadratic; for a cubic not less than that.
func (s Segment) deviation(start Point, t0, t1 float64) float64 {
	if s.Kind == Line {
		return 0
	}
	a, b := s.At(start, t0), s.At(start, t1)
	h := (t1 - t0)
	if s.Kind == Quad {
		// The control point of the piece lies h/2 of the derivative on.
		c := a.Add(s.Derivative(start, t0).Mul(h / 2))
		return c.DistanceToLine(a, b) / 2
	}
	d1 := a.Add(s.Derivative(start, t0).Mul(h / 3))
	d2 := b.Sub(s.Derivative(start, t1).Mul(h / 3))
	chord := b.Sub(a)
	l := math.Sqrt(chord.Dot(chord))
	e1, e2 := d1.DistanceToLine(a, b), d2.DistanceToLine(a, b)
	u1, u2 := d1.Sub(a).Dot(chord), d2.Sub(a).Dot(chord)
	if l > 0 && min(u1, u2) >= 0 && max(u1, u2) <= l*l {
		// 3t(1-t)²e1 + 3t²(1-t)e2, with signs: at most 3/4 of the larger on one
		// side, 4/9 on both.
		if (chord.Cross(d1.Sub(a)) > 0) == (chord.Cross(d2.Sub(a)) > 0) {
			return bulge(e1, e2)
		}
		return 4.0 / 9 * max(e1, e2)
	}
	return 0.75 * max(e1, e2)
}

// bulge returns the largest value of 3t(1-t)²a + 3t²(1-t)b on [0, 1] for a, b ≥ 0.
func bulge(a, b float64) float64 {
	// Its derivative by t, a third: a - (4a-2b) t + 3(a-b) t².
	t := 0.5
	p, q, r := 3*(a-b), -(4*a - 2*b), a
	if p != 0 {
		if d := q*q - 4*p*r; d >= 0 {
			// The root in [0, 1], whichever sign p has.
			t = 2 * r / (-q + math.Sqrt(d))
		}
	}
	u := 1 - t
	return 3 * t * u * (u*a + t*b)
}
