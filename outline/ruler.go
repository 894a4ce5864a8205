package outline

import (
	"math"
	"slices"
	"sort"

	"github.com/vinylgeom/vinyl/units"
)

// RulerTolerance bounds the error of every length that a [Ruler] measures, as
// far as float64 can hold the coordinates: a nanometre.
const RulerTolerance units.Length = 1e-6

// Ruler measures along a curve. Building one costs a pass over the curve; every
// question after that costs a binary search and a few evaluations. Its zero
// value measures the empty curve at (0, 0). It is safe for concurrent use and
// keeps the curve's segments: don't modify them while it is in use.
type Ruler struct {
	curve  Curve
	spans  []span
	length float64
}

// span is a stretch of one segment over which the length is smooth in t.
type span struct {
	s0, s1  float64 // length from the curve's start to the span's ends
	t0, t1  float64
	segment int
}

// NewRuler returns a ruler laid along c.
func NewRuler(c Curve) *Ruler {
	r := &Ruler{curve: c, spans: make([]span, 0, len(c.Segments))}
	share := float64(RulerTolerance) / math.Max(1, float64(len(c.Segments)))
	at := c.Start
	for i, s := range c.Segments {
		lay := func(t0, t1, length float64) {
			if length > 0 {
				r.spans = append(r.spans, span{r.length, r.length + length, t0, t1, i})
				r.length += length
			}
		}
		if s.Kind == Line {
			lay(0, 1, at.Distance(s.End))
		} else {
			h := s.hodograph(at)
			h.stretch(0, 1, h.gauss(0, 1), share, 0, lay)
		}
		at = s.End
	}
	return r
}

// Length returns the length of the whole curve.
func (r *Ruler) Length() units.Length { return units.Length(r.length) }

// Locate returns the segment and the parameter on it that lie the given length
// from the start. A length outside the curve counts as its nearer end. A curve
// without length gives segment 0, parameter 0.
func (r *Ruler) Locate(at units.Length) (segment int, t float64) {
	n := len(r.spans)
	if n == 0 || !(at > 0) {
		return 0, 0
	}
	if float64(at) >= r.length {
		return len(r.curve.Segments) - 1, 1
	}
	i := sort.Search(n, func(i int) bool { return r.spans[i].s1 > float64(at) })
	sp := r.spans[min(i, n-1)]
	return sp.segment, r.parameter(sp, float64(at))
}

// maxParameterSteps bounds Newton's iteration for the parameter at a length; it
// needs three or four steps on a smooth span.
const maxParameterSteps = 20

// parameter finds the t in sp where the length from the curve's start is s, by
// Newton's method kept inside a shrinking bracket.
func (r *Ruler) parameter(sp span, s float64) float64 {
	share := (s - sp.s0) / (sp.s1 - sp.s0)
	t := sp.t0 + share*(sp.t1-sp.t0)
	seg := r.curve.Segments[sp.segment]
	if seg.Kind == Line || share <= 0 || share >= 1 {
		return math.Max(sp.t0, math.Min(sp.t1, t))
	}
	h := seg.hodograph(r.start(sp.segment))
	low, high := sp.t0, sp.t1
	for range maxParameterSteps {
		miss := h.gauss(sp.t0, t) - (s - sp.s0)
		if math.Abs(miss) <= float64(RulerTolerance)/16 {
			break
		}
		if miss > 0 {
			high = t
		} else {
			low = t
		}
		next := t - miss/h.speed(t)
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if next == t {
			break
		}
		t = next
	}
	return t
}

func (r *Ruler) start(segment int) Point { return r.curve.startOf(segment) }

// startOf returns where segment i starts.
func (c Curve) startOf(i int) Point {
	if i == 0 {
		return c.Start
	}
	return c.Segments[i-1].End
}

// PointAt returns the point the given length from the start; outside the curve,
// the nearer end.
func (r *Ruler) PointAt(at units.Length) Point {
	i, t := r.Locate(at)
	if len(r.curve.Segments) == 0 {
		return r.curve.Start
	}
	return r.curve.Segments[i].At(r.start(i), t)
}

// TangentAt returns the unit direction of travel at the given length from the
// start; at a corner, that of the segment behind it, and at the end that of the
// last. A curve without length has none and gives (0, 0).
func (r *Ruler) TangentAt(at units.Length) Point {
	if len(r.spans) == 0 {
		return Point{}
	}
	i, t := r.Locate(at)
	if i < r.spans[0].segment { // segments without length have no direction
		i, t = r.spans[0].segment, 0
	}
	if last := r.spans[len(r.spans)-1]; i > last.segment {
		i, t = last.segment, 1
	}
	return r.curve.Segments[i].Direction(r.start(i), t)
}

