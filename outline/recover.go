package outline

import "math"

// recovery gives back the curves that rings of chords stand for.
type recovery struct {
	*chordSet
	corners map[gridPoint]corner
	kept    int // places where chords had to stay
}

// corner is where borders meet: the same for every ring through it.
type corner struct{ at Point }

// stretch is a part of one source that a ring runs along.
type stretch struct {
	source int32
	t0, t1 float64
	from   gridPoint
	node   bool
	start  Point
}

// contour returns the contour that r stands for.
func (s *recovery) contour(r ring) Contour {
	pieces := make([]stretch, 0, 16)
	for i := range r {
		c := &r[i]
		if k := len(pieces) - 1; k >= 0 && pieces[k].source == c.source && pieces[k].t1 == c.t0 && (pieces[k].t0 < pieces[k].t1) == (c.t0 < c.t1) {
			pieces[k].t1 = c.t1
			continue
		}
		pieces = append(pieces, stretch{source: c.source, t0: c.t0, t1: c.t1, from: c.from, node: c.node})
	}
	// The ring may start in the middle of a piece.
	if k := len(pieces) - 1; k > 0 {
		a, b := &pieces[k], &pieces[0]
		if a.source == b.source && a.t1 == b.t0 && (a.t0 < a.t1) == (b.t0 < b.t1) {
			b.t0, b.from, b.node = a.t0, a.from, a.node
			pieces = pieces[:k]
		}
	}
	for i := range pieces {
		before := &pieces[(i+len(pieces)-1)%len(pieces)]
		s.meet(before, &pieces[i])
	}
	return s.emit(pieces)
}

func (s *recovery) emit(pieces []stretch) Contour {
	c := Contour{Start: pieces[0].start, Segments: make([]Segment, 0, len(pieces))}
	for i := range pieces {
		p := &pieces[i]
		to := pieces[(i+1)%len(pieces)].start
		src := &s.sources[p.source]
		if p.start == to && (src.isLine() || p.t0 == p.t1) {
			continue
		}
		if (p.t0 == 0 && p.t1 == 1 || p.t0 == 1 && p.t1 == 0) && src.kind == segmentSource && src.at(p.t0) == p.start && src.at(p.t1) == to {
			seg := src.seg
			if p.t0 == 1 {
				seg = seg.Reversed(src.start)
			}
			c.Segments = append(c.Segments, seg)
			continue
		}
		if p.t0 == p.t1 {
			c.Segments = append(c.Segments, Segment{End: to, Origin: src.seg.Origin})
			continue
		}
		c.Segments = src.append(c.Segments, p.start, to, p.t0, p.t1, s.tolerance)
	}
	return c
}

// meet settles where piece a ends and b starts: an end that a source has there
// already, or the crossing of the two sources themselves, refined from that of
// their chords.
func (s *recovery) meet(a, b *stretch) {
	sa, sb := &s.sources[a.source], &s.sources[b.source]
	if b.node {
		if k, ok := s.corners[b.from]; ok {
			b.start = k.at
			s.attach(a, sa, b, sb)
			return
		}
	}
	endA, endB := a.t1 == 0 || a.t1 == 1, b.t0 == 0 || b.t0 == 1
	switch {
	case endA:
		b.start = sa.at(a.t1)
	case endB:
		b.start = sb.at(b.t0)
	default:
		near := s.grid.point(b.from)
		ta, tb, ok := intersect(sa, a.t1, sb, b.t0, refinedGap*s.tolerance)
		if ok && sa.at(ta).Distance(near) <= s.tolerance/crossingSine(sa, ta, sb, tb) && keepsSense(a.t0, a.t1, ta) && keepsSense(b.t1, b.t0, tb) {
			a.t1, b.t0 = ta, tb
			b.start = sa.at(ta)
		} else {
			s.kept++
			b.start = near
		}
	}
	if b.node {
		s.corners[b.from] = corner{b.start}
	}
	s.attach(a, sa, b, sb)
}

// attach moves the parameters at which a ends and b starts to where their
// sources are nearest to b.start.
func (s *recovery) attach(a *stretch, sa *source, b *stretch, sb *source) {
	if t := sa.project(b.start, a.t1); keepsSense(a.t0, a.t1, t) {
		a.t1 = t
	}
	if t := sb.project(b.start, b.t0); keepsSense(b.t1, b.t0, t) {
		b.t0 = t
	}
}

// leastSine bounds how shallow a crossing is made out to be: chords of curves that
// meet at a small angle cross far along from where the curves do, by up to the
// tolerance over the angle's sine.
const leastSine = 0.01

// crossingSine returns the sine of the angle at which two sources cross, at least
// leastSine.
func crossingSine(a *source, ta float64, b *source, tb float64) float64 {
	u, v := a.derivative(ta), b.derivative(tb)
	return max(leastSine, math.Abs(u.Cross(v))/(u.Norm()*v.Norm()))
}

// keepsSense reports whether a piece from t0 to t1 that ends at t instead still
// runs the same way.
func keepsSense(t0, t1, t float64) bool {
	return t >= 0 && t <= 1 && (t0 < t1) == (t0 < t) && t0 != t
}

// refineRounds bounds Newton's method, which needs four or five from chords that
// are within tolerance.
const refineRounds = 12

// intersect returns the parameters at which two sources cross, by Newton's
// method from where their chords do. ok is false where they are further apart
// than gap in the end.
func intersect(a *source, ta float64, b *source, tb, gap float64) (_, _ float64, ok bool) {
	for range refineRounds {
		d := b.at(tb).Sub(a.at(ta))
		u, v := a.derivative(ta), b.derivative(tb)
		det := u.Cross(v)
		if det == 0 {
			return ta, tb, false
		}
		da, db := d.Cross(v)/det, d.Cross(u)/det
		ta += da
		tb += db
		if !(ta > -1 && ta < 2 && tb > -1 && tb < 2) {
			return ta, tb, false
		}
		if math.Abs(da)+math.Abs(db) < refinedStep {
			break
		}
	}
	return ta, tb, a.at(ta).Distance(b.at(tb)) <= gap
}

// refinedStep is the change of parameters below which a crossing is as good as
// float64 gives it; refinedGap the distance between two curves' crossing points,
// in tolerances, that rounding alone explains where they are nearly parallel.
const (
	refinedStep = 1e-14
	refinedGap  = 1e-6
)

// project returns the parameter near t of the point of the source nearest to p.
func (s *source) project(p Point, t float64) float64 {
	if (t == 0 || t == 1) && s.at(t) == p {
		return t
	}
	for range 3 {
		d, v := s.at(t).Sub(p), s.derivative(t)
		g := v.Dot(v)
		if g == 0 {
			break
		}
		t = math.Min(1, math.Max(0, t-d.Dot(v)/g))
	}
	return t
}
