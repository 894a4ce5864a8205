package weedability

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// WeedLine is a proposed relief cut through waste only, from one edge of the
// waste sheet, or an earlier line, to another, so that the sheet comes off in parts.
type WeedLine struct {
	Curve     outline.Curve // straight, or stepped where no straight line fits
	Clearance float64       // millimetres to the nearest artwork, measured
	Before    int           // pieces of film in the part of the sheet that it splits
	First     int           // of them on the left of the line
	Second    int           // and on its right
	Necks     int           // places in that part where the waste may tear
}

// Benefit says what the line is good for: less film for each part of the sheet to
// drag at when it is peeled, and where it may tear a line at which a tear ends.
func (l WeedLine) Benefit() string {
	s := fmt.Sprintf("the sheet round %d pieces of film comes off in two parts, round %d and %d, which drag at less film each", l.Before, l.First, l.Second)
	switch {
	case l.Necks == 1:
		s += "; a tear at its narrow place ends at the line"
	case l.Necks > 1:
		s += fmt.Sprintf("; a tear at one of its %d narrow places ends at the line", l.Necks)
	}
	return s
}

// WeedLineOptions says where weed lines are wanted. Its zero value is the usual.
type WeedLineOptions struct {
	// Clearance is the least distance of a line from artwork; zero is the limits'
	// waste neck, and less is not allowed: the waste between line and artwork
	// would tear.
	Clearance units.Length
	// Pieces is how many pieces of film a part of the sheet may surround before
	// it is split, where nothing in it tears; zero is 8. Common practice without a source: one
	// hobby job of 11 words on 5 x 11 in lost about 4 letters to an unsplit sheet
	// (trishaswares.com, 2021).
	Pieces int
	// Tolerance and BorderMargin are as in [Options].
	Tolerance    units.Length
	BorderMargin units.Length
}

// defaultPieces is WeedLineOptions.Pieces where it is zero.
const defaultPieces = 8

// WeedLines proposes weed lines for the welded path p inside its weed border: it
// splits the sheet where a part of it surrounds too many pieces of film, or
// more than one piece and a place that tears. A line runs from border to border, or ends at an
// earlier line; it keeps its clearance from all artwork, so that it leaves no sliver of waste,
// and is proposed only where it leaves film on both sides. The result is never nil, and
// the lines so far beside the error of a context that is done. The errors are those of [Inspect],
// and a [*LimitsError] that wraps [ErrOption].
func WeedLines(ctx context.Context, p outline.Path, limits Limits, opt WeedLineOptions) ([]WeedLine, error) {
	in, err := newInspection(ctx, "weed lines", p, limits, Options{Tolerance: opt.Tolerance, BorderMargin: opt.BorderMargin})
	if err != nil {
		return nil, err
	}
	if err := opt.check(limits); err != nil {
		return nil, err
	}
	in.b.Near(in.nearest())
	in.narrowGaps()
	in.wasteSheet()
	return in.weedLines(opt)
}

// weedLines proposes lines; the waste sheet has to be known.
func (in *inspection) weedLines(opt WeedLineOptions) ([]WeedLine, error) {
	if opt.Clearance == 0 {
		opt.Clearance = in.limits.WasteNeck.Caution
	}
	if opt.Pieces == 0 {
		opt.Pieces = defaultPieces
	}
	s := splitter{in: in, clearance: float64(opt.Clearance), pieces: opt.Pieces, lines: []WeedLine{}}
	var all []int
	for i := range in.b.Rings {
		if r := &in.b.Rings[i]; in.parents[i] < 0 && r.First < r.End && r.Area != 0 {
			all = append(all, i)
		}
	}
	if err := s.split(part{box: in.out.Waste.Border, rings: all}); err != nil {
		return s.lines, err
	}
	return s.lines, nil
}

