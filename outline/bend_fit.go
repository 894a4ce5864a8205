package outline

import (
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/units"
)

// fitSamples is at how many inner parameters a piece is compared with its exact
// image.
const fitSamples = 9

// bernstein holds the cubic Bernstein polynomials at t = 1/10 ... 9/10.
var bernstein = func() (table [fitSamples][4]float64) {
	for i := range table {
		t := float64(i+1) / (fitSamples + 1)
		table[i] = bernsteinAt(t)
	}
	return table
}()

func bernsteinAt(t float64) [4]float64 {
	u := 1 - t
	return [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t}
}

const (
	// sampleShare is the share of the tolerance that the samples may use up;
	// between them the deviation can be larger.
	sampleShare = 0.8
	// straightShare is the share of the tolerance within which an image counts
	// as straight, or as affine. Small, so that a smooth edge stays smooth.
	straightShare = 0.05
	// calmShare is the share of what a fit may deviate from which on its peak is
	// looked for between the samples.
	calmShare = 0.4
	// maxRefits bounds how often the handles are improved.
	maxRefits = 4
	// hopeless is how many times the tolerance a fit may miss to be improved
	// rather than cut.
	hopeless = 100
	// roundingShare is the share of a coordinate below which a deviation is
	// rounding: with images of 1e12 mm and more it takes the tolerance's place.
	roundingShare = 1e-14
	// maxBendDepth bounds how often a piece is halved: enough to get from 1e9 mm
	// below any tolerance, if the image has no gap.
	maxBendDepth = 40
	// chordDepth is after how many halvings a chord within the tolerance will do:
	// near a cusp, where an image has no direction, halving alone does not help a
	// cubic.
	chordDepth = 8
)

// piece bends one segment of the source.
type piece struct {
	b          *bender
	start      Point
	s          *Segment
	low, high  float64 // u over the control points
	atCreases  bool    // some end may lie on a crease
	c0, c1, c2 Point   // the segment is start + c0 t + c1 t² + c2 t³
	pins       []hairpin
}

// set prepares x for a segment; the bender keeps one piece for all.
func (x *piece) set(b *bender, start Point, s *Segment) {
	*x = piece{b: b, start: start, s: s, pins: x.pins[:0]}
	h := s.hodograph(start)
	if s.Kind != Line {
		x.pins = h.hairpins(x.pins)
	}
	x.c0, x.c1, x.c2 = h.a, h.b.Mul(0.5), h.c.Mul(1.0/3)
	lo, hi := math.Min(start.X, s.End.X), math.Max(start.X, s.End.X)
	if s.Kind != Line {
		lo, hi = math.Min(lo, s.C1.X), math.Max(hi, s.C1.X)
	}
	if s.Kind == Cubic {
		lo, hi = math.Min(lo, s.C2.X), math.Max(hi, s.C2.X)
	}
	x.low, x.high = (lo-b.origin.X)*b.kx, (hi-b.origin.X)*b.kx
	x.atCreases = len(b.creases) > 0
}

// cuts returns the parameters, in order, where the segment meets a crease.
func (x *piece) cuts() []float64 {
	if !x.atCreases || !(x.low < x.high) {
		return nil
	}
	return x.meet(strictlyBetween(x.b.creases, x.low, x.high))
}

// meet returns the sorted inner parameters at which u takes one of the values.
func (x *piece) meet(us []float64) []float64 {
	var ts []float64
	for _, u := range us {
		ts = x.s.meetX(x.start, x.b.origin.X+u/x.b.kx, ts)
	}
	slices.Sort(ts)
	return slices.Compact(ts)
}

// point returns the source at t.
func (x *piece) point(t float64) Point {
	return Point{
		x.start.X + t*(x.c0.X+t*(x.c1.X+t*x.c2.X)),
		x.start.Y + t*(x.c0.Y+t*(x.c1.Y+t*x.c2.Y)),
	}
}

