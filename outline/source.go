package outline

import "math"

// source is a smooth piece that chords were cut from, run from t = 0 to 1: a
// segment; an arc about a centre; or a segment moved sideways by a distance.
type source struct {
	start         Point // of the segment; of an arc, its centre
	seg           Segment
	kind          sourceKind
	contour, node int32   // its place in the input, for messages
	distance      float64 // to the right of the segment; of an arc, the radius
	angle, sweep  float64 // of an arc, where it begins and how far it turns
}

type sourceKind uint8

const (
	segmentSource sourceKind = iota
	arcSource
	offsetSource
)

// isLine reports whether the source is straight.
func (s *source) isLine() bool { return s.kind != arcSource && s.seg.Kind == Line }

func (s *source) at(t float64) Point {
	switch s.kind {
	case arcSource:
		sin, cos := math.Sincos(s.angle + t*s.sweep)
		return Point{s.start.X + s.distance*cos, s.start.Y + s.distance*sin}
	case offsetSource:
		n := s.seg.Direction(s.start, t).Perp()
		return s.seg.At(s.start, t).Sub(n.Mul(s.distance))
	}
	return s.seg.At(s.start, t)
}

// derivative returns the change of at with t.
func (s *source) derivative(t float64) Point {
	switch s.kind {
	case arcSource:
		sin, cos := math.Sincos(s.angle + t*s.sweep)
		k := s.distance * s.sweep
		return Point{-k * sin, k * cos}
	case offsetSource:
		d := s.seg.Derivative(s.start, t)
		v := d.Norm()
		if v == 0 || s.seg.Kind == Line {
			return d
		}
		// (p - r n)' = (1 + r κ) p', with n to the left and κ positive to the left.
		curvature := d.Cross(s.seg.second(s.start, t)) / (v * v * v)
		return d.Mul(1 + s.distance*curvature)
	}
	return s.seg.Derivative(s.start, t)
}

// second returns the second derivative by t.
func (s Segment) second(start Point, t float64) Point {
	switch s.Kind {
	case Quad:
		return start.Sub(s.C1.Mul(2)).Add(s.End).Mul(2)
	case Cubic:
		a := start.Sub(s.C1.Mul(2)).Add(s.C2)
		b := s.C1.Sub(s.C2.Mul(2)).Add(s.End)
		return a.Lerp(b, t).Mul(6)
	}
	return Point{}
}

// sub is [Segment.Part] that runs backwards where t0 > t1.
func (s Segment) sub(start Point, t0, t1 float64) (Point, Segment) {
	if t0 > t1 {
		from, part := s.Part(start, t1, t0)
		return part.End, part.Reversed(from)
	}
	return s.Part(start, t0, t1)
}

// append adds the part of the source from t0 to t1 to segments, with its ends
// moved to from and to, within tolerance.
func (s *source) append(segments []Segment, from, to Point, t0, t1, tolerance float64) []Segment {
	if s.isLine() {
		return append(segments, Segment{End: to, Origin: s.seg.Origin})
	}
	switch s.kind {
	case arcSource:
		return appendArcCubics(segments, from, to, s, t0, t1, tolerance)
	case offsetSource:
		return appendOffset(segments, from, to, s, t0, t1, tolerance, 0)
	}
	start, seg := s.seg.sub(s.start, t0, t1)
	if seg.Kind == Quad {
		seg.C1 = seg.C1.Add(from.Sub(start).Add(to.Sub(seg.End)).Mul(0.5))
	} else {
		seg.C1 = seg.C1.Add(from.Sub(start))
		seg.C2 = seg.C2.Add(to.Sub(seg.End))
	}
	seg.End = to
	return append(segments, seg)
}

// arcError is the largest deviation, as a share of the radius, of the cubic with
// handles 4/3·tan(θ/4) from an arc of θ: 2.73e-4 for a quarter turn, falling
// with the sixth power of θ (Goldapp, "Approximation of circular arcs by cubic
// polynomials", CAGD 8, 1991).
const arcError = 2.73e-4

