package outline

import (
	"math"
	"sort"
)

// railTolerance bounds, in millimetres, how far a rail may lie from the curve it
// stands for: a five-hundredth of [DefaultTolerance].
const railTolerance = 1e-5

// railSlack is the share of a coordinate that float64 can't resolve any more:
// asking a rail to be nearer never ends.
const railSlack = 1e-13

// maxRailDepth bounds how often a span of a rail is halved.
const maxRailDepth = 24

// rail is a curve parametrised by arc length, for fast evaluation: cubic pieces
// in the length itself, whose ends lie on the curve and run in its direction.
type rail struct {
	spans  []railSpan
	first  []int32 // the span at the start of each of equal cells of the length
	cells  float64 // cells per millimetre
	length float64
	end    Point // where and in which direction the curve ends
	endDir Point
	joins  []join
	bends  []float64 // how much it has bent before each span and at its end; see bending
}

// railSpan is a piece of a rail: p + d s + c s² + b s³ from length s0 on.
type railSpan struct {
	s0         float64
	p, d, c, b Point
}

// join is a place where a rail isn't smooth.
type join struct {
	s      float64
	corner bool // its direction jumps, not only its curvature
}

// newRail lays a rail along c, which has length and is finite.
func newRail(c Curve) *rail {
	ruler := NewRuler(c)
	r := &rail{length: ruler.length}
	for i, sp := range ruler.spans {
		seg, start := c.Segments[sp.segment], c.startOf(sp.segment)
		a := railEnd{sp.s0, seg.At(start, sp.t0), seg.Direction(start, sp.t0)}
		z := railEnd{sp.s1, seg.At(start, sp.t1), seg.Direction(start, sp.t1)}
		first := len(r.spans)
		if seg.Kind == Line {
			r.spans = append(r.spans, newRailSpan(a, z))
		} else {
			r.lay(ruler, sp, a, z, 0)
		}
		if i > 0 && ruler.spans[i-1].segment != sp.segment {
			r.addJoin(first)
		}
		r.end, r.endDir = z.p, z.d
	}
	r.index()
	r.measureBends()
	return r
}

type railEnd struct {
	s    float64
	p, d Point
}

func newRailSpan(a, z railEnd) railSpan {
	h := z.s - a.s
	slope := z.p.Sub(a.p).Mul(1 / h)
	return railSpan{
		s0: a.s, p: a.p, d: a.d,
		c: slope.Mul(3).Sub(a.d.Mul(2)).Sub(z.d).Mul(1 / h),
		b: a.d.Add(z.d).Sub(slope.Mul(2)).Mul(1 / (h * h)),
	}
}

func (sp *railSpan) at(s float64) Point {
	s -= sp.s0
	return Point{
		sp.p.X + s*(sp.d.X+s*(sp.c.X+s*sp.b.X)),
		sp.p.Y + s*(sp.d.Y+s*(sp.c.Y+s*sp.b.Y)),
	}
}

// lay adds the pieces of one of the ruler's spans between a and z.
func (r *rail) lay(ruler *Ruler, sp span, a, z railEnd, depth int) {
	piece := newRailSpan(a, z)
	seg, start := ruler.curve.Segments[sp.segment], ruler.start(sp.segment)
	fits := func(s float64) bool {
		p := seg.At(start, ruler.parameter(sp, s))
		allowed := railTolerance + railSlack*math.Max(math.Abs(p.X), math.Abs(p.Y))
		return piece.at(s).Distance(p) <= allowed
	}
	m := (a.s + z.s) / 2
	// The error of a cubic Hermite piece is largest in the middle, but nothing
	// there where the curve is an S about its middle.
	if depth >= maxRailDepth || fits(m) && fits((a.s+m)/2) && fits((m+z.s)/2) {
		r.spans = append(r.spans, piece)
		return
	}
	t := ruler.parameter(sp, m)
	mid := railEnd{m, seg.At(start, t), seg.Direction(start, t)}
	r.lay(ruler, sp, a, mid, depth+1)
	r.lay(ruler, sp, mid, z, depth+1)
}

// cornerAngle is the jump of direction, in radians, from which on a join counts
// as a corner: below it the gap a bent stroke could show over 100 mm stays under
// 0.01 mm.
const cornerAngle = 1e-4

