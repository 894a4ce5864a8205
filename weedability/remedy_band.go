package weedability

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// bandSag is how far, in millimetres, a band's straight pieces may lie from the
// centre line that they follow.
const bandSag = 0.004

func thickenRound(in *inspection, opt RemedyOptions) (outline.Path, []Change, error) {
	bands, changes := in.bands(in.strokes, in.strokeSamples, false, in.limits.Stroke, opt.Tier, StrokeThin, "thickened")
	if len(changes) == 0 {
		return nil, nil, nil
	}
	p, err := outline.Weld(append([]outline.Path{in.path}, bands...), outline.BooleanOptions{Tolerance: opt.Tolerance})
	return p, changes, err
}

func widenRound(in *inspection, opt RemedyOptions) (outline.Path, []Change, error) {
	bands, changes := in.bands(in.gaps, in.gapSamples, true, in.limits.Gap, opt.Tier, GapNarrow, "widened")
	if len(changes) == 0 {
		return nil, nil, nil
	}
	p, err := outline.Subtract(in.path, bands, outline.BooleanOptions{Tolerance: opt.Tolerance})
	return p, changes, err
}

// bands returns the area along the centre lines of the stretches where these are
// thinner than the limit of a tier, as wide as that and a surplus.
func (in *inspection) bands(list []stretch, samples []sample, waste bool, limit Limit, tier Severity, kind Kind, done string) ([]outline.Path, []Change) {
	var bands []outline.Path
	var changes []Change
	target := limit.at(tier)
	radius := target/2 + surplus
	for i := range list {
		st := &list[i]
		severity, _, _ := limit.tier(st.least + resolution)
		if st.least >= target-resolution || in.avoided(st, samples, target, severity) {
			continue
		}
		thin := stretch{}
		for _, k := range st.samples {
			if in.width(&samples[k], waste) < target-resolution {
				thin.samples = append(thin.samples, k)
			}
		}
		reach := 2 * spacingShare * limit.at(Caution)
		ring, origin := in.b.Edges[st.worst.edge].Contour, in.origin(st.worst.edge)
		for _, line := range in.centreLine(samples, &thin, reach) {
			bands = append(bands, in.band(line.Flatten(nil, 0), radius, ring).WithOrigin(origin))
		}
		// Where the stretch is thinnest, which is between samples.
		bands = append(bands, outline.Path{outline.Circle(st.worst.centre, units.Length(radius))}.WithOrigin(origin))
		changes = append(changes, Change{Kind: kind, Done: done, At: st.worst.centre, Before: st.least, After: 2 * radius,
			Unit: "mm", Of: in.of(st.worst.edge)})
	}
	return bands, changes
}

// ward is a place that remedies leave alone, but for stretches that are worse than it.
type ward struct {
	along    outline.Curve
	severity Severity
}

// avoided reports whether a stretch of that severity runs along a ward.
func (in *inspection) avoided(st *stretch, samples []sample, target float64, severity Severity) bool {
	for _, w := range in.wards {
		if severity > w.severity {
			continue
		}
		box := w.along.Bounds().Grow(target)
		for _, k := range st.samples {
			if q := samples[k].centre; box.Contains(q) && float64(w.along.Nearest(q).Distance) < target {
				return true
			}
		}
	}
	return false
}

// band returns the area within radius of a polyline, as contours that overlap. Where the
// line stops before an end of ring it goes on to that end and no further, cut off
// square, so that ends grow no knobs.
func (in *inspection) band(line []outline.Point, radius float64, ring int32) outline.Path {
	line = straightened(line, bandSag)
	if len(line) == 1 {
		return outline.Path{outline.Circle(line[0], units.Length(radius))}
	}
	var p outline.Path
	for i := 1; i < len(line); i++ {
		head, tail := radius, radius
		if i == len(line)-1 {
			head = in.room(line[i], line[i].Sub(line[i-1]), radius, ring)
		}
		if i == 1 {
			tail = in.room(line[0], line[0].Sub(line[1]), radius, ring)
		}
		p = append(p, pill(line[i-1], line[i], radius, tail, head))
	}
	return p
}

