package outline

import (
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// Corner tells how an offset goes around a corner that sticks out.
type Corner uint8

// The corners.
const (
	CornerRound Corner = iota // an arc about the corner
	CornerMitre               // the sides prolonged until they meet, within the mitre limit
	CornerBevel               // cut straight across
)

// String names the corner.
func (c Corner) String() string {
	switch c {
	case CornerRound:
		return "round"
	case CornerMitre:
		return "mitre"
	case CornerBevel:
		return "bevel"
	}
	return "unknown corner"
}

// DefaultMitreLimit is the mitre limit of OffsetOptions that leave it at zero.
const DefaultMitreLimit = 4

// OffsetOptions refine [Offset]. The zero value is useful.
type OffsetOptions struct {
	Corner Corner
	// MitreLimit bounds how far a mitred corner reaches from the corner it goes
	// around, as a multiple of the offset, at least 1; beyond, it is bevelled.
	// Zero: DefaultMitreLimit.
	MitreLimit float64
	Tolerance  units.Length  // largest deviation from the exact offset; zero: DefaultTolerance
	MinArea    units.Area    // contours below are dropped; zero: DefaultMinArea, negative: none
	Report     *OffsetReport // filled in if not nil
}

// OffsetReport tells what [Offset] met and did.
type OffsetReport struct {
	NodesIn    int        // segments of the input
	NodesOut   int        // segments of the result
	Welded     int        // places where the input's borders crossed or touched, so that it was welded first
	Crossings  int        // places where the moved borders met
	KeptChords int        // of them, where chords had to stay
	Vanished   int        // contours too narrow to leave anything: holes when growing, islands when shrinking
	Collapsed  int        // input contours without area, dropped
	Short      int        // input segments of no length that the tolerance could tell, left out: repeated points
	Specks     int        // contours of the result below MinArea, dropped
	SpeckArea  units.Area // what the specks enclosed
}

// Offset grows p by d on every side, or shrinks it by -d where d is negative.
// p is meant by the non-zero rule; it need not be welded. Holes get smaller where
// the shape grows, parts that meet grow together, and a shape that shrinks may
// fall apart or vanish.
//
// The result is welded, as by [Weld], and lies within the tolerance of the exact
// offset. Moved curves are fitted with cubics and keep the Origin of what they
// were; an arc around a corner has that of the segment before it. Less than an
// eighth of the tolerance only welds. Film thinner than the tolerance, such as the
// last bit of a needle, may count as none. Errors are a [*PathError] for p and an
// [*OptionError] for d and opt.
func Offset(p Path, d units.Length, opt OffsetOptions) (out Path, err error) {
	const op = "offset"
	defer recovered(op, &out, &err)
	if !d.IsFinite() {
		return nil, &OptionError{op, "distance", d.String(), "give a finite length"}
	}
	if opt.MitreLimit == 0 {
		opt.MitreLimit = DefaultMitreLimit
	}
	if !(opt.MitreLimit >= 1) || math.IsInf(opt.MitreLimit, 1) {
		return nil, &OptionError{op, "MitreLimit", fmt.Sprint(opt.MitreLimit), "give a finite number of 1 or more, or zero for the default"}
	}
	if opt.Corner > CornerBevel {
		return nil, &OptionError{op, "Corner", opt.Corner.String(), "use CornerRound, CornerMitre or CornerBevel"}
	}
	var welded BooleanReport
	film, err := combine(op, []Path{p}, BooleanOptions{Tolerance: opt.Tolerance, MinArea: opt.MinArea, Report: &welded}, nil, nil)
	if err != nil {
		return nil, err
	}
	report := OffsetReport{NodesIn: welded.NodesIn, Welded: welded.Crossings, Collapsed: welded.Collapsed, Short: welded.Short}
	distance := math.Abs(float64(d))
	margin := distance
	if opt.Corner == CornerMitre {
		margin *= opt.MitreLimit
	}
	set, err := newChordSet(op, []Path{film}, margin, opt.Tolerance)
	if err != nil {
		return nil, err
	}
	if distance < set.tolerance/minGridShare {
		// Less than what the tolerance leaves open.
		report.NodesOut = film.Nodes()
		if opt.Report != nil {
			*opt.Report = report
		}
		return film, nil
	}
	// Growing the film to its right, or else what is around it, run the other way
	// round, to the right into the film.
	filled := func(w int32) bool { return w > 0 }
	if d < 0 {
		filled = func(w int32) bool { return w < 0 }
	}
	o := offsetter{chordSet: set, distance: distance, corner: opt.Corner, mitreLimit: opt.MitreLimit}
	var rings []ring
	for _, c := range film {
		if d < 0 {
			c = c.Reversed()
		}
		if c.Area() < 0 {
			// What it runs around gets narrower from all sides.
			if b := c.Bounds(); min(b.Width(), b.Height()) <= 2*distance {
				report.Vanished++
				continue
			}
		}
		if r := o.ring(c); r != nil {
			rings = append(rings, r)
		}
		rings = o.appendTips(rings, c)
	}
	rings, nodes, err := arrange(rings, filled)
	if err != nil {
		return nil, &PathError{op, -1, -1, Point{}, err, "please report the shape"}
	}
	report.Crossings = nodes
	rec := recovery{chordSet: set, corners: map[gridPoint]corner{}}
	least := orDefaultArea(opt.MinArea)
	for _, r := range rings {
		if o.isFiller(r) {
			continue
		}
		c := withoutSpurs(rec.contour(r), set.tolerance)
		if a := math.Abs(float64(c.Area())); a == 0 || a < float64(least) {
			report.Specks++
			report.SpeckArea += units.Area(a)
			continue
		}
		out = append(out, c)
	}
	// Fitted curves may cross, by less than the tolerance, where chords of them do
	// not: all are welded once more.
	if out, err = combine(op, []Path{out}, BooleanOptions{Tolerance: opt.Tolerance, MinArea: opt.MinArea}, nil, nil); err != nil {
		return nil, err
	}
	for i, c := range out { // those that the crossings just mended leave, run either way
		out[i] = withoutSpurs(withoutSpurs(c, set.tolerance).Reversed(), set.tolerance).Reversed()
	}
	report.NodesOut, report.KeptChords = out.Nodes(), rec.kept
	if opt.Report != nil {
		*opt.Report = report
	}
	return out, nil
}

// offsetter moves contours to their right.
//
// A chord sweeps a strip as wide as the distance, and a corner that sticks out a
// fan. Of a strip only that is needed which is nearer to its chord than to the
// chords beside it: where the border bends to the right, the strip ends on the
// bisector between two chords, as far up as the bisector's foot lies on the
// other chord, and from there on goes straight up; where its two sides meet before
// the distance is reached, it has a tip there. What the contour encloses, with
// the strips and fans, covers every point within the distance, and none else; so
// a moved contour is run as the outline of these, and a point is covered where its
// winding number is positive.
type offsetter struct {
	*chordSet
	distance   float64
	corner     Corner
	mitreLimit float64
	chords     []movedChord
	out        []movedPoint
}

// movedChord is a chord on its way.
type movedChord struct {
	at, dir    Point
	length     float64
	segment    int32
	isLine     bool
	starts     bool    // it is the first of its segment
	t0, t1     float64 // on the segment
	turn       float64 // to the left at its start, radians
	tan        float64 // of half the turn, where it is to the right, else 0
	isCorner   bool    // at its start the border has a corner, beyond what chords of a curve make
	in, out    Point   // tangents before and after its start
	tip        float64 // how far from the chord the sides of its strip meet, +Inf if they don't within the distance
	left       float64 // how far up the strip follows the bisector at its start
	right      float64 // and at its end
	source     int32
	s0, s1     float64 // parameters on the source at the moved ends
	start, end Point   // the moved ends
}

// movedPoint is a vertex of a moved contour and the edge that leaves it; source
// -1 is an edge inside what is covered.
type movedPoint struct {
	at     Point
	source int32
	t0, t1 float64
}

// filler is the node number of sources that only fill gaps.
const filler = -2

func (o *offsetter) isFiller(r ring) bool {
	for i := range r {
		if o.sources[r[i].source].node != filler {
			return false
		}
	}
	return true
}

// smoothShare is the part of the tolerance by which a corner may move an end of
// its neighbours without being made a corner of the offset.
const smoothShare = 0.25

// Chords of curves whose bend, as a share of one with the distance for radius,
// lies between cuspFrom and cuspTo are cut cuspParts times finer. maxSplits bounds
// how often a chord is halved where the curve has a cusp itself.
// shortestShare is the length, in grid units, below which none is halved.
const (
	maxSplits     = 24
	shortestShare = 1e-3
	cuspFrom      = 0.5
	cuspTo        = 4
	cuspParts     = 4
)

// smoothTurn is the turn, in radians, from which on chords make a corner even
// where the distance is so small that they may turn by more.
const smoothTurn = 0.5

func right(dir Point) Point { return Point{dir.Y, -dir.X} }

// ring returns the moved contour.
func (o *offsetter) ring(c Contour) ring {
	o.flatten(c)
	n := len(o.chords)
	if n < 2 {
		return nil
	}
	d := o.distance
	step := 2 * math.Sqrt(2*o.tolerance*flatShare/d) // of an arc's chords
	for i := range o.chords {
		a, b := &o.chords[(i+n-1)%n], &o.chords[i]
		b.turn = math.Atan2(a.dir.Cross(b.dir), a.dir.Dot(b.dir))
		if b.turn < 0 {
			b.tan = math.Tan(-b.turn / 2)
		}
		b.in, b.out = a.dir, b.dir
		if b.starts {
			in := c.Segments[a.segment].Direction(o.segmentStart(c, a.segment), 1)
			out := c.Segments[b.segment].Direction(o.segmentStart(c, b.segment), 0)
			b.isCorner = math.Abs(math.Atan2(in.Cross(out), in.Dot(out)))*d > o.tolerance*smoothShare
			if b.isCorner {
				b.in, b.out = in, out
			}
		}
		// A curve may have a cusp inside.
		b.isCorner = b.isCorner || math.Abs(b.turn) > min(2*step, smoothTurn)
	}
	for i := range o.chords {
		a, b := &o.chords[i], &o.chords[(i+1)%n]
		a.right, b.left = d, d
		if b.tan > 0 {
			a.right, b.left = min(d, b.length/b.tan), min(d, a.length/b.tan)
		}
	}
	for i := range o.chords {
		a, b := &o.chords[i], &o.chords[(i+1)%n]
		a.setTip(b.tan, d)
		o.move(c, a, b)
	}
	o.out = o.out[:0]
	for i := range o.chords {
		a, b := &o.chords[(i+n-1)%n], &o.chords[i]
		o.join(c, a, b, step)
		if b.tip > d {
			o.out = append(o.out, movedPoint{b.start, b.source, b.s0, b.s1})
		} else {
			along := b.tan * min(b.tip, b.left)
			o.out = append(o.out, movedPoint{b.at.Add(b.dir.Mul(along)).Add(right(b.dir).Mul(b.tip)), -1, 0, 1})
		}
	}
	return o.close(c)
}

func (o *offsetter) segmentStart(c Contour, i int32) Point {
	if i == 0 {
		return c.Start
	}
	return c.Segments[i-1].End
}

// setTip finds where the sides of the strip meet; next is the tangent of half the
// turn at the chord's end.
func (a *movedChord) setTip(next, d float64) {
	a.tip = math.Inf(1)
	// The sides lean towards each other at the rate tan+next, up to where one goes
	// straight up, then at the other's.
	low, rate, other := a.left, next, a.tan
	if a.right < a.left {
		low, rate, other = a.right, a.tan, next
	}
	high := max(a.left, a.right)
	gap := a.length - low*(rate+other)
	switch {
	case gap <= 0:
		a.tip = a.length / (rate + other)
	case gap-(high-low)*rate <= 0:
		a.tip = low + gap/rate
	}
	if a.tip >= d {
		a.tip = math.Inf(1)
	}
}

// flatten cuts c into chords that still are within tolerance once they are moved.
func (o *offsetter) flatten(c Contour) {
	o.chords = o.chords[:0]
	at := c.Start
	for i := range c.Segments {
		s := &c.Segments[i]
		o.ts = s.breaks(o.ts[:0], at, o.tolerance*flatShare)
		if s.Kind != Line {
			// A moved chord of turn θ is off by d·θ²/8 more than it was.
			most := math.Sqrt(8 * o.tolerance * flatShare / o.distance)
			rough := len(o.ts)
			t0 := 0.0
			for k := range rough {
				o.split(s, at, t0, o.ts[k], most, maxSplits)
				t0 = o.ts[k]
			}
			o.ts = append(o.ts[:0], o.ts[rough:]...)
		}
		from, t0, starts := at, 0.0, true
		for _, t := range o.ts {
			to := s.At(at, t)
			v := to.Sub(from)
			if l := v.Norm(); l > 0 {
				o.chords = append(o.chords, movedChord{
					at: from, dir: v.Mul(1 / l), length: l, segment: int32(i), isLine: s.Kind == Line, starts: starts, t0: t0, t1: t,
				})
				starts, from, t0 = false, to, t
			}
		}
		at = s.End
	}
}

// split appends the ends of chords from t0 to t1 that turn by most at most; near
// a sharp bend they get very short.
func (o *offsetter) split(s *Segment, start Point, t0, t1, most float64, depth int) {
	u, v := s.Direction(start, t0), s.Direction(start, t1)
	turn := math.Atan2(u.Cross(v), u.Dot(v))
	// Near a cusp of the moved curve, where it bends about as sharply as the
	// distance, small errors of chords show up large.
	l := s.At(start, t1).Distance(s.At(start, t0))
	if swept := -turn * o.distance; swept > l*cuspFrom && swept < l*cuspTo {
		turn *= cuspParts
	}
	// Of a piece far below the grid the direction is noise.
	if math.Abs(turn) <= most || depth == 0 || l < o.grid.unit*shortestShare {
		o.ts = append(o.ts, t1)
		return
	}
	m := (t0 + t1) / 2
	o.split(s, start, t0, m, most, depth-1)
	o.split(s, start, m, t1, most, depth-1)
}

// move settles the ends and the source of a moved chord; b is the next.
func (o *offsetter) move(c Contour, a, b *movedChord) {
	d := o.distance
	n := right(a.dir)
	a.start, a.end = a.at.Add(n.Mul(d)), b.at.Add(n.Mul(d))
	a.s0, a.s1 = a.t0, a.t1
	if a.isLine {
		a.s0, a.s1 = 0, 1
	}
	from, to := a.start, a.end
	if a.isLine && o.isMitred(a) {
		a.start = a.at.Add(n.Mul(d)).Sub(a.dir.Mul(d * math.Tan(a.turn/2)))
		from = a.start
	}
	if a.isLine && o.isMitred(b) {
		a.end = b.at.Add(n.Mul(d)).Add(a.dir.Mul(d * math.Tan(b.turn/2)))
		to = a.end
	}
	length := from.Distance(to)
	whole := a.s1 - a.s0
	switch {
	case a.turn < 0:
		along := a.tan * a.left
		a.start = a.at.Add(n.Mul(d)).Add(a.dir.Mul(along))
		if a.isCorner || a.left < d {
			a.s0 += whole * a.start.Distance(from) / length
		}
	case !a.isCorner:
		a.start = a.at.Add(n.Mul(d)).Sub(a.dir.Mul(d * math.Tan(a.turn/2)))
	}
	switch {
	case b.turn < 0:
		a.end = b.at.Add(n.Mul(d)).Sub(a.dir.Mul(b.tan * a.right))
		if b.isCorner || a.right < d {
			a.s1 -= whole * a.end.Distance(to) / length
		}
	case !b.isCorner:
		a.end = b.at.Add(n.Mul(d)).Add(a.dir.Mul(d * math.Tan(b.turn/2)))
	}
	if a.tip <= d {
		return
	}
	s := c.Segments[a.segment]
	if a.isLine {
		a.source = o.line(from, to, s.Origin, a.segment)
	} else {
		a.source = o.curve(c, a.segment)
	}
}

// isMitred reports whether the corner at the start of a is a mitre.
func (o *offsetter) isMitred(a *movedChord) bool {
	return o.corner == CornerMitre && a.isCorner && a.turn > 0 && 1/math.Cos(a.turn/2) <= o.mitreLimit
}

func (o *offsetter) line(from, to Point, origin, node int32) int32 {
	o.sources = append(o.sources, source{start: from, seg: Segment{End: to, Origin: origin}, node: node})
	return int32(len(o.sources)) - 1
}

// curve returns the source for a moved segment, the one of the chord before if
// there is one.
func (o *offsetter) curve(c Contour, segment int32) int32 {
	if k := len(o.sources) - 1; k >= 0 && o.sources[k].kind == offsetSource && o.sources[k].node == segment && o.sources[k].start == o.segmentStart(c, segment) {
		return int32(k)
	}
	o.sources = append(o.sources, source{
		kind: offsetSource, start: o.segmentStart(c, segment), seg: c.Segments[segment], node: segment, distance: o.distance,
	})
	return int32(len(o.sources)) - 1
}

// join appends what lies between the moved chords a and b, without the start of
// b where b is not a triangle.
func (o *offsetter) join(c Contour, a, b *movedChord, step float64) {
	if b.turn < 0 {
		if a.tip > o.distance && (b.tip <= o.distance || a.end != b.start) {
			o.out = append(o.out, movedPoint{a.end, -1, 0, 1})
		}
		// Down to the bisector and up again.
		for _, g := range [2]float64{min(a.right, a.tip), min(b.left, b.tip)} {
			if g < o.distance {
				o.out = append(o.out, movedPoint{b.at.Add(b.dir.Mul(b.tan * g)).Add(right(b.dir).Mul(g)), -1, 0, 1})
			}
		}
		return
	}
	if !b.isCorner {
		if b.tip <= o.distance {
			o.out = append(o.out, movedPoint{b.at.Add(right(b.dir).Mul(o.distance)), -1, 0, 1})
		}
		return
	}
	origin := c.Segments[a.segment].Origin
	// The fan spans the chords' turn, its arc that of the curves themselves.
	from, to := b.at.Add(right(a.dir).Mul(o.distance)), b.at.Add(right(b.dir).Mul(o.distance))
	sweep := math.Atan2(b.in.Cross(b.out), b.in.Dot(b.out))
	if sweep < b.turn-math.Pi {
		sweep += 2 * math.Pi
	}
	switch {
	case o.corner == CornerRound && sweep > 0:
		n := right(b.in)
		o.sources = append(o.sources, source{
			kind: arcSource, start: b.at, distance: o.distance, angle: math.Atan2(n.Y, n.X), sweep: sweep,
			seg: Segment{Kind: Cubic, Origin: origin}, node: a.segment,
		})
		src := int32(len(o.sources)) - 1
		k := max(1, int(math.Ceil(sweep/step)))
		for i := range k {
			t := float64(i) / float64(k)
			p := from
			if i > 0 {
				p = o.sources[src].at(t)
				if v := p.Sub(b.at); right(a.dir).Cross(v) <= 0 || v.Cross(right(b.dir)) <= 0 {
					o.out[len(o.out)-1].t1 = float64(i+1) / float64(k)
					continue
				}
			}
			o.out = append(o.out, movedPoint{p, src, t, float64(i+1) / float64(k)})
		}
	case o.isMitred(b):
		m := b.at.Add(right(b.in).Add(right(b.out)).Mul(o.distance / (1 + b.in.Dot(b.out))))
		if !a.isLine || a.tip <= o.distance {
			o.out = append(o.out, movedPoint{from, o.line(from, m, origin, a.segment), 0, 1})
		}
		if !b.isLine || b.tip <= o.distance {
			o.out = append(o.out, movedPoint{m, o.line(m, to, c.Segments[b.segment].Origin, b.segment), 0, 1})
		}
	default:
		o.out = append(o.out, movedPoint{from, o.line(from, to, origin, a.segment), 0, 1})
	}
	if b.tip <= o.distance {
		o.out = append(o.out, movedPoint{to, -1, 0, 1})
	}
}

// close puts the moved points on the grid.
func (o *offsetter) close(c Contour) ring {
	r := make(ring, 0, len(o.out))
	n := len(o.out)
	if n < 3 {
		return nil
	}
	from := o.grid.snap(o.out[0].at)
	for i := range o.out {
		p, q := &o.out[i], &o.out[(i+1)%n]
		to := o.grid.snap(q.at)
		if p.source < 0 {
			p.source, p.t0, p.t1 = o.line(p.at, q.at, 0, filler), 0, 1
		}
		if to == from {
			if k := len(r) - 1; k >= 0 && r[k].source == p.source {
				r[k].t1 = p.t1
			}
			continue
		}
		r = append(r, chord{from: from, source: p.source, t0: p.t0, t1: p.t1})
		from = to
	}
	if len(r) < 3 {
		return nil
	}
	return r
}
