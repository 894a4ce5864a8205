package dxf

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

const (
	// fitShare is the share of the tolerance that the fit uses: it is checked at
	// samples, and the curve may bulge a little between them.
	fitShare = 0.85
	// fitSamples is the number of points of a curve that each fit is checked at.
	fitSamples = 16
	// maxHalvings bounds the halving of one segment; a cusp is the only thing
	// that comes near.
	maxHalvings = 16
	// flatBulge is the bulge below which an arc is written as a line: on a chord
	// of a metre it rises by less than a tenth of a micrometre.
	flatBulge = 2e-7
	// maxBulge keeps an arc at half a turn, so that no reader mistakes it.
	maxBulge = 1 + 1e-9
)

// piece is an arc (or line, with bulge 0) from the end of the piece before to
// end, with points of the curve it stands for.
type piece struct {
	start, end outline.Point
	bulge      float64
	samples    []outline.Point
	line       bool // drawn as a line in the artwork
}

// appendArcs appends the curve as vertices joined by lines and arcs that stay
// within tolerance of it, the last vertex at its end. Lines of the artwork stay
// lines between the same nodes.
func appendArcs(out []vertex, c outline.Curve, tolerance float64) []vertex {
	var pieces []piece
	at := c.Start
	for _, s := range c.Segments {
		if s.Kind == outline.Line {
			if s.End != at {
				pieces = append(pieces, piece{start: at, end: s.End, line: true})
			}
		} else {
			pieces = fit(pieces, at, s, 0, 1, tolerance*fitShare, 0)
		}
		at = s.End
	}
	from := len(out)
	for _, p := range merge(pieces, tolerance*fitShare) {
		if math.Abs(p.bulge) < flatBulge {
			p.bulge = 0
		}
		out = append(out, vertex{p.start, p.bulge})
	}
	if len(out) == from || out[len(out)-1].at != at || len(pieces) > 0 {
		out = append(out, vertex{at: at})
	}
	return out
}

// fit appends pieces for the segment from t0 to t1: two arcs that meet with a
// common tangent and have the segment's own tangents at the ends, or halves.
func fit(out []piece, start outline.Point, s outline.Segment, t0, t1, tolerance float64, depth int) []piece {
	a, b := s.At(start, t0), s.At(start, t1)
	if a == b && depth > 0 {
		return out
	}
	samples := make([]outline.Point, 0, fitSamples)
	for i := 1; i <= fitSamples; i++ {
		samples = append(samples, s.At(start, t0+(t1-t0)*float64(i)/(fitSamples+1)))
	}
	if straight := (piece{start: a, end: b, samples: samples}); a != b && straight.holds(tolerance) {
		return append(out, straight)
	}
	if depth >= maxHalvings {
		return append(out, piece{start: a, end: b, samples: samples})
	}
	if a != b {
		if m, ok := biarc(a, b, tangent(start, s, t0), tangent(start, s, t1)); ok {
			first := piece{start: a, end: m, bulge: arcBulge(a, m, tangent(start, s, t0))}
			second := piece{start: m, end: b, bulge: -arcBulge(b, m, tangent(start, s, t1).Mul(-1))}
			if math.Abs(first.bulge) <= maxBulge && math.Abs(second.bulge) <= maxBulge {
				// Each sample belongs to the arc on its side of the meeting.
				good := true
				for _, p := range samples {
					d1, d2 := first.distance(p), second.distance(p)
					if math.Min(d1, d2) > tolerance {
						good = false
						break
					}
					if d1 <= d2 {
						first.samples = append(first.samples, p)
					} else {
						second.samples = append(second.samples, p)
					}
				}
				if good {
					return append(out, first, second)
				}
			}
		}
	}
	mid := (t0 + t1) / 2
	out = fit(out, start, s, t0, mid, tolerance, depth+1)
	return fit(out, start, s, mid, t1, tolerance, depth+1)
}

// biarc returns where two arcs from a (tangent u) to b (tangent v) meet, with
// equal distances from both ends to their tangents' crossing points.
func biarc(a, b, u, v outline.Point) (outline.Point, bool) {
	w := b.Sub(a)
	t := u.Add(v)
	k := 2 * (1 - u.Dot(v))
	var d float64
	if k > parallelSlack {
		d = (-w.Dot(t) + math.Sqrt(w.Dot(t)*w.Dot(t)+k*w.Dot(w))) / k
	} else {
		den := 4 * w.Dot(v)
		if den == 0 {
			return outline.Point{}, false
		}
		d = w.Dot(w) / den
	}
	if !(d > 0) || math.IsInf(d, 0) {
		return outline.Point{}, false
	}
	m := a.Add(b).Add(u.Sub(v).Mul(d)).Mul(0.5)
	return m, m != a && m != b
}

// parallelSlack is where 2(1 − u·v) of two unit tangents is too small to
// divide by.
const parallelSlack = 1e-9

// arcBulge returns the bulge of the arc from a to b that leaves a along u: the
// chord turns from the tangent by half the included angle θ, and the bulge is
// tan(θ/4).
func arcBulge(a, b, u outline.Point) float64 {
	w := b.Sub(a)
	return math.Tan(math.Atan2(u.Cross(w), u.Dot(w)) / 2)
}

