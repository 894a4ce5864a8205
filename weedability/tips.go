package weedability

import (
	"cmp"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability/internal/boundary"
)

// tip is a point of film, or of waste, whose sides close faster than a stretch's
// may and more slowly than maxTaper.
type tip struct {
	apex        outline.Point
	left, right outline.Point // unit directions of the sides away from the apex, along and against the border
	angle       float64       // radians, between the sides
	first, last int32         // edges that enter and leave the point
	width       float64       // across the point at Limits.Tip.Behind from the apex
	reach       float64       // distance from the apex at which the point is as wide as the stroke's caution limit
	side        float64       // length of either side that belongs to the point
	sides       [2]outline.Curve
}

// tipWindow is the length of border, as a share of Limits.Tip.Behind, within
// which the border has to turn for a point: a point with a rounder end than
// about a third of it is blunt.
const tipWindow = 0.5

// bluntShare is the share of the width at Tip.Behind from which on the end of a
// point counts as blunt: the end of a bar has all of it.
const bluntShare = 0.6

// tipStep is the step, as a share of Limits.Tip.Behind, in which the sides of a
// point are walked.
const tipStep = 0.05

// maxTipReach bounds the length of a point, as a multiple of the width that ends it.
const maxTipReach = 20

// walker walks along the border from a place, forwards or backwards.
type walker struct {
	b       *boundary.Boundary
	edge    int32
	at      float64 // from the edge's start, or, backwards, from its end
	forward bool
	left    float64 // length of border still unwalked
}

func (w *walker) point() outline.Point {
	e := &w.b.Edges[w.edge]
	if w.forward {
		return e.At(min(w.at, e.Length))
	}
	return e.At(max(0, e.Length-w.at))
}

// step goes on by d, and reports whether there was that much border.
func (w *walker) step(d float64) bool {
	if d > w.left {
		return false
	}
	w.left -= d
	w.at += d
	for w.at > w.b.Edges[w.edge].Length {
		w.at -= w.b.Edges[w.edge].Length
		if w.forward {
			w.edge = w.b.Next(w.edge)
		} else {
			w.edge = w.b.Previous(w.edge)
		}
	}
	return true
}

// tips finds the points of film, or of waste where waste is set, sharper than
// maxTaper. Wide is the width that ends a point.
func (in *inspection) tips(b *boundary.Boundary, waste bool, wide float64) []tip {
	type corner struct {
		first, last int32 // the border turns at the ends of the edges first to before last
		turn        float64
	}
	window := tipWindow * float64(in.limits.Tip.Behind)
	var corners []corner
	for i := range b.Edges {
		sum, arc := 0.0, 0.0
		j := int32(i)
		best := corner{}
		for {
			turn := b.Turn(j)
			if waste {
				turn = -turn
			}
			if arc == 0 && turn <= 0 {
				break
			}
			sum += turn
			j = b.Next(j)
			if sum >= math.Pi-maxTaper && sum > best.turn {
				best = corner{int32(i), j, sum}
			}
			arc += b.Edges[j].Length
			if arc > window || j == int32(i) {
				break
			}
		}
		if best.turn > 0 {
			corners = append(corners, best)
		}
	}
	// The sharpest first; of corners that share an edge only one remains.
	slices.SortStableFunc(corners, func(c, d corner) int { return cmp.Compare(d.turn, c.turn) })
	taken := map[int32]bool{}
	var out []tip
next:
	for _, c := range corners {
		for e := b.Next(c.first); ; e = b.Next(e) {
			if taken[e] {
				continue next
			}
			if e == c.last {
				break
			}
		}
		for e := b.Next(c.first); ; e = b.Next(e) {
			taken[e] = true
			if e == c.last {
				break
			}
		}
		if t, ok := in.tip(b, c.first, c.last, math.Pi-c.turn, wide); ok {
			out = append(out, t)
		}
	}
	slices.SortStableFunc(out, func(s, t tip) int { return cmp.Compare(s.first, t.first) })
	return out
}