func (x *piece) velocity(t float64) Point {
	return Point{
		x.c0.X + t*(2*x.c1.X+3*t*x.c2.X),
		x.c0.Y + t*(2*x.c1.Y+3*t*x.c2.Y),
	}
}

// image returns the image at t, having checked that the warp does not turn over
// there.
func (x *piece) image(t float64) (Point, error) {
	b := x.b
	q := x.point(t)
	u, v := (q.X-b.origin.X)*b.kx, (q.Y-b.origin.Y)*b.ky
	p, du, dv := b.jet(u, v)
	det := du.Cross(dv)
	if det*b.sense > 0 && p.IsFinite() {
		return p, nil
	}
	here := Fold{b.contour, b.segment, q, p, u, v}
	if !p.IsFinite() || math.IsNaN(det) {
		return p, &BendError{here, ErrNotFinite, fixFinite}
	}
	if turnSign(du, dv)*b.sense < 0 {
		return p, b.fold(here)
	}
	return p, nil
}

func (x *piece) knot(t float64) (knot, error) {
	p, err := x.image(t)
	return knot{t, p}, err
}

// creaseNudge is how far inside a piece, as a share of it, the derivative is
// taken when an end may lie on a crease.
const creaseNudge = 1e-7

// derivative returns the derivative of the image by t at one end of a piece,
// seen from inside, the other end. Where a handle of length zero takes the
// source's own derivative away, only the direction means something. The noise is
// what the source's rounding moves the image by.
func (x *piece) derivative(t, inside float64) (d Point, noise float64) {
	if x.atCreases {
		t += (inside - t) * creaseNudge
	}
	d = x.velocity(t)
	if d == (Point{}) && (t == 0 || t == 1) {
		d = x.s.Direction(x.start, t)
	}
	q := x.point(t)
	u, v := x.b.uv(q)
	_, du, dv := x.b.jet(u, v)
	du, dv = du.Mul(x.b.kx), dv.Mul(x.b.ky)
	noise = roundingShare * ((math.Abs(du.X)+math.Abs(du.Y))*math.Abs(q.X) + (math.Abs(dv.X)+math.Abs(dv.Y))*math.Abs(q.Y))
	return Point{du.X*d.X + dv.X*d.Y, du.Y*d.X + dv.Y*d.Y}, noise
}

// run appends the image of the piece between two knots.
func (x *piece) run(from, to knot, depth int) error {
	if depth >= maxBendDepth {
		q := x.point(from.t)
		u, v := x.b.uv(q)
		return &BendError{Fold{x.b.contour, x.b.segment, q, from.p, u, v}, ErrRough, fixRough}
	}
	if x.b.steps(x.low, x.high) <= maxSteps || x.b.steps(x.reach(from.t, to.t)) <= maxSteps {
		if fits, err := x.fit(from, to, depth); fits || err != nil {
			return err
		}
	}
	mid, err := x.knot(x.cut(from.t, to.t))
	if err != nil {
		return err
	}
	if err := x.run(from, mid, depth+1); err != nil {
		return err
	}
	return x.run(mid, to, depth+1)
}

// reach returns the range of u over part of the segment.
func (x *piece) reach(t0, t1 float64) (low, high float64) {
	from, part := x.s.Part(x.start, t0, t1)
	low, high = math.Min(from.X, part.End.X), math.Max(from.X, part.End.X)
	if part.Kind != Line {
		low, high = math.Min(low, part.C1.X), math.Max(high, part.C1.X)
	}
	if part.Kind == Cubic {
		low, high = math.Min(low, part.C2.X), math.Max(high, part.C2.X)
	}
	return (low - x.b.origin.X) * x.b.kx, (high - x.b.origin.X) * x.b.kx
}

// seamShare is the share of a piece at either end in which no seam is worth a
// cut.
const seamShare = 0.02

