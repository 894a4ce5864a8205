package svg

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// strip gathers stretches that follow one another smoothly into one piece of a
// stroke, so that a long curve is a few pieces and not one for every parallel.
//
// All its tangents lie within a cone of stripCone. Seen along the cone's middle
// the line is then the graph of a function of slope at most 1, each normal to
// it stays clear of the graph, and so the parallels on the two sides meet
// neither the line nor each other: the piece is simple.
type strip struct {
	start       outline.Point // of the parallel on the left
	startRight  outline.Point
	left, right []outline.Segment
	first       outline.Point // the tangent that angles are measured from
	least, most float64       // radians
}

// stripCone bounds the angle between any two tangents of a strip.
const stripCone = math.Pi / 2

// seamShare is how far apart, as a share of the tolerance, the ends of two
// parallels may lie that are joined without a join.
const seamShare = 0.1

// smooth reports whether a stretch that leaves along t1 goes on where one came
// in along t0 without a join.
func (s *stroker) smooth(t0, t1 outline.Point) bool {
	return t0.Dot(t1) > 0 && t0.Distance(t1)*s.half <= s.tolerance*seamShare
}

// lay adds a stretch with its parallels to the strip, after starting a new one
// where the tangents would leave the cone.
func (s *stroker) lay(st stretch, left, right outline.Segment) {
	p := &s.strip
	if len(p.left) > 0 {
		if least, most := p.cone(st); most-least <= stripCone {
			p.least, p.most = least, most
			p.left, p.right = append(p.left, left), append(p.right, right)
			return
		}
		// The next strip starts at the very points where this one ends.
		left, right := p.left[len(p.left)-1].End, p.right[len(p.right)-1].End
		s.flush()
		p.start, p.startRight = left, right
	} else {
		side := st.from.Perp().Mul(s.half)
		p.start, p.startRight = st.start.Add(side), st.start.Sub(side)
	}
	p.first, p.least, p.most = st.from, 0, 0
	p.least, p.most = p.cone(st)
	p.left, p.right = append(p.left[:0], left), append(p.right[:0], right)
}

// cone returns the range of tangents of the strip with st added.
func (p *strip) cone(st stretch) (least, most float64) {
	least, most = p.least, p.most
	take := func(t outline.Point) {
		angle := math.Atan2(p.first.Cross(t), p.first.Dot(t))
		least, most = min(least, angle), max(most, angle)
	}
	take(st.from)
	take(st.to)
	if st.segment.Kind != outline.Line {
		for i := range parallelSamples {
			take(st.segment.Derivative(st.start, float64(i+1)/(parallelSamples+1)))
		}
	}
	return least, most
}

// flush ends the strip and adds its piece.
func (s *stroker) flush() {
	p := &s.strip
	if len(p.left) == 0 {
		return
	}
	back := outline.Curve{Start: p.startRight, Segments: p.right}.Reversed()
	segments := make([]outline.Segment, 0, len(p.left)+1+len(back.Segments))
	segments = append(segments, p.left...)
	segments = append(segments, outline.LineTo(back.Start))
	segments = append(segments, back.Segments...)
	s.add(p.start, segments...)
	p.left, p.right = p.left[:0], p.right[:0]
}