// tip measures the point between the edges first and last; ok is false where
// it is the blunt end of a bar.
func (in *inspection) tip(b *boundary.Boundary, first, last int32, angle, wide float64) (tip, bool) {
	behind := float64(in.limits.Tip.Behind)
	half := b.Rings[b.Edges[first].Contour].Length / 2
	t := tip{first: first, last: last, angle: max(0, angle), left: b.Edges[last].U, right: b.Edges[first].U.Mul(-1)}
	ahead := walker{b: b, edge: last, forward: true, left: half}
	back := walker{b: b, edge: first, left: half}
	p, q := ahead.point(), back.point()
	blunt := p.Distance(q)
	// The apex: the middle of the border between, if the end is rounded.
	t.apex = p
	if first != b.Previous(last) {
		w := walker{b: b, edge: b.Next(first), forward: true, left: half}
		length := 0.0
		for e := b.Next(first); e != last; e = b.Next(e) {
			length += b.Edges[e].Length
		}
		w.step(length / 2)
		t.apex = w.point()
	}
	sides := [2][]outline.Point{{t.apex, p}, {t.apex, q}}
	measured := false
	step := tipStep * behind
	var width, depth float64
	for s := step; s < maxTipReach*max(wide, behind); s += step {
		if !ahead.step(step) || !back.step(step) {
			break
		}
		p, q = ahead.point(), back.point()
		w, d := p.Distance(q), t.apex.Distance(p.Lerp(q, 0.5))
		if d < depth { // the sides turn back: the point is over
			break
		}
		if !measured && d >= behind {
			k := 1.0
			if d > depth {
				k = (behind - depth) / (d - depth)
			}
			t.width, measured = width+k*(w-width), true
		}
		width, depth = w, d
		if w <= wide {
			t.side, t.reach = s, d
			sides[0], sides[1] = append(sides[0], p), append(sides[1], q)
		} else if measured {
			break
		}
	}
	if !measured {
		t.width = math.Inf(1) // ends before it is long enough to lift
	}
	// A blunt end is told by the width its sides would give, not by what comes
	// behind a short bar.
	widens := blunt + 2*behind*math.Tan(t.angle/2)
	if blunt > bluntShare*min(t.width, widens) || t.side == 0 {
		return tip{}, false
	}
	for k, side := range sides {
		t.sides[k] = outline.Polyline(thinned(side)...)
	}
	return t, true
}

// thinned drops points of a dense line, all but its ends and every tenth.
func thinned(line []outline.Point) []outline.Point {
	var out []outline.Point
	for i, p := range line {
		if i < 2 || i == len(line)-1 || i%10 == 0 {
			out = append(out, p)
		}
	}
	return out
}

// dropTips removes the samples that lie in a point: between its two sides,
// where these close about as fast as at its end.
func dropTips(b *boundary.Boundary, samples []sample, tips []tip) []sample {
	if len(tips) == 0 {
		return samples
	}
	// For each edge the points it is a side of, negative for the side that comes before.
	sideOf := map[int32][]int{}
	for k, t := range tips {
		length := t.side
		for e := t.last; length > 0; e = b.Next(e) {
			sideOf[e] = append(sideOf[e], k+1)
			length -= b.Edges[e].Length
		}
		length = t.side
		for e := t.first; length > 0; e = b.Previous(e) {
			sideOf[e] = append(sideOf[e], -k-1)
			length -= b.Edges[e].Length
		}
		// The rounded end belongs to both.
		for e := b.Next(t.first); e != t.last; e = b.Next(e) {
			sideOf[e] = append(sideOf[e], k+1, -k-1)
		}
	}
	return slices.DeleteFunc(samples, func(s sample) bool {
		for _, k := range sideOf[s.edge] {
			t := &tips[max(k, -k)-1]
			if s.taper < t.angle/2 {
				continue
			}
			if slices.Contains(sideOf[s.touchEdge], -k) {
				return true
			}
		}
		return false
	})
}

// sharpTips finds the points of film that lift.
func (in *inspection) sharpTips(tips []tip) {
	for _, t := range tips {
		s, limit, broken := in.limits.Tip.tier(t.width + resolution)
		if !broken {
			continue
		}
		in.add(Finding{Kind: TipSharp, Severity: s, At: t.apex, Value: t.width, Limit: limit, Unit: "mm",
			Source: in.limits.Tip.Source, Of: in.of(t.first), Outline: t.sides[:], Length: t.reach,
			Degrees: t.angle * 180 / math.Pi, Remedy: "blunt the point"})
	}
}