// cut returns where to cut a piece that one cubic can't follow: at a hairpin, at
// the seam of the warp nearest to its middle, or else in the middle.
func (x *piece) cut(t0, t1 float64) float64 {
	m := (t0 + t1) / 2
	margin := seamShare * (t1 - t0)
	for _, pin := range x.pins {
		if pin.t > t0+margin && pin.t < t1-margin {
			return pin.t
		}
	}
	if len(x.b.seams) == 0 {
		return m
	}
	low, high := x.reach(t0, t1)
	best := math.Inf(1)
	for _, t := range x.meet(strictlyBetween(x.b.seams, low, high)) {
		if t > t0+margin && t < t1-margin && math.Abs(t-m) < math.Abs(best-m) {
			best = t
		}
	}
	if math.IsInf(best, 1) {
		return m
	}
	return best
}

// fit appends one segment for the piece between two knots, if one can follow the
// image, or if it must.
func (x *piece) fit(from, to knot, depth int) (fits bool, err error) {
	h := to.t - from.t
	var f [fitSamples]Point
	for i := range f {
		if f[i], err = x.image(from.t + h*float64(i+1)/(fitSamples+1)); err != nil {
			return false, err
		}
	}
	rounding := roundingShare * math.Max(math.Max(math.Abs(from.p.X), math.Abs(from.p.Y)), math.Max(math.Abs(to.p.X), math.Abs(to.p.Y)))
	limit := math.Max(x.b.tolerance*sampleShare, rounding)
	straight := math.Max(x.b.tolerance*straightShare, rounding)
	if x.s.Kind == Line {
		if d := deviationFromChord(from.p, to.p, &f); d <= straight {
			x.emit(LineTo(to.p), d)
			return true, nil
		}
	} else if h == 1 {
		if s, d, ok := x.affine(from, to, &f, straight); ok {
			return x.accept(from, to, s, d, limit)
		}
	}
	if depth < chordDepth && turnsSharply(from.p, to.p, &f) {
		return false, nil // its tip may lie between two samples
	}
	a, noiseA := x.derivative(from.t, to.t)
	z, noiseZ := x.derivative(to.t, from.t)
	limit = math.Max(limit, math.Max(noiseA, noiseZ))
	s, d, at := fitCubic(from.p, to.p, a.Mul(h), z.Mul(h), &f, limit)
	if !(d <= limit) && depth >= chordDepth {
		s, d = LineTo(to.p), deviationFromChord(from.p, to.p, &f)
	}
	if !(d <= limit) {
		return false, nil
	}
	if d > limit*calmShare {
		// The peak may lie between the samples: beside the farthest of them or,
		// near a fold, anywhere.
		c := Curve{from.p, []Segment{s}}
		peak := float64(at + 1)
		look := func(place float64) error {
			p, err := x.image(from.t + h*place/(fitSamples+1))
			if err != nil {
				return err
			}
			if far := float64(c.Nearest(p).Distance); far > d {
				d, peak = far, place
			}
			return nil
		}
		for k := range 2*fitSamples + 2 {
			if err := look(float64(k/2) + [2]float64{0.35, 0.65}[k%2]); err != nil {
				return false, err
			}
		}
		for _, step := range [...]float64{0.15, 0.07} {
			around := peak
			for _, place := range [...]float64{around - step, around + step} {
				if err := look(place); err != nil {
					return false, err
				}
			}
		}
		if !(d <= limit) {
			return false, nil
		}
	}
	return x.accept(from, to, s, d, limit)
}

// sharpTurn is the cosine of the angle between neighbouring chords from which on
// samples are too far apart to tell where a curve turns: 40 degrees, where a
// quarter circle has 9.
var sharpTurn = math.Cos(40 * math.Pi / 180)

// turnsSharply reports whether two neighbouring chords of the samples make a
// larger angle.
func turnsSharply(a, b Point, f *[fitSamples]Point) bool {
	last := f[0].Sub(a)
	length := last.X*last.X + last.Y*last.Y
	for i := range f {
		next := b
		if i+1 < len(f) {
			next = f[i+1]
		}
		d := next.Sub(f[i])
		l := d.X*d.X + d.Y*d.Y
		if last.X*d.X+last.Y*d.Y < sharpTurn*math.Sqrt(length*l) {
			return true
		}
		last, length = d, l
	}
	return false
}

