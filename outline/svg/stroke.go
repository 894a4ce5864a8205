package svg

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// pen is how a stroke is drawn, in user units (SVG 2, 13.5).
type pen struct {
	half       float64 // half the width
	cap, join  string
	mitreLimit float64
	dashes     []float64 // an even number, or none
	offset     float64
	tolerance  float64
}

// strokeOf returns the pieces whose union is the area a pen paints along
// subpaths: one for every stretch of curve, every join and every cap, all
// turning the same way so that the non-zero rule unites them.
func (p pen) strokeOf(subpaths []Subpath) outline.Path {
	s := stroker{pen: p}
	for _, sub := range subpaths {
		s.subpath(sub)
	}
	return s.pieces
}

type stroker struct {
	pen
	pieces outline.Path
	strip  strip
}

// stretch is one segment of a stroke, without length zero.
type stretch struct {
	start    outline.Point
	segment  outline.Segment
	from, to outline.Point // unit tangents at its ends
}

func (s *stroker) subpath(sub Subpath) {
	stretches := make([]stretch, 0, len(sub.Segments))
	at := sub.Start
	for _, seg := range sub.Segments {
		if from, to, ok := endTangents(at, seg); ok {
			stretches = append(stretches, stretch{at, seg, from, to})
		}
		at = seg.End
	}
	if len(stretches) == 0 {
		// A dot is painted only by caps, and a lone moveto not even so.
		if len(sub.Segments) > 0 || sub.Closed {
			s.dot(sub.Start)
		}
		return
	}
	for i, st := range stretches {
		if i > 0 && !s.smooth(stretches[i-1].to, st.from) {
			s.flush()
			s.joint(st.start, stretches[i-1].to, st.from)
		}
		s.along(st)
	}
	s.flush()
	first, last := stretches[0], stretches[len(stretches)-1]
	if sub.Closed {
		s.joint(first.start, last.to, first.from)
		return
	}
	s.end(first.start, first.from.Mul(-1))
	s.end(last.segment.End, last.to)
}

// add keeps a closed piece, turned counter-clockwise in its own axes.
func (s *stroker) add(start outline.Point, segments ...outline.Segment) {
	c := outline.Curve{Start: start, Segments: segments}.Closed()
	switch a := c.Area(); {
	case a < 0:
		c = c.Reversed()
	case a == 0:
		return
	}
	s.pieces = append(s.pieces, c)
}

func (s *stroker) dot(at outline.Point) {
	h := s.half
	switch s.cap {
	case "round":
		e := ellipse{at, outline.Pt(h, 0), outline.Pt(0, h)}
		arc := e.arc(nil, 0, 2*math.Pi, s.tolerance)
		s.add(arc[len(arc)-1].End, arc...)
	case "square":
		s.add(at.Add(outline.Pt(-h, -h)), outline.LineTo(at.Add(outline.Pt(h, -h))), outline.LineTo(at.Add(outline.Pt(h, h))), outline.LineTo(at.Add(outline.Pt(-h, h))))
	}
}

// end adds the cap at an end that points along direction.
func (s *stroker) end(at, direction outline.Point) {
	side := direction.Perp().Mul(s.half)
	switch s.cap {
	case "round":
		e := ellipse{at, side, direction.Mul(s.half)}
		arc := e.arc(nil, 0, math.Pi, s.tolerance)
		arc[len(arc)-1].End = at.Sub(side)
		s.add(at.Add(side), arc...)
	case "square":
		ahead := direction.Mul(s.half)
		s.add(at.Add(side), outline.LineTo(at.Add(side).Add(ahead)), outline.LineTo(at.Sub(side).Add(ahead)), outline.LineTo(at.Sub(side)))
	}
}

// joint adds what a join covers outside the two stretches that meet at a
// point, coming in along t0 and leaving along t1.
func (s *stroker) joint(at, t0, t1 outline.Point) { s.corner(at, t0, t1, s.join) }

