package outline

import (
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// Transform is the affine map
//
//	x' = XX*x + XY*y + X0
//	y' = YX*x + YY*y + Y0
//
// Its zero value sends every point to (0, 0): start from [Identity] or one of
// the constructors.
type Transform struct{ XX, XY, X0, YX, YY, Y0 float64 }

// Identity returns the map that moves nothing.
func Identity() Transform { return Transform{XX: 1, YY: 1} }

// Translate returns the shift by v millimetres.
func Translate(v Point) Transform { return Transform{XX: 1, YY: 1, X0: v.X, Y0: v.Y} }

// Scale returns the scaling about (0, 0) by kx along x and ky along y. A
// negative factor mirrors.
func Scale(kx, ky float64) Transform { return Transform{XX: kx, YY: ky} }

// Rotate returns the counter-clockwise turn about (0, 0). Whole quarter turns
// are exact: they swap and negate coordinates.
func Rotate(a units.Angle) Transform {
	sin, cos := math.Sincos(a.Radians())
	if q := a.Radians() / (math.Pi / 2); math.Abs(q) < 1<<30 && math.Abs(q-math.Round(q)) < quarterTurnSlack {
		switch int(math.Round(q)) & 3 {
		case 0:
			sin, cos = 0, 1
		case 1:
			sin, cos = 1, 0
		case 2:
			sin, cos = 0, -1
		case 3:
			sin, cos = -1, 0
		}
	}
	return Transform{XX: cos, XY: -sin, YX: sin, YY: cos}
}

// MirrorX returns the mirror image left to right: x becomes -x.
func MirrorX() Transform { return Scale(-1, 1) }

// Then returns the map that applies t first and u after it.
func (t Transform) Then(u Transform) Transform {
	return Transform{
		XX: u.XX*t.XX + u.XY*t.YX, XY: u.XX*t.XY + u.XY*t.YY, X0: u.XX*t.X0 + u.XY*t.Y0 + u.X0,
		YX: u.YX*t.XX + u.YY*t.YX, YY: u.YX*t.XY + u.YY*t.YY, Y0: u.YX*t.X0 + u.YY*t.Y0 + u.Y0,
	}
}

// Determinant returns the factor by which t scales areas, negative where it
// mirrors.
func (t Transform) Determinant() float64 { return t.XX*t.YY - t.XY*t.YX }

// Inverse returns the map that undoes t; ok is false where t flattens the
// plane and has none.
func (t Transform) Inverse() (inverse Transform, ok bool) {
	d := t.Determinant()
	if d == 0 || math.IsNaN(d) || math.IsInf(1/d, 0) {
		return Transform{}, false
	}
	inverse = Transform{XX: t.YY / d, XY: -t.XY / d, YX: -t.YX / d, YY: t.XX / d}
	inverse.X0 = -(inverse.XX*t.X0 + inverse.XY*t.Y0)
	inverse.Y0 = -(inverse.YX*t.X0 + inverse.YY*t.Y0)
	return inverse, true
}

// Apply returns the image of p.
func (t Transform) Apply(p Point) Point {
	return Point{t.XX*p.X + t.XY*p.Y + t.X0, t.YX*p.X + t.YY*p.Y + t.Y0}
}

func (t Transform) segments(in []Segment) []Segment {
	out := make([]Segment, len(in))
	for i, s := range in {
		// Control points that the kind does not use stay as they are: zero.
		switch s.Kind {
		case Cubic:
			s.C2 = t.Apply(s.C2)
			fallthrough
		case Quad:
			s.C1 = t.Apply(s.C1)
		}
		s.End = t.Apply(s.End)
		out[i] = s
	}
	return out
}

// Transform returns the image of c under t.
func (c Curve) Transform(t Transform) Curve {
	return Curve{t.Apply(c.Start), t.segments(c.Segments)}
}

// Transform returns the image of p under t. Where t mirrors, every contour is
// also run backwards, so that outer contours stay counter-clockwise.
func (p Path) Transform(t Transform) Path {
	q := make(Path, len(p))
	mirrored := t.Determinant() < 0
	for i, c := range p {
		q[i] = Contour{t.Apply(c.Start), t.segments(c.Segments)}
		if mirrored {
			q[i] = q[i].Reversed()
		}
	}
	return q
}