func appendArcCubics(segments []Segment, from, to Point, s *source, t0, t1, tolerance float64) []Segment {
	sweep := (t1 - t0) * s.sweep
	// Handles never span more than a quarter turn.
	most := math.Min(1, math.Pow(tolerance*0.5/(arcError*s.distance), 1.0/6)) * math.Pi / 2
	n := max(1, int(math.Ceil(math.Abs(sweep)/most-1e-9)))
	h := 4.0 / 3 * math.Tan(sweep/float64(4*n))
	for i := range n {
		a := s.at(t0 + (t1-t0)*float64(i)/float64(n))
		b := s.at(t0 + (t1-t0)*float64(i+1)/float64(n))
		p, q := a, b
		if i == 0 {
			p = from
		}
		if i == n-1 {
			q = to
		}
		c1 := p.Add(a.Sub(s.start).Perp().Mul(h))
		c2 := q.Sub(b.Sub(s.start).Perp().Mul(h))
		segments = append(segments, Segment{Kind: Cubic, C1: c1, C2: c2, End: q, Origin: s.seg.Origin})
	}
	return segments
}

// maxOffsetDepth bounds how often the fit of an offset curve is halved.
const maxOffsetDepth = 16

// appendOffset fits cubics to an offset segment: ends and end tangents exact,
// handles by least squares; halved until nine samples are within tolerance.
func appendOffset(segments []Segment, from, to Point, s *source, t0, t1, tolerance float64, depth int) []Segment {
	const samples = 9
	var points [samples]Point
	for i := range points {
		points[i] = s.at(t0 + (t1-t0)*float64(i+1)/(samples+1))
	}
	if depth > 0 && fitsLine(from, to, points[:], tolerance*0.5) {
		return append(segments, Segment{End: to, Origin: s.seg.Origin})
	}
	d0, d1 := s.derivative(t0), s.derivative(t1)
	if t1 < t0 {
		d0, d1 = d0.Mul(-1), d1.Mul(-1)
	}
	seg, _, ok := fitHermite(from, to, d0, d1, points[:], tolerance*0.5)
	if ok && depth < maxOffsetDepth {
		// The other way round as well: no bulge of the cubic between the samples.
		for i := range samples + 1 {
			k := (float64(i) + 0.5) / (samples + 1)
			p := seg.At(from, k)
			t := s.project(p, t0+(t1-t0)*k)
			t = math.Min(math.Max(t, math.Min(t0, t1)), math.Max(t0, t1))
			if s.at(t).Distance(p) > tolerance*0.75 {
				ok = false
				break
			}
		}
	}
	if ok && turnsBack(from, seg) {
		// Beyond a cusp the curve runs back a hair, which chords step over.
		if fitsLine(from, to, points[:], tolerance) {
			return append(segments, Segment{End: to, Origin: s.seg.Origin})
		}
		ok = false
	}
	if ok || depth >= maxOffsetDepth {
		seg.Origin = s.seg.Origin
		return append(segments, seg)
	}
	m := (t0 + t1) / 2
	middle := s.at(m)
	segments = appendOffset(segments, from, middle, s, t0, m, tolerance, depth+1)
	return appendOffset(segments, middle, to, s, m, t1, tolerance, depth+1)
}

// turnsBack reports whether a cubic leaves its start or comes to its end against
// the way from the one to the other.
func turnsBack(from Point, s Segment) bool {
	way := s.End.Sub(from)
	return s.C1.Sub(from).Dot(way) < 0 || s.End.Sub(s.C2).Dot(way) < 0
}

// fitsLine reports whether points are within tolerance of the line from a to b.
func fitsLine(a, b Point, points []Point, tolerance float64) bool {
	for _, p := range points {
		if p.DistanceToLine(a, b) > tolerance {
			return false
		}
	}
	return true
}
