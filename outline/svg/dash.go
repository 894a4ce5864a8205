package svg

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// dash cuts subpaths into the runs that a dash pattern draws (SVG 2, 13.5.6):
// every subpath starts the pattern anew. budget bounds the dashes and counts
// down; ok is false once it is spent.
func (p pen) dash(subpaths []Subpath, budget *int) (dashed []Subpath, ok bool) {
	period := 0.0
	for _, d := range p.dashes {
		period += d
	}
	if !(period > 0) {
		return subpaths, true
	}
	for _, sub := range subpaths {
		r := outline.NewRuler(sub.Curve)
		length := float64(r.Length())
		if *budget -= int(math.Min(1e9, float64(len(p.dashes))*(length/period+1))) / 2; *budget < 0 {
			return nil, false
		}
		if length == 0 {
			dashed = append(dashed, sub)
			continue
		}
		first := len(dashed)
		index, left := p.enter(period)
		began := index%2 == 0
		for from := 0.0; from < length; {
			to := min(length, from+left)
			switch {
			case index%2 == 1:
			case from == to && p.cap == "butt": // a dot without caps paints nothing
				began = began && len(dashed) > first
			default:
				dash := r.SubCurve(units.Length(from), units.Length(to))
				if from == to {
					// A dot, which a square cap turns the way of the line.
					ahead := r.TangentAt(units.Length(from)).Mul(p.tolerance * dotShare)
					dash = outline.Polyline(dash.Start, dash.Start.Add(ahead))
				}
				dashed = append(dashed, Subpath{Curve: dash})
			}
			ended := index%2 == 0 && to == length && from+left > length
			from = to
			index = (index + 1) % len(p.dashes)
			left = p.dashes[index]
			// A dash that runs over the start of a closed subpath is one.
			if n := len(dashed); ended && sub.Closed && began {
				if n-1 == first {
					dashed[first] = sub
					continue
				}
				last := dashed[n-1]
				last.Segments = append(last.Segments, dashed[first].Segments...)
				dashed[first] = last
				dashed = dashed[:n-1]
			}
		}
	}
	return dashed, true
}

// dotShare is the length that a dash of length zero is given, as a share of
// the tolerance.
const dotShare = 1e-3

// enter returns the dash or gap in which the pattern starts and what is left
// of it.
func (p pen) enter(period float64) (index int, left float64) {
	offset := math.Mod(p.offset, period)
	if offset < 0 {
		offset += period
	}
	for index < len(p.dashes)-1 && offset >= p.dashes[index] && offset > 0 {
		offset -= p.dashes[index]
		index++
	}
	return index, max(0, p.dashes[index]-offset)
}
