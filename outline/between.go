package outline

import (
	"fmt"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/units"
)

// between is the map (u, v) to bottom(u) + v (top(u) - bottom(u)), both curves
// taken by their share of arc length.
type between struct {
	bottom, top *rail
	creases     []float64
	seams       []float64
}

// Between returns the warp of the field between two boundary curves, both run
// from left to right: u is the share of arc length along each of them, v the
// share of the way from bottom to top along the straight line between the two
// points. Beyond their ends the curves run on straight.
//
// The curves are followed within 0.00001 mm. A curve without length or with a
// coordinate that is not finite gives a [*CurveError].
func Between(bottom, top Curve) (Warp, error) {
	if err := checkCurve("between", "bottom", bottom); err != nil {
		return nil, err
	}
	if err := checkCurve("between", "top", top); err != nil {
		return nil, err
	}
	// Beyond their ends the curves have no curvature any more.
	b := &between{bottom: newRail(bottom), top: newRail(top), seams: []float64{0, 1}}
	for _, r := range []*rail{b.bottom, b.top} {
		for _, j := range r.joins {
			if j.corner {
				b.creases = append(b.creases, j.s/r.length)
			}
			b.seams = append(b.seams, j.s/r.length)
		}
	}
	slices.Sort(b.creases)
	slices.Sort(b.seams)
	return b, nil
}

func (b *between) Map(u, v float64) Point {
	p, _ := b.bottom.at(u * b.bottom.length)
	q, _ := b.top.at(u * b.top.length)
	return Point{p.X + v*(q.X-p.X), p.Y + v*(q.Y-p.Y)}
}

func (b *between) Derivatives(u, v float64) (du, dv Point) {
	_, du, dv = b.jet(u, v)
	return du, dv
}

func (b *between) jet(u, v float64) (p, du, dv Point) {
	p0, d0 := b.bottom.at(u * b.bottom.length)
	p1, d1 := b.top.at(u * b.top.length)
	dv = Point{p1.X - p0.X, p1.Y - p0.Y}
	k0, k1 := (1-v)*b.bottom.length, v*b.top.length
	du = Point{k0*d0.X + k1*d1.X, k0*d0.Y + k1*d1.Y}
	return Point{p0.X + v*dv.X, p0.Y + v*dv.Y}, du, dv
}

// Creases returns the u at which the bottom or the top curve has a corner.
func (b *between) Creases() []float64 { return b.creases }

func (b *between) bends() []float64 { return b.seams }

func (b *between) steps(u0, u1 float64) int {
	n := 0
	for _, r := range [2]*rail{b.bottom, b.top} {
		n = max(n, r.bending(u0*r.length, u1*r.length))
	}
	return n
}

// BetweenArcs returns the warp of box whose bottom and top sides are bent to
// circular arcs through the box's corners. A rise is how far the middle of the
// side moves up, negative for down, zero for a straight side; beyond half the
// box's width it makes more than a half circle. The box is in the result's
// coordinates; one without width or height, or a rise that is not finite, gives an
// [*OptionError].
func BetweenArcs(box Box, bottomRise, topRise units.Length) (Warp, error) {
	const op = "between arcs"
	if err := checkBox(op, box); err != nil {
		return nil, err
	}
	if err := checkLengths(op, []string{"bottomRise", "topRise"}, bottomRise, topRise); err != nil {
		return nil, err
	}
	return Between(
		ArcThrough(box.Min, Point{box.Max.X, box.Min.Y}, bottomRise),
		ArcThrough(Point{box.Min.X, box.Max.Y}, box.Max, topRise),
	)
}

// ArcThrough returns the circular arc from one point to another whose middle
// lies rise to the left of their straight connection, seen in the direction of
// travel (up, for an arc from left to right), within [ArcTolerance]; zero gives
// the straight line.
func ArcThrough(from, to Point, rise units.Length) Curve {
	h := float64(rise)
	chord := to.Sub(from)
	half := chord.Norm() / 2
	if h == 0 || half == 0 {
		return Polyline(from, to)
	}
	// The half sweep a satisfies tan(a/2) = k; the radius follows.
	k := h / half
	a := 2 * math.Atan(k)
	radius := half * (1 + k*k) / (2 * math.Abs(k))
	if arcPieces(radius, 2*a) == 1 {
		// Without the centre, which lies too far away to be told where the rise is
		// small: handles of 4/3 tan(a/2) radii.
		along, across := chord.Mul((1-k*k)/3), chord.Perp().Mul(2*k/3)
		return Curve{from, []Segment{CubicTo(from.Add(along).Add(across), to.Sub(along).Add(across), to)}}
	}
	up := chord.Perp().Mul(1 / (2 * half))
	centre := from.Lerp(to, 0.5).Add(up.Mul(h - math.Copysign(radius, h)))
	start := from.Sub(centre)
	c := Curve{Start: from}
	c.Segments = appendArc(nil, centre, radius, radius, math.Atan2(start.Y, start.X), -2*a)
	c.Segments[len(c.Segments)-1].End = to
	return c
}