// check returns a *LimitsError where an option has no sensible value.
func (opt WeedLineOptions) check(limits Limits) error {
	if opt.Clearance != 0 && !(opt.Clearance >= limits.WasteNeck.Caution && opt.Clearance.IsFinite()) {
		return &LimitsError{Field: "clearance", Value: opt.Clearance.String(), Cause: ErrOption,
			Fix: fmt.Sprintf("keep weed lines at least %v from artwork, as wide as waste has to be to peel", limits.WasteNeck.Caution)}
	}
	if opt.Pieces < 0 {
		return &LimitsError{Field: "pieces", Value: fmt.Sprint(opt.Pieces), Cause: ErrOption, Fix: "give a number of pieces above zero, or zero for the usual"}
	}
	return nil
}

// splitter splits parts of the waste sheet by weed lines.
type splitter struct {
	in        *inspection
	clearance float64
	pieces    int
	lines     []WeedLine
	near      sets // rings that no line fits between; nil until it is asked for
}

// part is a part of the sheet: a box, and the pieces of film in it.
type part struct {
	box   outline.Box
	rings []int
}

// candidate is a line across a part, its islands to either side.
type candidate struct {
	line          []outline.Point
	first, second []int
	room          float64 // width of the corridor it runs in
	upright       bool
}

func (s *splitter) split(p part) error {
	if err := s.in.ctx.Err(); err != nil {
		return err
	}
	necks := 0
	for _, n := range s.in.out.Waste.Necks {
		if !n.Counter && p.box.Contains(n.At) {
			necks++
		}
	}
	if len(p.rings) < 2 || len(p.rings) <= s.pieces && necks == 0 {
		return nil
	}
	var list []candidate
	for _, upright := range [2]bool{false, true} {
		list = append(list, s.straight(p, upright)...)
	}
	if best := s.best(list, p); best < 0 && !s.together(p) {
		for _, upright := range [2]bool{false, true} {
			if c, ok := s.stepped(p, upright); ok {
				list = append(list, c)
			}
		}
	}
	var c candidate
	var line []outline.Point
	var clearance float64
	for {
		k := s.best(list, p)
		if k < 0 {
			return nil
		}
		c = list[k]
		line = s.trim(c.line)
		clearance = math.Inf(1)
		for i := 1; i < len(line); i++ {
			clearance = min(clearance, s.in.b.Distance(line[i-1], line[i], 4*s.clearance))
		}
		if clearance >= s.clearance-resolution && s.apart(line) {
			break
		}
		// Beside a stepped line the boxes of two parts overlap, and what is
		// straight in one can run into the artwork of the other, or end beside the
		// stepped line.
		list = slices.Delete(list, k, k+1)
	}
	s.lines = append(s.lines, WeedLine{Curve: outline.Polyline(line...), Clearance: clearance,
		Before: len(p.rings), First: len(c.first), Second: len(c.second), Necks: necks})
	box := bounds(c.line)
	first, second := p, p
	first.rings, second.rings = c.first, c.second
	if c.upright { // it runs up: first, on its left, has the smaller x
		first.box.Max.X, second.box.Min.X = box.Max.X, box.Min.X
	} else { // it runs to the right: first lies above
		first.box.Min.Y, second.box.Max.Y = box.Min.Y, box.Max.Y
	}
	if err := s.split(first); err != nil {
		return err
	}
	return s.split(second)
}

// apart reports whether the line ends on earlier ones or well beside them, and
// they on it: between two that begin side by side a needle of waste would tear.
func (s *splitter) apart(line []outline.Point) bool {
	near := func(ends, other outline.Curve) bool {
		for _, p := range [2]outline.Point{ends.Start, ends.End()} {
			if d := float64(other.Nearest(p).Distance); d > resolution && d < s.clearance {
				return true
			}
		}
		return false
	}
	curve := outline.Polyline(line...)
	return !slices.ContainsFunc(s.lines, func(l WeedLine) bool { return near(curve, l.Curve) || near(l.Curve, curve) })
}

