package outline

import (
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// Reading tells how words run along a circle.
type Reading uint8

// The ways to read along a circle.
const (
	ReadClockwise        Reading = iota // over the circle: letters stand outside, tops outwards
	ReadCounterclockwise                // under the circle: tops towards the centre
)

// String names the reading.
func (r Reading) String() string {
	switch r {
	case ReadClockwise:
		return "clockwise"
	case ReadCounterclockwise:
		return "counterclockwise"
	}
	return "unknown reading"
}

// circular is the warp onto a ring.
type circular struct {
	centre         Point
	radius, height float64
	middle, sweep  float64 // the angle at u = 1/2, and the turn from u = 0 to 1
	up             float64 // +1 where v grows outwards, -1 where it grows inwards
}

// CircularBaseline returns the warp that sets words on a circle: v = 0 lies on
// it, v = 1 at height above the letters' feet; the field's width is measured
// along the circle, and its middle lies in direction middle from the centre (90
// degrees: on top). Lengths along the baseline are kept. Where width is more than
// the circumference, the words overlap. A radius, width or height that is not
// above zero gives an [*OptionError].
func CircularBaseline(centre Point, radius units.Length, middle units.Angle, width, height units.Length, reading Reading) (Warp, error) {
	const op = "circular baseline"
	names := []string{"centre.X", "centre.Y", "radius", "middle", "width", "height"}
	values := []units.Length{units.Length(centre.X), units.Length(centre.Y), radius, units.Length(middle), width, height}
	if err := checkLengths(op, names, values...); err != nil {
		return nil, err
	}
	for i := 2; i < len(values); i++ {
		if i != 3 && values[i] <= 0 {
			return nil, &OptionError{op, names[i], values[i].String(), "give a length above zero"}
		}
	}
	c := &circular{centre: centre, radius: float64(radius), height: float64(height), middle: middle.Radians()}
	switch reading {
	case ReadClockwise:
		c.up, c.sweep = 1, -float64(width/radius)
	case ReadCounterclockwise:
		c.up, c.sweep = -1, float64(width/radius)
	default:
		return nil, &OptionError{op, "reading", reading.String(), "use ReadClockwise or ReadCounterclockwise"}
	}
	return c, nil
}

func (c *circular) Map(u, v float64) Point {
	p, _, _ := c.jet(u, v)
	return p
}

func (c *circular) Derivatives(u, v float64) (du, dv Point) {
	_, du, dv = c.jet(u, v)
	return du, dv
}

func (c *circular) jet(u, v float64) (p, du, dv Point) {
	sin, cos := math.Sincos(c.middle + (u-0.5)*c.sweep)
	r := c.radius + c.up*c.height*v
	p = Point{c.centre.X + r*cos, c.centre.Y + r*sin}
	du = Point{-r * c.sweep * sin, r * c.sweep * cos}
	dv = Point{c.up * c.height * cos, c.up * c.height * sin}
	return p, du, dv
}

func (c *circular) steps(u0, u1 float64) int { return angleSteps(c.sweep * (u1 - u0)) }

// along is the warp that stands letters on a curve.
type along struct {
	rail   *rail
	height float64
}

// AlongBaseline returns the warp that stands words on any curve, run from left
// to right: v = 0 lies on it, v = 1 at height to its left; u is the share of its
// arc length. Where the curve bends towards the letters more tightly than they
// are high, the warp folds, which [Bend] reports. A corner of the curve would
// leave a gap on one side and an overlap on the other: it gives a [*CurveError]
// that wraps [ErrCorner], as a curve without length gives one with [ErrNoLength].
// A height of zero or less gives an [*OptionError].
func AlongBaseline(baseline Curve, height units.Length) (Warp, error) {
	const op = "along baseline"
	if err := checkCurve(op, "baseline", baseline); err != nil {
		return nil, err
	}
	if err := checkLengths(op, []string{"height"}, height); err != nil {
		return nil, err
	}
	if height <= 0 {
		return nil, &OptionError{op, "height", height.String(), "give a length above zero"}
	}
	r := newRail(baseline)
	for _, j := range r.joins {
		if j.corner {
			p, _ := r.at(j.s)
			near := baseline.Nearest(p)
			return nil, &CurveError{op, "baseline", near.Segment, p, ErrCorner, "round the corner, or set the letters one by one with AlongCurve"}
		}
	}
	return &along{r, float64(height)}, nil
}

func (a *along) Map(u, v float64) Point {
	p, _, _ := a.jet(u, v)
	return p
}

func (a *along) Derivatives(u, v float64) (du, dv Point) {
	_, du, dv = a.jet(u, v)
	return du, dv
}

func (a *along) jet(u, v float64) (p, du, dv Point) {
	p, d, dd := a.rail.curving(u * a.rail.length)
	speed := d.Norm()
	n := d.Perp().Mul(1 / speed)
	h := a.height * v
	// The normal turns with the direction: n' = -(d x d')/|d|³ d.
	turn := d.Cross(dd) / (speed * speed * speed)
	p = p.Add(n.Mul(h))
	return p, d.Mul(a.rail.length * (1 - h*turn)), n.Mul(a.height)
}

func (a *along) bends() []float64 {
	seams := []float64{0} // beyond its ends the baseline is straight
	for _, j := range a.rail.joins {
		seams = append(seams, j.s/a.rail.length)
	}
	return append(seams, 1)
}

func (a *along) steps(u0, u1 float64) int {
	return a.rail.bending(u0*a.rail.length, u1*a.rail.length)
}

// Stance tells how [AlongCurve] places letters.
type Stance uint8

// The stances.
const (
	Turned  Stance = iota // each letter turned to the curve's direction below its middle
	Upright               // each letter only shifted, up stays up
)

// String names the stance.
func (s Stance) String() string {
	switch s {
	case Turned:
		return "turned"
	case Upright:
		return "upright"
	}
	return "unknown stance"
}

// AlongOptions control [AlongCurve]. The zero value turns the letters and starts
// at the curve's start.
type AlongOptions struct {
	Stance Stance
	Start  units.Length // the length along the curve at which x = 0 of the letters lies; may be negative
}

// AlongCurve sets letters on a baseline curve without bending them: the point of
// the letters' own baseline (y = 0) below each one's middle comes to lie on the
// curve, as far from its start as it was from x = 0. Beyond its ends the curve
// runs on straight. Each element of letters keeps its shape and its place in the
// result; letters that don't move together are separate elements, for which
// [Path.ByOrigin] helps. Errors: a [*CurveError] for baseline, a [*PathError] for a
// letter, an [*OptionError] for opt. Letters are not modified.
func AlongCurve(letters []Path, baseline Curve, opt AlongOptions) ([]Path, error) {
	const op = "along curve"
	if err := checkCurve(op, "baseline", baseline); err != nil {
		return nil, err
	}
	if err := checkLengths(op, []string{"Start"}, opt.Start); err != nil {
		return nil, err
	}
	if opt.Stance > Upright {
		return nil, &OptionError{op, "Stance", opt.Stance.String(), "use Turned or Upright"}
	}
	r := newRail(baseline)
	out := make([]Path, len(letters))
	for i, letter := range letters {
		if err := letter.check(op); err != nil {
			return nil, err
		}
		box := letter.Bounds()
		if box.IsEmpty() {
			continue
		}
		foot := Point{box.Centre().X, 0}
		p, d := r.at(foot.X + float64(opt.Start))
		t := Translate(foot.Mul(-1))
		if opt.Stance == Turned {
			d, _ = d.unit()
			t = t.Then(Transform{XX: d.X, XY: -d.Y, YX: d.Y, YY: d.X})
		}
		out[i] = letter.Transform(t.Then(Translate(p)))
	}
	return out, nil
}

// ByOrigin parts p into the contours of one origin each, such as the letters of
// a text, in the order in which the origins first appear. A contour's origin is
// that of its first segment; contours of unknown origin (0) stay together.
func (p Path) ByOrigin() []Path {
	var parts []Path
	place := map[int32]int{}
	for _, c := range p {
		var origin int32
		if len(c.Segments) > 0 {
			origin = c.Segments[0].Origin
		}
		i, ok := place[origin]
		if !ok {
			i = len(parts)
			place[origin] = i
			parts = append(parts, nil)
		}
		parts[i] = append(parts[i], c)
	}
	return parts
}
