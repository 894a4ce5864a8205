package svg

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// arcTo appends to segments the cubics of an elliptical arc from start to end
// as path data describes it: radii, the x axis's turn in degrees, and the two
// flags. Faulty radii are mended as SVG 1.1, appendix F.6.6, demands: a zero
// radius gives a straight line, radii too small are scaled up. The cubics stay
// within tolerance of the arc.
func arcTo(segments []outline.Segment, start outline.Point, rx, ry, turn float64, large, sweep bool, end outline.Point, tolerance float64) []outline.Segment {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if start == end {
		return segments
	}
	if rx == 0 || ry == 0 {
		return append(segments, outline.LineTo(end))
	}
	sin, cos := math.Sincos(math.Mod(turn, 360) * math.Pi / 180)
	// F.6.5, step 1: half the chord, in the ellipse's axes.
	half := start.Sub(end).Mul(0.5)
	x, y := cos*half.X+sin*half.Y, -sin*half.X+cos*half.Y
	if lambda := (x/rx)*(x/rx) + (y/ry)*(y/ry); lambda > 1 {
		k := math.Sqrt(lambda)
		rx, ry = rx*k, ry*k
	}
	// On the unit circle the chord's half is (x/rx, y/ry): the centre lies at
	// right angles to it.
	u, v := x/rx, y/ry
	d := u*u + v*v
	if d == 0 || math.IsInf(1/d, 0) {
		return append(segments, outline.LineTo(end))
	}
	k := math.Sqrt(math.Max(0, (1-d)/d))
	if large == sweep {
		k = -k
	}
	cu, cv := k*v, -k*u
	from := math.Atan2(v-cv, u-cu)
	sweepAngle := math.Atan2(-v-cv, -u-cu) - from
	if sweep && sweepAngle < 0 {
		sweepAngle += 2 * math.Pi
	} else if !sweep && sweepAngle > 0 {
		sweepAngle -= 2 * math.Pi
	}
	mid := start.Lerp(end, 0.5)
	e := ellipse{
		centre: outline.Pt(mid.X+cos*rx*cu-sin*ry*cv, mid.Y+sin*rx*cu+cos*ry*cv),
		a:      outline.Pt(rx*cos, rx*sin),
		b:      outline.Pt(-ry*sin, ry*cos),
	}
	segments = e.arc(segments, from, sweepAngle, tolerance)
	segments[len(segments)-1].End = end
	return segments
}

// ellipse is centre + cos φ·a + sin φ·b.
type ellipse struct{ centre, a, b outline.Point }

func (e ellipse) at(phi float64) outline.Point {
	sin, cos := math.Sincos(phi)
	return e.centre.Add(e.a.Mul(cos)).Add(e.b.Mul(sin))
}

// arc appends the cubics of the arc that starts at from and turns by sweep
// radians.
func (e ellipse) arc(segments []outline.Segment, from, sweep, tolerance float64) []outline.Segment {
	radius := math.Max(e.a.Norm(), e.b.Norm())
	n := max(1, math.Ceil(math.Abs(sweep)/(math.Pi/2)-quarterSlack))
	for arcDeviation(sweep/n)*radius > tolerance && n < maxArcPieces {
		n *= 2
	}
	step := sweep / n
	handle := 4.0 / 3 * math.Tan(step/4)
	for i := 0.0; i < n; i++ {
		sin0, cos0 := math.Sincos(from + step*i)
		sin1, cos1 := math.Sincos(from + step*(i+1))
		segments = append(segments, outline.CubicTo(
			e.centre.Add(e.a.Mul(cos0-handle*sin0)).Add(e.b.Mul(sin0+handle*cos0)),
			e.centre.Add(e.a.Mul(cos1+handle*sin1)).Add(e.b.Mul(sin1-handle*cos1)),
			e.centre.Add(e.a.Mul(cos1)).Add(e.b.Mul(sin1)),
		))
	}
	return segments
}

// quarterSlack keeps an arc of a quarter turn that rounding made a little
// longer in one piece, in quarter turns.
const quarterSlack = 1e-9

// maxArcPieces bounds the cubics of one arc; at 1024 the deviation is below
// 1e-19 of the radius, past what float64 holds.
const maxArcPieces = 1024

// arcDeviation returns how far the cubic with handles of 4/3·tan(θ/4) leaves
// the unit circle's arc of θ radians at most: 2/27·sin⁶(θ/4)/cos²(θ/4)
// (Goldapp, "Approximation of circular arcs by cubic polynomials", Computer
// Aided Geometric Design 8, 1991; 2.7e-4 for a quarter turn). An ellipse is an
// affine image of the circle, so its deviation is at most that times the
// larger radius.
func arcDeviation(theta float64) float64 {
	sin, cos := math.Sincos(theta / 4)
	s2 := sin * sin
	return 2.0 / 27 * s2 * s2 * s2 / (cos * cos)
}
