package cutpath

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// straightSlack is how far, in millimetres, a node may lie off the line between
// its neighbours and still be on it: far below a plotter unit.
const straightSlack = 1e-6

// join returns the curve with lines joined: nodes on a straight dropped, and
// lines shorter than shortest merged with what follows as far as no node moves
// off by more than tolerance. Curved segments stay, and so do the ends.
func join(c outline.Curve, tolerance, shortest float64) outline.Curve {
	out := outline.Curve{Start: c.Start, Segments: make([]outline.Segment, 0, len(c.Segments))}
	anchor := c.Start
	var pending []outline.Point // nodes since anchor, not yet kept
	flush := func() {
		if n := len(pending); n > 0 {
			out.Segments = append(out.Segments, outline.LineTo(pending[n-1]))
			anchor = pending[n-1]
			pending = pending[:0]
		}
	}
	for _, s := range c.Segments {
		if s.Kind != outline.Line {
			flush()
			out.Segments = append(out.Segments, s)
			anchor = s.End
			continue
		}
		if n := len(pending); n > 0 {
			last := pending[n-1]
			slack := straightSlack
			if math.Min(anchor.Distance(last), last.Distance(s.End)) < shortest {
				slack = tolerance
			}
			if !joins(anchor, s.End, pending, slack) {
				flush()
			}
		} else if s.End == anchor {
			continue
		}
		pending = append(pending, s.End)
	}
	flush()
	return out
}

// joins reports whether all nodes lie within slack of the line from a to b, in
// order along it, so that no turning back is lost.
func joins(a, b outline.Point, nodes []outline.Point, slack float64) bool {
	v := b.Sub(a)
	l := v.Norm()
	if l == 0 {
		return false
	}
	along := 0.0
	for _, p := range nodes {
		if p.DistanceToLine(a, b) > slack {
			return false
		}
		t := p.Sub(a).Dot(v) / l
		if t < along-slack {
			return false
		}
		along = math.Max(along, t)
	}
	return true
}