// tangent returns the unit tangent of s at t.
func tangent(start outline.Point, s outline.Segment, t float64) outline.Point {
	v := s.Derivative(start, t)
	if v == (outline.Point{}) {
		const aside = 1e-4 // in parameter: where a control point lies on an end
		v = s.At(start, math.Min(1, t+aside)).Sub(s.At(start, math.Max(0, t-aside)))
	}
	n := v.Norm()
	if n == 0 {
		return outline.Point{}
	}
	return v.Mul(1 / n)
}

// centre returns the centre and radius of the piece's arc; not of a line.
func (p piece) centre() (outline.Point, float64) {
	w := p.end.Sub(p.start)
	// The centre lies off the chord's middle by c·(1 − b²)/(4b), to the left.
	off := (1 - p.bulge*p.bulge) / (4 * p.bulge)
	c := p.start.Lerp(p.end, 0.5).Add(w.Perp().Mul(off))
	return c, w.Norm() * (1 + p.bulge*p.bulge) / (4 * math.Abs(p.bulge))
}

// distance returns how far q is from the piece.
func (p piece) distance(q outline.Point) float64 {
	ends := func() float64 { return math.Min(q.Distance(p.start), q.Distance(p.end)) }
	if math.Abs(p.bulge) < flatBulge {
		w := p.end.Sub(p.start)
		l := w.Dot(w)
		if l == 0 {
			return ends()
		}
		t := q.Sub(p.start).Dot(w) / l
		if t < 0 || t > 1 {
			return ends()
		}
		return math.Abs(w.Cross(q.Sub(p.start))) / math.Sqrt(l)
	}
	c, r := p.centre()
	// q is beside the arc, at most half a turn, if it lies between its ends.
	from, to, at := p.start.Sub(c), p.end.Sub(c), q.Sub(c)
	if p.bulge < 0 {
		from, to = to, from
	}
	if from.Cross(at) >= 0 && at.Cross(to) >= 0 {
		return math.Abs(math.Sqrt(at.Dot(at)) - r)
	}
	return ends()
}

// holds reports whether all samples lie within tolerance of the piece.
func (p piece) holds(tolerance float64) bool {
	for _, q := range p.samples {
		if p.distance(q) > tolerance {
			return false
		}
	}
	return true
}

// angle returns the included angle, negative clockwise.
func (p piece) angle() float64 { return 4 * math.Atan(p.bulge) }

// merge joins neighbouring arcs that one arc of at most half a turn can stand
// for, so that a circle comes out as two vertices with bulge 1.
func merge(pieces []piece, tolerance float64) []piece {
	out := pieces[:0:0]
	for _, p := range pieces {
		if n := len(out); n > 0 && !p.line && !out[n-1].line {
			last := out[n-1]
			if one, ok := last.with(p, tolerance); ok {
				out[n-1] = one
				continue
			}
		}
		out = append(out, p)
	}
	return out
}

// with returns p and q, which follows it, as one arc, if that holds all their
// samples and the point where they meet.
func (p piece) with(q piece, tolerance float64) (piece, bool) {
	a, b := p.angle(), q.angle()
	sum := a + b
	if a*b < 0 || math.Abs(sum) > math.Pi+angleSlack || p.start == q.end || len(p.samples)+len(q.samples) > maxSamples {
		return piece{}, false
	}
	one := piece{start: p.start, end: q.end, bulge: math.Tan(sum / 4)}
	one.samples = make([]outline.Point, 0, len(p.samples)+len(q.samples)+1)
	one.samples = append(append(append(one.samples, p.samples...), p.end), q.samples...)
	if !one.holds(tolerance) {
		return piece{}, false
	}
	// The tangents at the ends must stay what they were: an arc that only
	// passes near the samples would make corners.
	if turn(p.tangentAt(-1), one.tangentAt(-1)) > tangentSlack || turn(q.tangentAt(1), one.tangentAt(1)) > tangentSlack {
		return piece{}, false
	}
	return one, true
}

// tangentAt returns the direction of the piece at its start (side -1) or end
// (side 1): the chord's, turned by half the included angle.
func (p piece) tangentAt(side float64) outline.Point {
	w := p.end.Sub(p.start)
	sin, cos := math.Sincos(side * p.angle() / 2)
	return outline.Pt(w.X*cos-w.Y*sin, w.X*sin+w.Y*cos)
}

// turn returns the angle between two directions, 0 to π.
func turn(a, b outline.Point) float64 { return math.Abs(math.Atan2(a.Cross(b), a.Dot(b))) }

const (
	// angleSlack lets four quarters of a rounded circle make two halves.
	angleSlack = 1e-6
	// tangentSlack is how far, in radians, a merged arc may turn away from the
	// curve at its ends: half a degree is no corner to a knife.
	tangentSlack = 0.5 * math.Pi / 180
	// maxSamples bounds what a merged arc is checked at.
	maxSamples = 1024
)
