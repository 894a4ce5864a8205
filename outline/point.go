package outline

import "math"

// Point is a position or a vector in millimetres, y up.
type Point struct{ X, Y float64 }

// Pt is shorthand for Point{x, y}.
func Pt(x, y float64) Point { return Point{x, y} }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p - q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by k.
func (p Point) Mul(k float64) Point { return Point{p.X * k, p.Y * k} }

// Dot returns the scalar product p·q.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross returns the z component of p×q: positive when q lies counter-clockwise
// of p.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Norm returns the length of p in millimetres.
func (p Point) Norm() float64 { return math.Hypot(p.X, p.Y) }

// Distance returns the distance from p to q in millimetres.
func (p Point) Distance(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// DistanceToLine returns the distance in millimetres from p to the straight line
// from a to b, which ends at both; of a line without length, to the point.
func (p Point) DistanceToLine(a, b Point) float64 {
	v, w := b.Sub(a), p.Sub(a)
	l := v.Dot(v)
	if l == 0 {
		return w.Norm()
	}
	switch u := w.Dot(v); {
	case u <= 0:
		return w.Norm()
	case u >= l:
		return p.Distance(b)
	}
	return math.Abs(v.Cross(w)) / math.Sqrt(l)
}

// Lerp returns the point a share t of the way from p to q; t = 0 gives p and
// t = 1 gives q exactly.
func (p Point) Lerp(q Point, t float64) Point {
	if t == 1 {
		return q
	}
	return Point{p.X + t*(q.X-p.X), p.Y + t*(q.Y-p.Y)}
}

// Perp returns p turned by 90° counter-clockwise.
func (p Point) Perp() Point { return Point{-p.Y, p.X} }

// IsFinite reports whether neither coordinate is infinite or NaN.
func (p Point) IsFinite() bool {
	return !math.IsNaN(p.X) && !math.IsInf(p.X, 0) && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0)
}

// unit returns p scaled to length 1; ok is false where p is zero or has no
// finite length.
func (p Point) unit() (u Point, ok bool) {
	n := p.Norm()
	if !(n > 0) || math.IsInf(n, 1) {
		return Point{}, false
	}
	return Point{p.X / n, p.Y / n}, true
}
