package weedability

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability/internal/boundary"
)

// bluntRound cuts off, on every contour, the sharp tips that do not overlap.
func bluntRound(in *inspection, opt RemedyOptions) (outline.Path, []Change, error) {
	var limit float64
	switch opt.Tier {
	case Refuse:
		limit = float64(in.limits.Tip.Refuse)
	case Warn:
		limit = float64(in.limits.Tip.Warn)
	default:
		limit = float64(in.limits.Tip.Caution)
	}
	width := in.limits.Stroke.at(opt.Tier) + 2*surplus
	cuts := map[int32][]cut{}
	var changes []Change
	for _, t := range in.tipsOfFilm {
		if t.width+resolution >= limit {
			continue
		}
		c, ok := in.cutTip(t, width/2)
		if !ok {
			continue
		}
		ring := in.b.Edges[t.first].Contour
		// Cuts that share border wait for the next round.
		if overlaps(cuts[ring], c, in.b.Rings[ring].Length) {
			continue
		}
		cuts[ring] = append(cuts[ring], c)
		changes = append(changes, Change{Kind: TipSharp, Done: "blunted", At: t.apex, Before: t.width, After: width, Unit: "mm", Of: in.of(t.first)})
	}
	if len(changes) == 0 {
		return nil, nil, nil
	}
	p := in.path.Clone()
	for ring, list := range cuts {
		p[ring] = in.shortened(int(ring), list)
	}
	return p, changes, nil
}

// cut is a piece of border that an arc replaces: from the place before the
// tip to the place after it.
type cut struct {
	from, to       place
	centre         outline.Point
	radius         float64
	startArc, stop float64 // on the ring
	origin         int32
}

// place is a position on a contour.
type place struct {
	segment int
	t       float64
	at      outline.Point
}

// cutTip finds the ball of the given radius that touches both sides of a tip.
func (in *inspection) cutTip(t tip, radius float64) (cut, bool) {
	b := in.b
	ball := func(w walker) boundary.Ball {
		p := w.point()
		return b.Ball(p, b.Edges[w.edge].U.Perp(), 4*radius, w.edge, -1)
	}
	// Walk from the apex until the ball is large enough, then halve the step.
	half := b.Rings[b.Edges[t.first].Contour].Length / 2
	w := walker{b: b, edge: t.last, forward: true, left: half}
	step := tipStep * float64(in.limits.Tip.Behind)
	for walked := 0.0; ; walked += step {
		if walked > maxTipReach*max(2*radius, float64(in.limits.Tip.Behind)) {
			return cut{}, false
		}
		next := w
		if !next.step(step) {
			return cut{}, false
		}
		if ball(next).Radius >= radius {
			break
		}
		w = next
	}
	for step > resolution/16 {
		step /= 2
		next := w
		if next.step(step) && ball(next).Radius < radius {
			w = next
		}
	}
	w.step(step)
	touch := ball(w)
	if touch.Edge < 0 || touch.Radius < radius*0.9 || b.Edges[touch.Edge].Contour != b.Edges[t.first].Contour {
		return cut{}, false
	}
	p := w.point()
	centre := p.Add(b.Edges[w.edge].U.Perp().Mul(touch.Radius))
	c := cut{from: in.locate(touch.Edge, touch.Touch), to: in.locate(w.edge, p), centre: centre, radius: touch.Radius, origin: in.origin(w.edge)}
	arc := func(e int32, q outline.Point) float64 { return b.Edges[e].Arc + q.Sub(b.Edges[e].A).Dot(b.Edges[e].U) }
	c.startArc, c.stop = arc(touch.Edge, touch.Touch), arc(w.edge, p)
	// The border from one to the other has to be the tip and no more than that.
	length := b.Rings[b.Edges[t.first].Contour].Length
	span, lead := around(c.stop-c.startArc, length), around(b.Edges[t.last].Arc-c.startArc, length)
	if span <= 0 || lead > span || span > length*0.9 {
		return cut{}, false
	}
	return c, true
}