// corner is joint with a join of its own.
func (s *stroker) corner(at, t0, t1 outline.Point, join string) {
	if t0 == t1 {
		return
	}
	cross, dot := t0.Cross(t1), t0.Dot(t1)
	// The outside of the turn: right of the way on a turn to the left.
	k := -s.half
	if cross < 0 {
		k = s.half
	}
	a, b := at.Add(t0.Perp().Mul(k)), at.Add(t1.Perp().Mul(k))
	switch {
	case join == "round":
		from := t0.Perp().Mul(k)
		// The ellipse's second axis lies ahead, so that the arc runs outside.
		e := ellipse{at, from, t0.Mul(s.half)}
		arc := e.arc(nil, 0, math.Atan2(math.Abs(cross), dot), s.tolerance)
		arc[len(arc)-1].End = b
		s.add(at, append([]outline.Segment{outline.LineTo(a)}, arc...)...)
		return
	case join != "bevel" && dot > -1:
		// The mitre's length over the width is 1/sin(θ/2), θ the angle between
		// the sides; by the turn it is 1/cos(turn/2).
		if limit := s.mitreLimit * s.mitreLimit; (1+dot)/2*limit >= 1 {
			tip := at.Add(t0.Perp().Add(t1.Perp()).Mul(k / (1 + dot)))
			s.add(at, outline.LineTo(a), outline.LineTo(tip), outline.LineTo(b))
			return
		}
	}
	s.add(at, outline.LineTo(a), outline.LineTo(b))
}

// along adds the area beside one stretch.
func (s *stroker) along(st stretch) {
	if st.segment.Kind == outline.Line {
		side := st.from.Perp().Mul(s.half)
		s.lay(st, outline.LineTo(st.segment.End.Add(side)), outline.LineTo(st.segment.End.Sub(side)))
		return
	}
	s.bend(st, 0)
}

// maxBendDepth bounds the halving of one segment.
const maxBendDepth = 12

// bend adds the area beside a curved stretch, halved until cubics beside it
// stay within tolerance of the true parallels.
func (s *stroker) bend(st stretch, depth int) {
	left, okLeft := s.parallel(st, s.half)
	right, okRight := s.parallel(st, -s.half)
	if okLeft && okRight {
		s.lay(st, left, right)
		return
	}
	if depth >= maxBendDepth {
		s.chords(st)
		return
	}
	if tight(st, s.half) && depth >= 3 {
		// The pen is wider than the bend: no parallel without a cusp.
		s.chords(st)
		return
	}
	a, b := st.segment.Split(st.start, 0.5)
	middle := st.segment.Derivative(st.start, 0.5)
	if n := middle.Norm(); n > 0 {
		middle = middle.Mul(1 / n)
		s.bend(stretch{st.start, a, st.from, middle}, depth+1)
		s.bend(stretch{a.End, b, middle, st.to}, depth+1)
		return
	}
	// A cusp in the middle: the ends' tangents there have to be found again,
	// and the pen turns round the point.
	_, in, okA := endTangents(st.start, a)
	out, _, okB := endTangents(a.End, b)
	if okA {
		s.bend(stretch{st.start, a, st.from, in}, depth+1)
	}
	s.flush()
	if okB {
		s.bend(stretch{a.End, b, out, st.to}, depth+1)
	}
	s.flush()
	if okA && okB {
		s.corner(a.End, in, out, "round")
	}
}

// chords adds a tight stretch as straight pieces; at their ends the pen turns
// round the point.
func (s *stroker) chords(st stretch) {
	points := outline.Curve{Start: st.start, Segments: []outline.Segment{st.segment}}.Flatten(nil, units.Length(s.tolerance))
	last := st.from
	s.flush()
	for i := 1; i < len(points); i++ {
		way := points[i].Sub(points[i-1])
		n := way.Norm()
		if n == 0 {
			continue
		}
		way = way.Mul(1 / n)
		s.corner(points[i-1], last, way, "round")
		s.along(stretch{points[i-1], outline.LineTo(points[i]), way, way})
		s.flush()
		last = way
	}
	s.corner(st.segment.End, last, st.to, "round")
}

