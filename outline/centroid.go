package outline

import "math"

// The five-point Gauss-Legendre rule on [-1, 1]: exact up to degree 9
// (Abramowitz and Stegun, table 25.4).
var gauss5 = [5]struct{ x, w float64 }{
	{-0.906179845938664, 0.236926885056189},
	{-0.5384693101056831, 0.47862867049936647},
	{0, 0.5688888888888889},
	{0.5384693101056831, 0.47862867049936647},
	{0.906179845938664, 0.236926885056189},
}

// moments returns the integrals of x²/2 dy and -y²/2 dx along the contour, seen
// from origin: by Green's theorem the area's first moments. The integrands have
// degree 8 at most, so the rule is exact.
func (c Contour) moments(origin Point) (m Point) {
	at := c.Start.Sub(origin)
	for _, s := range c.Segments {
		s.C1, s.C2, s.End = s.C1.Sub(origin), s.C2.Sub(origin), s.End.Sub(origin)
		for _, g := range gauss5 {
			t := (1 + g.x) / 2
			p, d := s.At(at, t), s.Derivative(at, t)
			m.X += g.w / 4 * p.X * p.X * d.Y
			m.Y -= g.w / 4 * p.Y * p.Y * d.X
		}
		at = s.End
	}
	return m
}

// Centroid returns the centre of the enclosed area (Green's theorem, exact up to
// rounding); ok is false where the signed areas add up to nothing, and the
// middle of the bounds is given.
func (p Path) Centroid() (centre Point, ok bool) {
	b := p.Bounds()
	if b.IsEmpty() {
		return Point{}, false
	}
	// Measured from the middle, so that a shape far from the origin keeps its
	// digits.
	o := b.Centre()
	var m Point
	for _, c := range p {
		m = m.Add(c.moments(o))
	}
	centre = o.Add(m.Mul(1 / float64(p.Area())))
	if !centre.IsFinite() || math.Abs(float64(p.Area())) <= centroidSlack*b.Width()*b.Height() {
		return o, false
	}
	return centre, true
}

// centroidSlack is the share of its box below which a signed area is rounding
// and gives no centre.
const centroidSlack = 1e-14

// Centroid returns the centre of the enclosed area; see [Path.Centroid].
func (c Contour) Centroid() (centre Point, ok bool) { return Path{c}.Centroid() }
