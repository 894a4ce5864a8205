package outline

import "math"

// hairpin is a sharp turn of a segment: the place where it is slowest, and over
// what range of t, to either side, it turns.
type hairpin struct{ t, width float64 }

// widestHairpin is the width, as a share of the segment, from which on the usual
// samples see a turn well enough.
const widestHairpin = 0.2

// hairpinSteps are the places around a hairpin, in widths, at which a fit is
// looked at once more: a turn of the direction by 90 degrees lies between -1 and
// 1.
var hairpinSteps = [...]float64{-6, -3, -1.5, -1, -0.6, -0.3, 0, 0.3, 0.6, 1, 1.5, 3, 6}

// hairpins appends the sharp turns of a curve with the given derivative. Curves
// whose control polygon turns by at most 90 degrees, as nearly all do, have none
// and cost three products.
func (h *hodograph) hairpins(pins []hairpin) []hairpin {
	// The derivative's own control points.
	d0 := h.a
	d1 := h.a.Add(h.b.Mul(0.5))
	d2 := h.a.Add(h.b).Add(h.c)
	if d0.Dot(d1) >= 0 && d1.Dot(d2) >= 0 && d0.Dot(d2) >= 0 {
		return pins
	}
	// Half the derivative of the squared speed, a cubic in t, as Bernstein
	// ordinates of a segment's y: its rising zeros are where the curve is slowest.
	k0, k1, k2, k3 := h.a.Dot(h.b), h.b.Dot(h.b)+2*h.a.Dot(h.c), 3*h.b.Dot(h.c), 2*h.c.Dot(h.c)
	start := Point{0, k0}
	s := CubicTo(Point{0, k0 + k1/3}, Point{0, k0 + 2*k1/3 + k2/3}, Point{0, k0 + k1 + k2 + k3})
	var buffer [4]float64
	for _, t := range s.meetY(start, 0, buffer[:0]) {
		v := Point{h.a.X + t*(h.b.X+t*h.c.X), h.a.Y + t*(h.b.Y+t*h.c.Y)}
		turn := Point{h.b.X + 2*t*h.c.X, h.b.Y + 2*t*h.c.Y}
		if width := v.Norm() / turn.Norm(); width < widestHairpin {
			pins = append(pins, hairpin{t, width})
		}
	}
	return pins
}

// sharpDeviation returns how far the image gets from the segment fitted between
// two knots around the source's hairpins.
func (x *piece) sharpDeviation(from, to knot, fitted Segment) (worst float64, err error) {
	c := Curve{from.p, []Segment{fitted}}
	for _, pin := range x.pins {
		for _, k := range hairpinSteps {
			t := pin.t + k*pin.width
			if t <= from.t || t >= to.t {
				continue
			}
			p, err := x.image(t)
			if err != nil {
				return 0, err
			}
			worst = math.Max(worst, float64(c.Nearest(p).Distance))
		}
	}
	return worst, nil
}