// room returns how far border of ring is from q in direction d, at most reach.
func (in *inspection) room(q, d outline.Point, reach float64, ring int32) float64 {
	n := d.Norm()
	if n == 0 {
		return reach
	}
	d = d.Mul(reach / n)
	r := &in.b.Rings[ring]
	share := 1.0
	for i := r.First; i < r.End; i++ {
		e := in.b.Edges[i].B.Sub(in.b.Edges[i].A)
		k := d.Cross(e)
		if k == 0 {
			continue
		}
		f := in.b.Edges[i].A.Sub(q)
		if t, u := f.Cross(e)/k, f.Cross(d)/k; t >= 0 && t < share && u >= 0 && u <= 1 {
			share = t
		}
	}
	return share * reach
}

// pill is a capsule whose ends reach tail behind a and head beyond b: round ones, or
// square ones where that is less than the radius.
func pill(a, b outline.Point, radius, tail, head float64) outline.Contour {
	d := b.Sub(a)
	n := d.Norm()
	if head >= radius && tail >= radius || n == 0 {
		return capsule(a, b, radius)
	}
	turn := units.Angle(math.Atan2(d.Y, d.X))
	const half = units.Turn / 2
	d = d.Mul(1 / n)
	side := d.Perp().Mul(radius)
	var c outline.Contour
	if head >= radius {
		arc := outline.Arc(b, units.Length(radius), turn-half/2, half)
		c = outline.Contour(arc)
	} else {
		end := b.Add(d.Mul(head))
		c = outline.Contour{Start: end.Sub(side), Segments: []outline.Segment{outline.LineTo(end.Add(side))}}
	}
	if tail >= radius {
		arc := outline.Arc(a, units.Length(radius), turn+half/2, half)
		c.Segments = append(append(c.Segments, outline.LineTo(arc.Start)), arc.Segments...)
	} else {
		end := a.Sub(d.Mul(tail))
		c.Segments = append(c.Segments, outline.LineTo(end.Add(side)), outline.LineTo(end.Sub(side)))
	}
	c.Segments = append(c.Segments, outline.LineTo(c.Start))
	return c
}

// capsule returns the contour of the area within radius of the segment from a to b.
func capsule(a, b outline.Point, radius float64) outline.Contour {
	d := b.Sub(a)
	if d.Norm() == 0 {
		return outline.Circle(a, units.Length(radius))
	}
	turn := units.Angle(math.Atan2(d.Y, d.X))
	const half = units.Turn / 2
	head := outline.Arc(b, units.Length(radius), turn-half/2, half)
	tail := outline.Arc(a, units.Length(radius), turn+half/2, half)
	c := outline.Contour{Start: head.Start}
	c.Segments = append(c.Segments, head.Segments...)
	c.Segments = append(c.Segments, outline.LineTo(tail.Start))
	c.Segments = append(c.Segments, tail.Segments...)
	c.Segments = append(c.Segments, outline.LineTo(c.Start))
	return c
}

// straightened drops the points of a polyline that lie within sag of what is
// left (Douglas and Peucker 1973).
func straightened(line []outline.Point, sag float64) []outline.Point {
	if len(line) < 3 {
		return line
	}
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	type span struct{ from, to int }
	for open := []span{{0, len(line) - 1}}; len(open) > 0; {
		s := open[len(open)-1]
		open = open[:len(open)-1]
		a, b := line[s.from], line[s.to]
		d := b.Sub(a)
		worst, at := sag, -1
		for i := s.from + 1; i < s.to; i++ {
			t := 0.0
			if n := d.Dot(d); n > 0 {
				t = min(max(line[i].Sub(a).Dot(d)/n, 0), 1)
			}
			if e := line[i].Distance(a.Lerp(b, t)); e > worst {
				worst, at = e, i
			}
		}
		if at >= 0 {
			keep[at] = true
			open = append(open, span{s.from, at}, span{at, s.to})
		}
	}
	var out []outline.Point
	for i, k := range keep {
		if k {
			out = append(out, line[i])
		}
	}
	return out
}