// around brings a length along a ring into [0, length).
func around(v, length float64) float64 {
	v = math.Mod(v, length)
	if v < 0 {
		v += length
	}
	return v
}

// overlaps reports whether a cut shares border with one of the others.
func overlaps(list []cut, c cut, length float64) bool {
	for _, d := range list {
		if around(c.startArc-d.startArc, length) <= around(d.stop-d.startArc, length) ||
			around(d.startArc-c.startArc, length) <= around(c.stop-c.startArc, length) {
			return true
		}
	}
	return false
}

// locate returns the place on the path's contour of a point on one of its edges.
func (in *inspection) locate(e int32, q outline.Point) place {
	edge := &in.b.Edges[e]
	c := in.path[edge.Contour]
	if int(edge.Segment) >= len(c.Segments) {
		return place{segment: len(c.Segments) - 1, t: 1, at: c.Start}
	}
	at := c.Start
	if edge.Segment > 0 {
		at = c.Segments[edge.Segment-1].End
	}
	near := outline.Curve{Start: at, Segments: c.Segments[edge.Segment : edge.Segment+1]}.Nearest(q)
	return place{segment: int(edge.Segment), t: near.T, at: near.Point}
}

// shortened returns a contour with its cuts replaced by arcs.
func (in *inspection) shortened(ring int, cuts []cut) outline.Contour {
	c := in.path[ring]
	length := in.b.Rings[ring].Length
	// From the end of one cut to the start of the next, then the arc.
	next := func(k int) int {
		best, at := math.Inf(1), k
		for i := range cuts {
			if d := around(cuts[i].startArc-cuts[k].stop, length); d < best {
				best, at = d, i
			}
		}
		return at
	}
	out := outline.Contour{Start: cuts[0].to.at}
	for k, count := 0, 0; count < len(cuts); count++ {
		n := next(k)
		out.Segments = appendRun(out.Segments, c, cuts[k].to, cuts[n].from)
		out.Segments = appendArc(out.Segments, cuts[n])
		k = n
	}
	out.Segments[len(out.Segments)-1].End = out.Start
	return out
}

// appendRun appends the contour's segments from one place forward to another.
func appendRun(segments []outline.Segment, c outline.Contour, from, to place) []outline.Segment {
	n := len(c.Segments)
	start := func(i int) outline.Point {
		if i == 0 {
			return c.Start
		}
		return c.Segments[i-1].End
	}
	if from.segment == to.segment && from.t <= to.t {
		s := c.Segments[from.segment]
		if to.t < 1 {
			s, _ = s.Split(start(from.segment), to.t)
		}
		if from.t > 0 {
			_, s = s.Split(start(from.segment), from.t/to.t)
		}
		return append(segments, s)
	}
	if from.t < 1 {
		_, s := c.Segments[from.segment].Split(start(from.segment), from.t)
		segments = append(segments, s)
	}
	for i := (from.segment + 1) % n; i != to.segment; i = (i + 1) % n {
		segments = append(segments, c.Segments[i])
	}
	if to.t > 0 {
		s, _ := c.Segments[to.segment].Split(start(to.segment), to.t)
		segments = append(segments, s)
	}
	return segments
}

// appendArc appends the arc that replaces a cut, counter-clockwise about the
// ball's centre, since film lies to the left of the border.
func appendArc(segments []outline.Segment, c cut) []outline.Segment {
	a, b := c.from.at.Sub(c.centre), c.to.at.Sub(c.centre)
	from := math.Atan2(a.Y, a.X)
	sweep := around(math.Atan2(b.Y, b.X)-from, 2*math.Pi)
	arc := outline.Arc(c.centre, units.Length(c.radius), units.Angle(from), units.Angle(sweep))
	n := len(segments)
	if n > 0 {
		segments[n-1].End = arc.Start
	}
	for _, s := range arc.Segments {
		s.Origin = c.origin
		segments = append(segments, s)
	}
	return segments
}
