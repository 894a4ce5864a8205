package outline

import (
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// The eight-point Gauss-Legendre rule on [-1, 1], positive half (Abramowitz and
// Stegun, "Handbook of Mathematical Functions", 1964, table 25.4).
var gauss8 = [4]struct{ x, w float64 }{
	{0.1834346424956498, 0.362683783378362},
	{0.525532409916329, 0.3137066458778874},
	{0.7966664774136268, 0.22238103445337445},
	{0.9602898564975363, 0.10122853629037618},
}

// relativeLengthSlack is the share of a length, or of the largest derivative on
// the way, below which a difference between two quadratures is rounding, not
// error: asking for less never ends.
const relativeLengthSlack = 1e-14

// maxLengthDepth bounds how often a piece is halved while its length is
// measured; at the last level it spans 2⁻⁴⁰ of the segment.
const maxLengthDepth = 40

// hodograph is the derivative of a segment by t: a + b t + c t².
type hodograph struct{ a, b, c Point }

func (s Segment) hodograph(start Point) hodograph {
	switch s.Kind {
	case Quad:
		d0, d1 := s.C1.Sub(start).Mul(2), s.End.Sub(s.C1).Mul(2)
		return hodograph{a: d0, b: d1.Sub(d0)}
	case Cubic:
		d0, d1, d2 := s.C1.Sub(start).Mul(3), s.C2.Sub(s.C1).Mul(3), s.End.Sub(s.C2).Mul(3)
		return hodograph{a: d0, b: d1.Sub(d0).Mul(2), c: d0.Sub(d1.Mul(2)).Add(d2)}
	}
	return hodograph{a: s.End.Sub(start)}
}

func (h *hodograph) speed(t float64) float64 {
	x := h.a.X + t*(h.b.X+t*h.c.X)
	y := h.a.Y + t*(h.b.Y+t*h.c.Y)
	return math.Sqrt(x*x + y*y)
}

// scale bounds the size of the derivative's terms.
func (h *hodograph) scale() float64 {
	return math.Abs(h.a.X) + math.Abs(h.a.Y) + math.Abs(h.b.X) + math.Abs(h.b.Y) + math.Abs(h.c.X) + math.Abs(h.c.Y)
}

// gauss integrates the speed over [t0, t1] by the eight-point rule.
func (h *hodograph) gauss(t0, t1 float64) float64 {
	m, r := (t0+t1)/2, (t1-t0)/2
	var sum float64
	for _, g := range gauss8 {
		sum += g.w * (h.speed(m-r*g.x) + h.speed(m+r*g.x))
	}
	return sum * r
}

// stretch visits the pieces of [t0, t1], from left to right, whose lengths are
// known within their share of tolerance: the rule on a whole piece and on its
// halves agree. The error left in the sum of the halves is far smaller where the
// curve is smooth.
func (h *hodograph) stretch(t0, t1, whole, tolerance float64, depth int, visit func(t0, t1, length float64)) {
	m := (t0 + t1) / 2
	left, right := h.gauss(t0, m), h.gauss(m, t1)
	d := math.Abs(left + right - whole)
	noise := relativeLengthSlack * math.Max(whole, h.scale()*(t1-t0))
	if !(d > tolerance && d > noise) || depth >= maxLengthDepth || math.IsInf(d, 1) {
		visit(t0, t1, left+right)
		return
	}
	h.stretch(t0, m, left, tolerance/2, depth+1, visit)
	h.stretch(m, t1, right, tolerance/2, depth+1, visit)
}

// length returns the arc length of the segment within tolerance.
func (s Segment) length(start Point, tolerance float64) float64 {
	if s.Kind == Line {
		return start.Distance(s.End)
	}
	h := s.hodograph(start)
	var sum float64
	h.stretch(0, 1, h.gauss(0, 1), tolerance, 0, func(_, _, l float64) { sum += l })
	return sum
}

// Length returns the arc length of c within tolerance (zero:
// [DefaultTolerance]) by adaptive Gauss-Legendre quadrature. Straight segments
// are exact.
func (c Curve) Length(tolerance units.Length) units.Length {
	share := float64(orDefault(tolerance)) / math.Max(1, float64(len(c.Segments)))
	var sum float64
	at := c.Start
	for _, s := range c.Segments {
		sum += s.length(at, share)
		at = s.End
	}
	return units.Length(sum)
}

// Length returns the length of the contour's border within tolerance (zero:
// [DefaultTolerance]).
func (c Contour) Length(tolerance units.Length) units.Length { return Curve(c).Length(tolerance) }

// Length returns the length of all borders, what a knife has to cut, within
// tolerance (zero: [DefaultTolerance]).
func (p Path) Length(tolerance units.Length) units.Length {
	tolerance = orDefault(tolerance) / units.Length(max(1, len(p)))
	var sum units.Length
	for _, c := range p {
		sum += c.Length(tolerance)
	}
	return sum
}
