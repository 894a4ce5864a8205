package cutpath

import (
	"math"
	"sort"

	"github.com/vinylgeom/vinyl/outline"
)

// Where a cut's start and end meet, the film may show a nick or hang on. These
// say what keeps that from showing; all are common practice, no source.
const (
	// cornerClear is the distance along the contour within which a corner
	// counts against a start point: about what a blade needs to settle.
	cornerClear = 2.0
	// thinClear is the width of film or waste, in millimetres, below which a
	// place counts as thin.
	thinClear = 2.0
	// bendRadius is the radius at which a curve counts as much as a straight
	// is better, in millimetres.
	bendRadius = 2.0
	// bendWeight is what a tight curve counts compared to a corner.
	bendWeight = 0.4
	// quietWorth is the travel, in millimetres, that a start in the open is
	// worth over one at a corner.
	quietWorth = 60.0
	// quietSlack is how much worse than the contour's best place another may
	// be to be offered, in shares of a corner.
	quietSlack = 0.15
	// cornerAngle is the turn, in radians, from which a node is a corner.
	cornerAngle = 20 * math.Pi / 180
	// maxPlaces bounds the start points offered for one contour.
	maxPlaces = 12
	// maxSamples bounds those looked at.
	maxSamples = 48
	// shortestSample is the least distance between them in millimetres.
	shortestSample = 0.5
)

// place is where a stroke may begin: in is where the knife goes down, out
// where it comes up.
type place struct {
	segment int
	t       float64
	in, out outline.Point
	flip    bool    // an open stroke from its end
	cost    float64 // in millimetres of travel
}

// openPlaces offers both ends of an open stroke.
func openPlaces(c outline.Curve) []place {
	a, b := c.Start, c.End()
	return []place{{in: a, out: b}, {in: b, out: a, flip: true}}
}

// drawnPlace offers the point where the contour begins.
func drawnPlace(c outline.Curve) []place { return []place{{in: c.Start, out: c.Start}} }

// sample is a point of a contour that may become a place.
type sample struct {
	place
	along   float64 // length from the contour's start
	bend    float64 // curvature, 1/mm
	tangent outline.Point
}

// samplesOf spreads points over the contour: the middles of its segments and
// points between, denser where the contour is short, and its nodes if wanted.
// It returns them with the positions of the corners and the whole length.
func samplesOf(c outline.Curve, nodes bool) (samples []sample, corners []float64, length float64) {
	n := len(c.Segments)
	lengths := make([]float64, n)
	at := c.Start
	for i, s := range c.Segments {
		lengths[i] = segmentLength(at, s, 0, 1)
		length += lengths[i]
		at = s.End
	}
	step := math.Max(length/(maxSamples/2), shortestSample)
	at = c.Start
	along := 0.0
	arriving := lastTangent(c)
	for i, s := range c.Segments {
		if lengths[i] == 0 {
			continue
		}
		leaving := tangentAt(at, s, 0)
		if turn := math.Abs(math.Atan2(arriving.Cross(leaving), arriving.Dot(leaving))); turn > cornerAngle {
			corners = append(corners, along)
		}
		if nodes {
			samples = append(samples, sample{place: place{segment: i, in: at, out: at}, along: along, tangent: leaving})
		}
		k := max(1, int(lengths[i]/step))
		for j := range k {
			t := (float64(j) + 0.5) / float64(k)
			p := s.At(at, t)
			samples = append(samples, sample{place: place{segment: i, t: t, in: p, out: p},
				along: along + segmentLength(at, s, 0, t), bend: curvature(at, s, t), tangent: tangentAt(at, s, t)})
		}
		along += lengths[i]
		arriving = tangentAt(at, s, 1)
		at = s.End
	}
	return samples, corners, length
}

// nearestPlaces offers places all round the contour.
func nearestPlaces(c outline.Curve) []place {
	samples, _, _ := samplesOf(c, true)
	if len(samples) == 0 {
		return drawnPlace(c)
	}
	out := make([]place, 0, 2*maxPlaces)
	for i := range min(len(samples), 2*maxPlaces) {
		out = append(out, samples[i*len(samples)/min(len(samples), 2*maxPlaces)].place)
	}
	return out
}