// Sine describes the wave that [BetweenSines] gives to one side of a box. The
// zero Sine is straight.
type Sine struct {
	Amplitude units.Length // how far it leaves the side, up and down
	Periods   float64      // whole waves along the side; zero means one
	Phase     units.Angle  // of the wave at the side's left end; zero starts on the side, going up
}

// maxPeriods bounds the waves along one side: more than a thousand are no
// lettering.
const maxPeriods = 1000

// BetweenSines returns the warp of box whose bottom and top sides are bent to
// sine waves about the straight sides, within [ArcTolerance]. As with every
// boundary curve, u is the share of arc length. A box without width or height, or a
// wave that is not finite or has more than a thousand periods, gives an
// [*OptionError].
func BetweenSines(box Box, bottom, top Sine) (Warp, error) {
	const op = "between sines"
	if err := checkBox(op, box); err != nil {
		return nil, err
	}
	low, err := sineCurve(op, box.Min, box.Width(), bottom)
	if err != nil {
		return nil, err
	}
	high, err := sineCurve(op, Point{box.Min.X, box.Max.Y}, box.Width(), top)
	if err != nil {
		return nil, err
	}
	return Between(low, high)
}

func sineCurve(op string, from Point, width float64, s Sine) (Curve, error) {
	if err := checkLengths(op, []string{"Amplitude", "Phase"}, s.Amplitude, units.Length(s.Phase)); err != nil {
		return Curve{}, err
	}
	periods := s.Periods
	if periods == 0 {
		periods = 1
	}
	if !(math.Abs(periods) <= maxPeriods) {
		return Curve{}, &OptionError{op, "Periods", fmt.Sprint(periods), "give at most a thousand waves"}
	}
	if s.Amplitude == 0 {
		return Polyline(from, Point{from.X + width, from.Y}), nil
	}
	omega := 2 * math.Pi * periods
	wave := waveWarp{from, width, float64(s.Amplitude), omega, s.Phase.Radians()}
	return BendCurve(Polyline(Point{}, Point{1, 0}), Box{Point{}, Point{1, 1}}, wave, BendOptions{Tolerance: ArcTolerance})
}

// waveWarp shears the plane along a sine.
type waveWarp struct {
	from                           Point
	width, amplitude, omega, phase float64
}

func (w waveWarp) Map(u, v float64) Point {
	return Point{w.from.X + w.width*u, w.from.Y + v + w.amplitude*math.Sin(w.omega*u+w.phase)}
}

func (w waveWarp) Derivatives(u, _ float64) (du, dv Point) {
	return Point{w.width, w.amplitude * w.omega * math.Cos(w.omega*u+w.phase)}, Point{0, 1}
}

func (w waveWarp) steps(u0, u1 float64) int { return angleSteps(w.omega * (u1 - u0)) }

// angleSteps counts steps as [rail.bending] does.
func angleSteps(angle float64) int {
	return int(math.Min(math.Abs(angle)/bendStep, math.MaxInt32))
}

// Quadrilateral returns the warp of the field between two straight sides, given
// by their ends: both are divided evenly. A side without length gives a
// [*CurveError].
func Quadrilateral(bottomLeft, bottomRight, topRight, topLeft Point) (Warp, error) {
	return Between(Polyline(bottomLeft, bottomRight), Polyline(topLeft, topRight))
}

// Trapezoid returns the warp of box whose bottom and top sides take the given
// widths, both about the box's middle. Errors are those of [BetweenArcs] and, for
// a width of zero, of [Quadrilateral].
func Trapezoid(box Box, bottomWidth, topWidth units.Length) (Warp, error) {
	const op = "trapezoid"
	if err := checkBox(op, box); err != nil {
		return nil, err
	}
	if err := checkLengths(op, []string{"bottomWidth", "topWidth"}, bottomWidth, topWidth); err != nil {
		return nil, err
	}
	x, b, t := box.Centre().X, float64(bottomWidth)/2, float64(topWidth)/2
	return Quadrilateral(Point{x - b, box.Min.Y}, Point{x + b, box.Min.Y}, Point{x + t, box.Max.Y}, Point{x - t, box.Max.Y})
}