// accept appends a segment that fits at the samples, unless it misses a hairpin
// between them.
func (x *piece) accept(from, to knot, s Segment, deviation, limit float64) (fits bool, err error) {
	if len(x.pins) > 0 {
		sharp, err := x.sharpDeviation(from, to, s)
		if err != nil || !(sharp <= limit) {
			return false, err
		}
		deviation = math.Max(deviation, sharp)
	}
	x.emit(s, deviation)
	return true, nil
}

func (x *piece) emit(s Segment, deviation float64) {
	s.Origin = x.s.Origin
	x.b.out = append(x.b.out, s)
	if d := float64(x.b.report.Deviation); deviation > d {
		x.b.report.Deviation = units.Length(deviation)
	}
}

// affine returns the segment with its control points mapped, if its points
// follow the image point for point: then the warp is affine as far as the
// segment can tell.
func (x *piece) affine(from, to knot, f *[fitSamples]Point, limit float64) (s Segment, deviation float64, ok bool) {
	s = *x.s
	s.End = to.p
	s.C1, _, _ = x.b.jet(x.b.uv(x.s.C1))
	if s.Kind == Cubic {
		s.C2, _, _ = x.b.jet(x.b.uv(x.s.C2))
	}
	for _, i := range [fitSamples]int{4, 1, 7, 0, 2, 3, 5, 6, 8} { // the middle tells most
		d := s.At(from.p, float64(i+1)/(fitSamples+1)).Distance(f[i])
		deviation = math.Max(deviation, d)
		if !(deviation <= limit) {
			return s, deviation, false
		}
	}
	return s, deviation, true
}

// gapShare is the share of a chord that one step between samples may take: more
// is a gap in the image, which a chord must not bridge in silence.
const gapShare = 0.6

// deviationFromChord returns how far the farthest sample lies from the straight
// line between a and b, or, where the samples don't run evenly along it, how far
// they and b get from a.
func deviationFromChord(a, b Point, f *[fitSamples]Point) float64 {
	chord := b.Sub(a)
	d, ok := chord.unit()
	length := chord.Norm()
	far, worst, previous := length, 0.0, 0.0
	for _, q := range f {
		r := q.Sub(a)
		far = math.Max(far, r.Norm())
		along := r.Dot(d)
		ok = ok && along >= previous && along-previous <= gapShare*length
		previous = along
		worst = math.Max(worst, math.Abs(r.Cross(d)))
	}
	if !ok || previous > length || length-previous > gapShare*length {
		return far
	}
	return worst
}

