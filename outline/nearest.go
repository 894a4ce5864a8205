package outline

import (
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// Nearest is the place on a curve or path that is nearest to a point.
type Nearest struct {
	Contour  int // 0 for a Curve or Contour; -1 where there is no such place
	Segment  int
	T        float64 // the segment's parameter
	Point    Point
	Distance units.Length
}

// nowhere is the answer where there is nothing to be near to, or the point is
// not finite.
func nowhere() Nearest { return Nearest{Contour: -1, Distance: units.Length(math.Inf(1))} }

// Nearest returns the place on the path's borders nearest to q, measured on the
// curves themselves; of equally near ones, the first. The empty path gives
// Contour -1 and an infinite distance, as does a point that is not finite.
func (p Path) Nearest(q Point) Nearest {
	search := newNearestSearch(q)
	for i, c := range p {
		search.nodes(i, Curve(c))
	}
	for i, c := range p {
		search.curve(i, Curve(c))
	}
	return search.result()
}

// Nearest returns the place on the border nearest to q.
func (c Contour) Nearest(q Point) Nearest { return Curve(c).Nearest(q) }

// Nearest returns the place on the curve nearest to q; on a curve without
// segments, its start.
func (c Curve) Nearest(q Point) Nearest {
	search := newNearestSearch(q)
	search.nodes(0, c)
	search.curve(0, c)
	return search.result()
}

// nearestSlack is the share of a squared size below which a possible gain in
// squared distance is rounding and not worth halving a piece for.
const nearestSlack = 4e-16

// maxNearestDepth bounds how often a segment is halved to isolate the minima of
// its distance; at the last level a piece spans 2⁻³² of the segment.
const maxNearestDepth = 32

type nearestSearch struct {
	q    Point
	best Nearest
	d2   float64 // squared distance of best
}

func newNearestSearch(q Point) *nearestSearch {
	return &nearestSearch{q: q, best: nowhere(), d2: math.Inf(1)}
}

func (n *nearestSearch) result() Nearest {
	if n.best.Contour >= 0 {
		n.best.Distance = units.Length(n.q.Distance(n.best.Point))
	}
	return n.best
}

func (n *nearestSearch) offer(contour, segment int, t float64, p Point) {
	d := p.Sub(n.q)
	if d2 := d.Dot(d); d2 < n.d2 {
		n.d2 = d2
		n.best = Nearest{Contour: contour, Segment: segment, T: t, Point: p}
	}
}

// nodes offers the ends of all segments, which makes the bound for curve tight.
func (n *nearestSearch) nodes(contour int, c Curve) {
	n.offer(contour, 0, 0, c.Start)
	for i := range c.Segments {
		n.offer(contour, i, 1, c.Segments[i].End)
	}
}

func (n *nearestSearch) curve(contour int, c Curve) {
	at := c.Start
	for i := range c.Segments {
		s := &c.Segments[i]
		if n.reach(at, s) < n.d2 {
			n.segment(contour, i, at, s)
		}
		at = s.End
	}
}

// reach returns a lower bound of the squared distance to the segment: that to
// the box of its control points.
func (n *nearestSearch) reach(a Point, s *Segment) float64 {
	x0, x1 := math.Min(a.X, s.End.X), math.Max(a.X, s.End.X)
	y0, y1 := math.Min(a.Y, s.End.Y), math.Max(a.Y, s.End.Y)
	if s.Kind != Line {
		x0, x1 = math.Min(x0, s.C1.X), math.Max(x1, s.C1.X)
		y0, y1 = math.Min(y0, s.C1.Y), math.Max(y1, s.C1.Y)
	}
	if s.Kind == Cubic {
		x0, x1 = math.Min(x0, s.C2.X), math.Max(x1, s.C2.X)
		y0, y1 = math.Min(y0, s.C2.Y), math.Max(y1, s.C2.Y)
	}
	dx := math.Max(0, math.Max(x0-n.q.X, n.q.X-x1))
	dy := math.Max(0, math.Max(y0-n.q.Y, n.q.Y-y1))
	return dx*dx + dy*dy
}

func (n *nearestSearch) segment(contour, i int, a Point, s *Segment) {
	b, c := s.C1, s.C2
	switch s.Kind {
	case Line:
		d := s.End.Sub(a)
		if l := d.Dot(d); l > 0 {
			if t := n.q.Sub(a).Dot(d) / l; t > 0 && t < 1 {
				n.offer(contour, i, t, a.Lerp(s.End, t))
			}
		}
		return
	case Quad: // the same curve as a cubic
		b, c = a.Lerp(s.C1, 2.0/3), s.End.Lerp(s.C1, 2.0/3)
	}
	// The squared distance to q is a polynomial of degree six; these are its
	// Bernstein coefficients, which bound it from both sides.
	p := [4]Point{a.Sub(n.q), b.Sub(n.q), c.Sub(n.q), s.End.Sub(n.q)}
	e := [7]float64{
		p[0].Dot(p[0]),
		p[0].Dot(p[1]),
		(2*p[0].Dot(p[2]) + 3*p[1].Dot(p[1])) / 5,
		(p[0].Dot(p[3]) + 9*p[1].Dot(p[2])) / 10,
		(2*p[1].Dot(p[3]) + 3*p[2].Dot(p[2])) / 5,
		p[2].Dot(p[3]),
		p[3].Dot(p[3]),
	}
	scale := 0.0
	for _, v := range e {
		scale = math.Max(scale, math.Abs(v))
	}
	if math.IsInf(scale, 1) || math.IsNaN(scale) {
		return
	}
	n.minima(contour, i, a, s, &e, 0, 1, scale*nearestSlack, 0)
}

// minima looks for a smaller distance on [t0, t1], over which e holds the
// Bernstein coefficients of the squared distance. The ends are known already.
func (n *nearestSearch) minima(contour, i int, a Point, s *Segment, e *[7]float64, t0, t1, slack float64, depth int) {
	least := e[0]
	changes, rising, previous := 0, false, 0.0
	for k := 1; k < len(e); k++ {
		least = math.Min(least, e[k])
		d := e[k] - e[k-1]
		if d == 0 {
			continue
		}
		if previous != 0 && (d > 0) != (previous > 0) {
			changes++
			rising = d > 0
		}
		previous = d
	}
	if least >= n.d2-slack || changes == 0 || changes == 1 && !rising {
		return // no inner minimum, or none that matters
	}
	if changes == 1 {
		t := n.minimum(a, s, t0, t1)
		n.offer(contour, i, t, s.At(a, t))
		return
	}
	m := (t0 + t1) / 2
	n.offer(contour, i, m, s.At(a, m))
	if depth >= maxNearestDepth {
		return
	}
	var left, right [7]float64
	right = *e
	for k := range right {
		left[k] = right[0]
		for j := 0; j < len(right)-1-k; j++ {
			right[j] = (right[j] + right[j+1]) / 2
		}
	}
	n.minima(contour, i, a, s, &left, t0, m, slack, depth+1)
	n.minima(contour, i, a, s, &right, m, t1, slack, depth+1)
}

// maxMinimumSteps bounds the search for one minimum; Newton's method inside a
// bracket needs a handful of steps, bisection alone 53. A step of minimumSlack, in
// t, is rounding: without that end the search would creep along by last bits, and
// leave the minimum where rounding gives the slope another sign.
const (
	maxMinimumSteps = 60
	minimumSlack    = 1e-15
)

// minimum returns the parameter of the only minimum of the distance in
// [t0, t1].
func (n *nearestSearch) minimum(a Point, s *Segment, t0, t1 float64) float64 {
	h := s.hodograph(a)
	t := (t0 + t1) / 2
	for range maxMinimumSteps {
		r := s.At(a, t).Sub(n.q)
		d := Point{h.a.X + t*(h.b.X+t*h.c.X), h.a.Y + t*(h.b.Y+t*h.c.Y)}
		slope := r.Dot(d)
		switch {
		case slope > 0:
			t1 = t
		case slope < 0:
			t0 = t
		default:
			return t
		}
		dd := Point{h.b.X + 2*t*h.c.X, h.b.Y + 2*t*h.c.Y}
		next := t - slope/(d.Dot(d)+r.Dot(dd))
		if !(next > t0 && next < t1) {
			next = (t0 + t1) / 2
		}
		if math.Abs(next-t) <= minimumSlack {
			break
		}
		t = next
	}
	return t
}