// curvatureJump is the share of the curvature that may jump at a join which
// still counts as smooth.
const curvatureJump = 0.1

// addJoin notes the join in front of span i, unless it is smooth.
func (r *rail) addJoin(i int) {
	before, after := &r.spans[i-1], &r.spans[i]
	h := after.s0 - before.s0
	d0 := before.d.Add(before.c.Mul(2 * h)).Add(before.b.Mul(3 * h * h))
	k0 := before.c.Mul(2).Add(before.b.Mul(6 * h)).Cross(d0)
	k1 := after.c.Mul(2).Cross(after.d)
	switch {
	case math.Abs(d0.Cross(after.d)) > cornerAngle || d0.Dot(after.d) < 0:
		r.joins = append(r.joins, join{after.s0, true})
	case math.Abs(k1-k0) > curvatureJump*math.Max(math.Abs(k0), math.Abs(k1)):
		r.joins = append(r.joins, join{after.s0, false})
	}
}

const (
	// bendStep is the turn, in radians, that counts as one step: 15 degrees.
	bendStep = math.Pi / 12
	// inflectionSteps is how many steps a change from left to right turn counts
	// for, so that a long shallow wave is not taken for a straight line.
	inflectionSteps = 6
	// straightTurn is the turn of a span, in radians, below which its sign is
	// rounding.
	straightTurn = 1e-6
)

// measureBends adds up how often the rail turns, in steps.
func (r *rail) measureBends() {
	r.bends = make([]float64, len(r.spans)+1)
	sum, side := 0.0, 0.0
	for i := range r.spans {
		r.bends[i] = sum
		next := r.endDir
		if i+1 < len(r.spans) {
			next = r.spans[i+1].d
		}
		turn := math.Atan2(r.spans[i].d.Cross(next), r.spans[i].d.Dot(next))
		sum += math.Abs(turn) / bendStep
		if math.Abs(turn) > straightTurn {
			if turn*side < 0 {
				sum += inflectionSteps
			}
			side = turn
		}
	}
	r.bends[len(r.spans)] = sum
}

// bending returns how many steps the rail turns between two lengths, counting
// whole spans.
func (r *rail) bending(s0, s1 float64) int {
	return int(r.bends[r.span(s1)+1] - r.bends[r.span(s0)])
}

// index builds the table that finds a span by its length.
func (r *rail) index() {
	n := 2 * len(r.spans)
	r.cells = float64(n) / r.length
	r.first = make([]int32, n+1)
	for k := range r.first {
		s := float64(k) / r.cells
		r.first[k] = int32(max(0, sort.Search(len(r.spans), func(i int) bool { return r.spans[i].s0 > s })-1))
	}
}

// at returns the point and the derivative by length at length s; beyond its ends
// the rail runs on straight.
func (r *rail) at(s float64) (p, d Point) {
	if s >= r.length {
		return r.end.Add(r.endDir.Mul(s - r.length)), r.endDir
	}
	sp := &r.spans[0]
	if s <= 0 {
		return sp.p.Add(sp.d.Mul(s)), sp.d
	}
	i := r.span(s)
	sp = &r.spans[i]
	s -= sp.s0
	p = Point{
		sp.p.X + s*(sp.d.X+s*(sp.c.X+s*sp.b.X)),
		sp.p.Y + s*(sp.d.Y+s*(sp.c.Y+s*sp.b.Y)),
	}
	d = Point{
		sp.d.X + s*(2*sp.c.X+s*3*sp.b.X),
		sp.d.Y + s*(2*sp.c.Y+s*3*sp.b.Y),
	}
	return p, d
}

// curving returns what at returns, and the second derivative by length.
func (r *rail) curving(s float64) (p, d, dd Point) {
	p, d = r.at(s)
	if s > 0 && s < r.length {
		sp := &r.spans[r.span(s)]
		dd = sp.c.Mul(2).Add(sp.b.Mul(6 * (s - sp.s0)))
	}
	return p, d, dd
}

// span returns which span holds length s, from 0 to the rail's length.
func (r *rail) span(s float64) int {
	if !(s > 0) { // also NaN
		return 0
	}
	if s >= r.length {
		return len(r.spans) - 1
	}
	i := int(r.first[min(int(s*r.cells), len(r.first)-1)])
	for i+1 < len(r.spans) && r.spans[i+1].s0 <= s {
		i++
	}
	return i
}