// SubCurve returns the part of the curve between two lengths from its start, run
// backwards if from exceeds to. Lengths outside the curve count as its nearer
// end. Cut segments keep their kind and origin.
func (r *Ruler) SubCurve(from, to units.Length) Curve {
	if from > to {
		return r.SubCurve(to, from).Reversed()
	}
	if len(r.curve.Segments) == 0 {
		return r.curve
	}
	i, t := r.Locate(from)
	j, u := r.Locate(to)
	return r.curve.between(i, t, j, u)
}

// between returns the part of c from parameter t of segment i to parameter u of
// segment j, which do not come before.
func (c Curve) between(i int, t float64, j int, u float64) Curve {
	if t == 1 && i < j {
		i, t = i+1, 0
	}
	if u == 0 && j > i {
		j, u = j-1, 1
	}
	out := Curve{Start: c.Segments[i].At(c.startOf(i), t)}
	if i == j && !(t < u) {
		return out
	}
	for k := i; k <= j; k++ {
		t0, t1 := 0.0, 1.0
		if k == i {
			t0 = t
		}
		if k == j {
			t1 = u
		}
		_, s := c.Segments[k].Part(c.startOf(k), t0, t1)
		out.Segments = append(out.Segments, s)
	}
	return out
}

// PointAt returns the point the given length from the start; outside the curve,
// the nearer end. For many questions about one curve, use a [Ruler].
func (c Curve) PointAt(at units.Length) Point { return NewRuler(c).PointAt(at) }

// TangentAt returns the unit direction of travel at the given length; see
// [Ruler.TangentAt].
func (c Curve) TangentAt(at units.Length) Point { return NewRuler(c).TangentAt(at) }

// SubCurve returns the part between two lengths; see [Ruler.SubCurve].
func (c Curve) SubCurve(from, to units.Length) Curve { return NewRuler(c).SubCurve(from, to) }

// SplitAt cuts c at the given length from its start into two curves that share
// that point. Outside the curve one of them has no segment.
func (c Curve) SplitAt(at units.Length) (first, second Curve) {
	if len(c.Segments) == 0 {
		return c, c
	}
	i, t := NewRuler(c).Locate(at)
	n := len(c.Segments) - 1
	first, second = c.between(0, 0, i, t), c.between(i, t, n, 1)
	second.Start = first.End()
	return first, second
}

// PointAt returns the point the given length along the border from the
// contour's start; lengths run round and round, backwards where negative.
func (c Contour) PointAt(at units.Length) Point {
	r := NewRuler(Curve(c))
	return r.PointAt(r.wrap(at))
}

// TangentAt returns the unit direction of travel the given length along the
// border, which runs round and round; see [Ruler.TangentAt].
func (c Contour) TangentAt(at units.Length) Point {
	r := NewRuler(Curve(c))
	return r.TangentAt(r.wrap(at))
}

// SubCurve returns the border from one length to another, through the contour's
// start where to is smaller than from; equal lengths give the whole border.
func (c Contour) SubCurve(from, to units.Length) Curve {
	r := NewRuler(Curve(c))
	from, to = r.wrap(from), r.wrap(to)
	if from < to {
		return r.SubCurve(from, to)
	}
	first, second := r.SubCurve(from, r.Length()), r.SubCurve(0, to)
	first.Segments = append(first.Segments, second.Segments...)
	return first
}

// StartAt returns the same contour, started the given length along its border.
func (c Contour) StartAt(at units.Length) Contour {
	if len(c.Segments) == 0 {
		return c
	}
	r := NewRuler(Curve(c))
	i, t := r.Locate(r.wrap(at))
	if i == 0 && t == 0 {
		return Contour{c.Start, slices.Clone(c.Segments)}
	}
	out := Curve(c).between(i, t, len(c.Segments)-1, 1)
	head := Curve(c).between(0, 0, i, t)
	out.Segments = append(out.Segments, head.Segments...)
	out.Segments[len(out.Segments)-1].End = out.Start
	return Contour(out)
}

// wrap brings a length along a closed border into [0, length).
func (r *Ruler) wrap(at units.Length) units.Length {
	w := math.Mod(float64(at), r.length)
	switch {
	case math.IsNaN(w):
		return 0
	case w < 0:
		w += r.length
	}
	if w >= r.length {
		return 0
	}
	return units.Length(w)
}