// endTangents returns the unit tangents at both ends; ok is false for a
// segment without extent.
func endTangents(start outline.Point, s outline.Segment) (from, to outline.Point, ok bool) {
	points := []outline.Point{start, s.End}
	switch s.Kind {
	case outline.Quad:
		points = []outline.Point{start, s.C1, s.End}
	case outline.Cubic:
		points = []outline.Point{start, s.C1, s.C2, s.End}
	}
	last := len(points) - 1
	for i := 1; i <= last && !ok; i++ {
		if d := points[i].Sub(start); d.Norm() > 0 {
			from, ok = d.Mul(1/d.Norm()), true
		}
	}
	for i := last - 1; i >= 0 && ok; i-- {
		if d := s.End.Sub(points[i]); d.Norm() > 0 {
			to = d.Mul(1 / d.Norm())
			break
		}
	}
	return from, to, ok
}

// parallelSamples is the number of places where a parallel is checked.
const parallelSamples = 7

// maxParallelTurn bounds the turn, as the cosine between its end tangents,
// that one cubic takes over: some 66°.
const maxParallelTurn = 0.4

// parallel returns the cubic at distance d to the left of st, and whether it
// stays within tolerance of the true parallel.
func (s *stroker) parallel(st stretch, d float64) (outline.Segment, bool) {
	start, end := st.start.Add(st.from.Perp().Mul(d)), st.segment.End.Add(st.to.Perp().Mul(d))
	if st.from.Dot(st.to) < maxParallelTurn {
		return outline.Segment{}, false
	}
	// Handle lengths by least squares on the true parallel's points at the
	// parameters of the original; the tangents' directions are known.
	var aa, ab, bb, ar, br float64
	var truth [parallelSamples]outline.Point
	for i := range truth {
		t := float64(i+1) / (parallelSamples + 1)
		v := st.segment.Derivative(st.start, t)
		n := v.Norm()
		if n == 0 || v.Dot(st.from) <= 0 || v.Dot(st.to) <= 0 {
			return outline.Segment{}, false
		}
		truth[i] = st.segment.At(st.start, t).Add(v.Perp().Mul(d / n))
		u := 1 - t
		b0, b1, b2, b3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		rest := truth[i].Sub(start.Mul(b0 + b1)).Sub(end.Mul(b2 + b3))
		a, b := st.from.Mul(b1), st.to.Mul(-b2)
		aa, ab, bb = aa+a.Dot(a), ab+a.Dot(b), bb+b.Dot(b)
		ar, br = ar+a.Dot(rest), br+b.Dot(rest)
	}
	det := aa*bb - ab*ab
	if det <= 0 {
		return outline.Segment{}, false
	}
	h0, h1 := (ar*bb-br*ab)/det, (br*aa-ar*ab)/det
	if !(h0 > 0 && h1 > 0) {
		return outline.Segment{}, false
	}
	c := outline.CubicTo(start.Add(st.from.Mul(h0)), end.Sub(st.to.Mul(h1)), end)
	for i, q := range truth {
		t := float64(i+1) / (parallelSamples + 1)
		if !near(c, start, q, t, s.tolerance) {
			return outline.Segment{}, false
		}
	}
	return c, true
}

// near reports whether q lies within tolerance of the cubic near parameter t,
// after two steps of Newton's method on the distance.
func near(c outline.Segment, start, q outline.Point, t, tolerance float64) bool {
	for range 3 {
		p := c.At(start, t)
		if p.Distance(q) <= tolerance/2 {
			return true
		}
		v := c.Derivative(start, t)
		n := v.Dot(v)
		if n == 0 {
			return false
		}
		t = min(1, max(0, t+q.Sub(p).Dot(v)/n))
	}
	return false
}

// tight reports whether st bends more sharply than the pen's half width
// somewhere.
func tight(st stretch, half float64) bool {
	for i := 0; i <= parallelSamples+1; i++ {
		t := float64(i) / (parallelSamples + 1)
		v, w := st.segment.Derivative(st.start, t), secondDerivative(st, t)
		n := v.Norm()
		if n == 0 || math.Abs(v.Cross(w))*half >= n*n*n {
			return true
		}
	}
	return false
}

func secondDerivative(st stretch, t float64) outline.Point {
	s := st.segment
	switch s.Kind {
	case outline.Quad:
		return st.start.Sub(s.C1.Mul(2)).Add(s.End).Mul(2)
	case outline.Cubic:
		a := st.start.Sub(s.C1.Mul(2)).Add(s.C2)
		b := s.C1.Sub(s.C2.Mul(2)).Add(s.End)
		return a.Lerp(b, t).Mul(6)
	}
	return outline.Point{}
}