// together reports whether no line fits between any pieces of a part, since each lies
// within twice the clearance of another and all hang together by that.
func (s *splitter) together(p part) bool {
	b := s.in.b
	if s.near == nil {
		s.near = newSets(len(b.Rings))
		for i := range s.in.gapSamples {
			if g := &s.in.gapSamples[i]; g.radius < s.clearance {
				s.near.join(int(g.ring), int(b.Edges[g.touchEdge].Contour))
			}
		}
	}
	joined := func(r int) bool { return s.near.find(r) == s.near.find(p.rings[0]) }
	for _, r := range p.rings[1:] {
		// What wider waste lies between is measured where it has to be known.
		walked := 0.0
		for e := b.Rings[r].First; e < b.Rings[r].End && !joined(r); e++ {
			edge := &b.Edges[e]
			if walked += edge.Length; walked < s.clearance {
				continue
			}
			walked = 0
			if ball := b.Ball(edge.At(edge.Length/2), edge.U.Perp().Mul(-1), s.clearance, e, -1); ball.Edge >= 0 {
				s.near.join(r, int(b.Edges[ball.Edge].Contour))
			}
		}
	}
	for _, r := range p.rings {
		if !joined(r) {
			return false
		}
	}
	return true
}

// uneven is the least share of a part's pieces on the smaller side of a line.
const uneven = 0.2

// best returns the candidate that splits most evenly, a wide corridor
// counting for a little; -1 where none splits well enough.
func (s *splitter) best(list []candidate, p part) int {
	best, at := 0.0, -1
	for i, c := range list {
		share := float64(min(len(c.first), len(c.second))) / float64(len(p.rings))
		if share < uneven && len(p.rings) > 3 || share == 0 {
			continue
		}
		if score := share + 0.1*math.Min(1, c.room/(10*s.clearance)); score > best {
			best, at = score, i
		}
	}
	return at
}

// straight returns the straight lines across a part that keep their clearance.
func (s *splitter) straight(p part, upright bool) []candidate {
	type span struct {
		from, to float64
		ring     int
	}
	var spans []span
	for _, r := range p.rings {
		b := s.in.b.Rings[r].Box
		if upright {
			spans = append(spans, span{b.Min.X, b.Max.X, r})
		} else {
			spans = append(spans, span{b.Min.Y, b.Max.Y, r})
		}
	}
	slices.SortStableFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	var out []candidate
	end := spans[0].to
	for i := 1; i < len(spans); i++ {
		if room := spans[i].from - end; room >= 2*s.clearance {
			at := end + room/2
			c := candidate{room: room, upright: upright}
			for _, sp := range spans[:i] {
				c.first = append(c.first, sp.ring)
			}
			for _, sp := range spans[i:] {
				c.second = append(c.second, sp.ring)
			}
			if upright {
				c.line = []outline.Point{{X: at, Y: p.box.Min.Y}, {X: at, Y: p.box.Max.Y}}
			} else {
				c.line = []outline.Point{{X: p.box.Min.X, Y: at}, {X: p.box.Max.X, Y: at}}
				c.first, c.second = c.second, c.first
			}
			out = append(out, c)
		}
		end = max(end, spans[i].to)
	}
	return out
}

// trim cuts a line off where it meets earlier lines, and keeps the longer side.
func (s *splitter) trim(line []outline.Point) []outline.Point {
	for _, l := range s.lines {
		other := l.Curve.Flatten(nil, 0)
		for i := 1; i < len(other); i++ {
			for k := 1; k < len(line); k++ {
				at, ok := meet(line[k-1], line[k], other[i-1], other[i])
				if !ok {
					continue
				}
				head := append(slices.Clone(line[:k]), at)
				tail := append([]outline.Point{at}, line[k:]...)
				if length(head) >= length(tail) {
					line = head
				} else {
					line = tail
				}
				break
			}
		}
	}
	return line
}

func length(line []outline.Point) float64 {
	var sum float64
	for i := 1; i < len(line); i++ {
		sum += line[i].Distance(line[i-1])
	}
	return sum
}

// meet returns where the segments ab and cd cross, ends included.
func meet(a, b, c, d outline.Point) (outline.Point, bool) {
	u, v := b.Sub(a), d.Sub(c)
	k := u.Cross(v)
	if k == 0 {
		return outline.Point{}, false
	}
	t, w := c.Sub(a).Cross(v)/k, c.Sub(a).Cross(u)/k
	if t < 0 || t > 1 || w < 0 || w > 1 {
		return outline.Point{}, false
	}
	return a.Lerp(b, t), true
}