// fitCubic returns the cubic from a to b whose end directions are those of the
// derivatives da and db and whose handles fit the samples best, how far the
// farthest sample lies from it, and which that is. It stops improving once that
// is within limit.
//
// It starts from least squares over the handle lengths with the samples'
// parameters as they are. Then, in turn, the samples move to their nearest points
// on the curve (as in Schneider, "An algorithm for automatically fitting
// digitized curves", Graphics Gems, 1990), and the handles follow by a
// Gauss-Newton step on the distances along the normals alone: what is left along
// the curve is no deviation.
func fitCubic(a, b, da, db Point, f *[fitSamples]Point, limit float64) (s Segment, deviation float64, at int) {
	ta, okA := da.unit()
	tb, okB := db.unit()
	if !okA {
		ta, okA = f[0].Sub(a).unit()
	}
	if !okB {
		tb, okB = b.Sub(f[fitSamples-1]).unit()
	}
	if !okA || !okB {
		return LineTo(b), math.Inf(1), 0
	}
	ha, hb, ok := handles(a, b, ta, tb, f, &bernstein)
	if !ok {
		// What the derivatives themselves say.
		ha, hb = da.Norm()/3, db.Norm()/3
	}
	var ts [fitSamples]float64
	for i := range ts {
		ts[i] = float64(i+1) / (fitSamples + 1)
	}
	var best Segment
	least, farthest := math.Inf(1), 0
	for round := 0; ; round++ {
		s := CubicTo(Point{a.X + ta.X*ha, a.Y + ta.Y*ha}, Point{b.X - tb.X*hb, b.Y - tb.Y*hb}, b)
		// The curve is a + e1 t + e2 t² + e3 t³.
		e1 := Point{3 * (s.C1.X - a.X), 3 * (s.C1.Y - a.Y)}
		e2 := Point{3*(s.C2.X-s.C1.X) - e1.X, 3*(s.C2.Y-s.C1.Y) - e1.Y}
		e3 := Point{b.X - a.X - e1.X - e2.X, b.Y - a.Y - e1.Y - e2.Y}
		var worst, s11, s12, s22, r1, r2 float64
		for i := range f {
			t := ts[i]
			rx := f[i].X - a.X - t*(e1.X+t*(e2.X+t*e3.X))
			ry := f[i].Y - a.Y - t*(e1.Y+t*(e2.Y+t*e3.Y))
			dx := e1.X + t*(2*e2.X+t*3*e3.X)
			dy := e1.Y + t*(2*e2.Y+t*3*e3.Y)
			d := rx*rx + ry*ry
			if dd := dx*dx + dy*dy; d > limit*limit && dd > 0 {
				t = math.Max(0, math.Min(1, t+(rx*dx+ry*dy)/dd))
				ts[i] = t
				rx = f[i].X - a.X - t*(e1.X+t*(e2.X+t*e3.X))
				ry = f[i].Y - a.Y - t*(e1.Y+t*(e2.Y+t*e3.Y))
				dx = e1.X + t*(2*e2.X+t*3*e3.X)
				dy = e1.Y + t*(2*e2.Y+t*3*e3.Y)
				d = rx*rx + ry*ry
			}
			if d > worst {
				worst, at = d, i
			}
			// How the curve moves along its normal (dy, -dx) with either handle.
			u := 1 - t
			g1 := 3 * u * u * t * (ta.X*dy - ta.Y*dx)
			g2 := -3 * u * t * t * (tb.X*dy - tb.Y*dx)
			if dd := dx*dx + dy*dy; dd > 0 {
				r := (rx*dy - ry*dx) / dd
				s11 += g1 * g1 / dd
				s12 += g1 * g2 / dd
				s22 += g2 * g2 / dd
				r1 += g1 * r
				r2 += g2 * r
			}
		}
		if worst < least {
			best, least, farthest = s, worst, at
		}
		if worst <= limit*limit || round >= maxRefits || worst > hopeless*hopeless*limit*limit {
			return best, math.Sqrt(least), farthest
		}
		det := s11*s22 - s12*s12
		ha += (r1*s22 - r2*s12) / det
		hb += (r2*s11 - r1*s12) / det
		if !(ha > 0 && hb > 0) || math.IsInf(ha, 1) || math.IsInf(hb, 1) {
			return best, math.Sqrt(least), farthest
		}
	}
}

// handles solves the normal equations for the two handle lengths; ok is false
// where they have no sensible solution.
func handles(a, b, ta, tb Point, f *[fitSamples]Point, basis *[fitSamples][4]float64) (ha, hb float64, ok bool) {
	var s11, s12, s22, r1, r2 float64
	for i := range f {
		w := &basis[i]
		dx := f[i].X - a.X*(w[0]+w[1]) - b.X*(w[2]+w[3])
		dy := f[i].Y - a.Y*(w[0]+w[1]) - b.Y*(w[2]+w[3])
		s11 += w[1] * w[1]
		s12 += w[1] * w[2]
		s22 += w[2] * w[2]
		r1 += w[1] * (dx*ta.X + dy*ta.Y)
		r2 -= w[2] * (dx*tb.X + dy*tb.Y)
	}
	s12 *= -ta.Dot(tb)
	det := s11*s22 - s12*s12
	ha = (r1*s22 - r2*s12) / det
	hb = (r2*s11 - r1*s12) / det
	return ha, hb, ha > 0 && hb > 0 && !math.IsInf(ha, 1) && !math.IsInf(hb, 1)
}
