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
	target := in.limits.Stroke.at(opt.Tier)
	bands, changes := in.bands(in.strokes, in.strokeSamples, false, target, StrokeThin, "thickened")
	if len(changes) == 0 {
		return nil, nil, nil
	}
	p, err := outline.Weld(append([]outline.Path{in.path}, bands...), outline.BooleanOptions{Tolerance: opt.Tolerance})
	return p, changes, err
}

func widenRound(in *inspection, opt RemedyOptions) (outline.Path, []Change, error) {
	target := in.limits.Gap.at(opt.Tier)
	bands, changes := in.bands(in.gaps, in.gapSamples, true, target, GapNarrow, "widened")
	if len(changes) == 0 {
		return nil, nil, nil
	}
	p, err := outline.Subtract(in.path, bands, outline.BooleanOptions{Tolerance: opt.Tolerance})
	return p, changes, err
}

// bands returns the area along the centre lines of the stretches where these are
// thinner than target, as wide as target and a surplus.
func (in *inspection) bands(list []stretch, samples []sample, waste bool, target float64, kind Kind, done string) ([]outline.Path, []Change) {
	var bands []outline.Path
	var changes []Change
	radius := target/2 + surplus
	for i := range list {
		st := &list[i]
		if st.least >= target-resolution {
			continue
		}
		thin := stretch{}
		for _, k := range st.samples {
			if in.width(&samples[k], waste) < target-resolution {
				thin.samples = append(thin.samples, k)
			}
		}
		reach := 2 * spacingShare * in.limits.Stroke.at(Caution)
		if waste {
			reach = 2 * spacingShare * in.limits.Gap.at(Caution)
		}
		for _, line := range in.centreLine(samples, &thin, reach) {
			bands = append(bands, band(line.Flatten(nil, 0), radius))
		}
		// Where the stretch is thinnest, which is between samples.
		bands = append(bands, outline.Path{outline.Circle(st.worst.centre, units.Length(radius))})
		changes = append(changes, Change{Kind: kind, Done: done, At: st.worst.centre, Before: st.least, After: 2 * radius,
			Unit: "mm", Of: in.of(st.worst.edge)})
	}
	return bands, changes
}

// band returns the area within radius of a polyline, as contours that overlap.
func band(line []outline.Point, radius float64) outline.Path {
	line = straightened(line, bandSag)
	if len(line) == 1 {
		return outline.Path{outline.Circle(line[0], units.Length(radius))}
	}
	var p outline.Path
	for i := 1; i < len(line); i++ {
		p = append(p, capsule(line[i-1], line[i], radius))
	}
	return p
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