// quietPlaces offers the places where a start shows least. near finds other
// parts of the decal's outline.
func quietPlaces(c outline.Curve, contour int, near *surroundings) []place {
	samples, corners, length := samplesOf(c, false)
	if len(samples) == 0 {
		return drawnPlace(c)
	}
	best := math.Inf(1)
	for i := range samples {
		s := &samples[i]
		shy := 0.0
		for _, k := range corners {
			gap := math.Abs(s.along - k)
			gap = math.Min(gap, length-gap)
			shy = math.Max(shy, 1-gap/math.Min(cornerClear, length/8))
		}
		shy += bendWeight * math.Min(1, math.Abs(s.bend)*bendRadius)
		shy += math.Max(0, 1-near.width(s.in, s.tangent, contour)/thinClear)
		s.cost = shy
		best = math.Min(best, shy)
	}
	kept := samples[:0]
	for _, s := range samples {
		if s.cost <= best+quietSlack {
			s.cost *= quietWorth
			kept = append(kept, s)
		}
	}
	// Of many, keep those spread round the contour.
	out := make([]place, 0, min(len(kept), maxPlaces))
	for i := range cap(out) {
		out = append(out, kept[i*len(kept)/cap(out)].place)
	}
	return out
}

// tangentAt returns the unit tangent of s at t, from the chord where the
// derivative vanishes; the zero vector for a segment without length.
func tangentAt(start outline.Point, s outline.Segment, t float64) outline.Point {
	v := s.Derivative(start, t)
	if v == (outline.Point{}) {
		const aside = 1e-4 // in parameter, to where the derivative has a direction
		if t < 0.5 {
			v = s.At(start, t+aside).Sub(s.At(start, t))
		} else {
			v = s.At(start, t).Sub(s.At(start, t-aside))
		}
	}
	if n := v.Norm(); n > 0 {
		return v.Mul(1 / n)
	}
	return outline.Point{}
}

// lastTangent returns the tangent with which a closed curve comes back to its
// start.
func lastTangent(c outline.Curve) outline.Point {
	for i := len(c.Segments) - 1; i >= 0; i-- {
		at := c.Start
		if i > 0 {
			at = c.Segments[i-1].End
		}
		if v := tangentAt(at, c.Segments[i], 1); v != (outline.Point{}) {
			return v
		}
	}
	return outline.Point{}
}

// curvature returns the signed curvature of s at t in 1/mm, positive to the
// left; 0 where it has no speed.
func curvature(start outline.Point, s outline.Segment, t float64) float64 {
	var second outline.Point
	switch s.Kind {
	case outline.Quad:
		second = start.Sub(s.C1.Mul(2)).Add(s.End).Mul(2)
	case outline.Cubic:
		a := start.Sub(s.C1.Mul(2)).Add(s.C2)
		b := s.C1.Sub(s.C2.Mul(2)).Add(s.End)
		second = a.Lerp(b, t).Mul(6)
	default:
		return 0
	}
	v := s.Derivative(start, t)
	n := v.Norm()
	if n == 0 {
		return 0
	}
	return v.Cross(second) / (n * n * n)
}

// surroundings finds how wide film and waste are beside a point: chords of a
// decal's outlines, sorted by x.
type surroundings struct {
	chords  []chord
	longest float64 // widest chord along x
}

type chord struct {
	a, b    outline.Point
	contour int
}

// newSurroundings gathers the chords of the contours.
func newSurroundings(curves []outline.Curve) *surroundings {
	s := &surroundings{}
	var flat []outline.Point
	for k, c := range curves {
		flat = c.Flatten(flat[:0], surroundTolerance)
		for i := 1; i < len(flat); i++ {
			a, b := flat[i-1], flat[i]
			if a.X > b.X {
				a, b = b, a
			}
			s.chords = append(s.chords, chord{a, b, k})
			s.longest = math.Max(s.longest, b.X-a.X)
		}
	}
	sort.SliceStable(s.chords, func(i, j int) bool { return s.chords[i].a.X < s.chords[j].a.X })
	return s
}

// surroundTolerance is how exactly widths beside start points are seen.
const surroundTolerance = 0.05

// width returns the distance, up to thinClear, from p straight across to the
// next outline on either side. tangent is the contour's at p.
func (s *surroundings) width(p, tangent outline.Point, contour int) float64 {
	best := thinClear
	normal := tangent.Perp()
	first := sort.Search(len(s.chords), func(i int) bool { return s.chords[i].a.X >= p.X-thinClear-s.longest })
	for _, c := range s.chords[first:] {
		if c.a.X > p.X+thinClear {
			break
		}
		if c.b.X < p.X-thinClear || max(c.a.Y, c.b.Y) < p.Y-thinClear || min(c.a.Y, c.b.Y) > p.Y+thinClear {
			continue
		}
		// p + u normal lies on the chord at share v.
		along := c.b.Sub(c.a)
		den := normal.Cross(along)
		if den == 0 {
			continue
		}
		ap := c.a.Sub(p)
		u, v := ap.Cross(along)/den, ap.Cross(normal)/den
		// The chord that holds p itself meets it at u = 0.
		if v >= 0 && v <= 1 && math.Abs(u) > 2*surroundTolerance {
			best = math.Min(best, math.Abs(u))
		}
	}
	return best
}
