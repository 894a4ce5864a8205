package weedability

import (
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/weedability/internal/boundary"
)

// cornerTurn is the turn in radians from which on a vertex counts as a corner
// that ends a stretch.
const cornerTurn = 40 * math.Pi / 180

// thinStrokes finds the stretches of film below the stroke limit.
func (in *inspection) thinStrokes() {
	limit := float64(in.limits.Stroke.Caution)
	in.tipsOfFilm = in.tips(in.b, false, limit)
	samples := dropTips(in.b, in.thin(in.b, false, limit), in.tipsOfFilm)
	list := in.stretches(in.b, samples, false, limit)
	in.narrowEnds(in.b, samples, list, false, limit)
	for i := range list {
		st := &list[i]
		s, tierLimit, broken := in.limits.Stroke.tier(st.least + resolution)
		if !broken {
			continue
		}
		in.add(Finding{Kind: StrokeThin, Severity: s, At: st.worst.centre, Value: st.least, Limit: tierLimit, Unit: "mm",
			Source: in.limits.Stroke.Source, Of: in.of(st.worst.edge), Outline: in.centreLine(samples, st, 2*spacingShare*limit),
			Length: st.length, Remedy: "thicken the stroke, or cut larger", SafeScale: scaleTo(limit, st.least+resolution)})
	}
	in.strokes, in.strokeSamples = list, samples
}

// narrowGaps finds the stretches of waste below the gap limit.
func (in *inspection) narrowGaps() {
	limit := float64(in.limits.Gap.Caution)
	reach := max(limit, float64(in.limits.WasteNeck.Caution))
	tips := in.tips(in.b, true, reach)
	samples := dropTips(in.b, in.thin(in.b, true, reach), tips)
	list := in.stretches(in.b, samples, true, limit)
	in.narrowEnds(in.b, samples, list, true, limit)
	for i := range list {
		st := &list[i]
		s, tierLimit, broken := in.limits.Gap.tier(st.least + resolution)
		if !broken {
			continue
		}
		in.add(Finding{Kind: GapNarrow, Severity: s, At: st.worst.centre, Value: st.least, Limit: tierLimit, Unit: "mm",
			Source: in.limits.Gap.Source, Of: in.between(st.worst.edge, st.worst.touchEdge), Outline: in.centreLine(samples, st, 2*spacingShare*limit),
			Length: st.length, Remedy: "widen the gap, join its sides, or cut larger", SafeScale: scaleTo(limit, st.least+resolution)})
	}
	in.gaps, in.gapSamples = list, samples
}

// between names what two edges are part of.
func (in *inspection) between(e, f int32) string {
	a, b := in.of(e), in.of(f)
	switch {
	case a == b || b == "":
		return a
	case a == "":
		return b
	}
	return a + " and " + b
}

// narrowEnds looks at the ends of stretches that narrow towards a square end,
// where no ball reaches into the corners: there the end itself is the thickness. The
// stretch's worst sample stays the ball's, which lies within the film or waste.
func (in *inspection) narrowEnds(b *boundary.Boundary, samples []sample, list []stretch, waste bool, limit float64) {
	turn := func(e int32) float64 {
		if waste {
			return -b.Turn(e)
		}
		return b.Turn(e)
	}
	for k := range list {
		st := &list[k]
		last := int32(-1)
		for _, i := range st.samples {
			e := samples[i].edge
			if e == last || turn(e) < cornerTurn {
				continue
			}
			last = e
			// From the corner at the end of e to the next corner.
			length := 0.0
			f := b.Next(e)
			for ; length < limit; f = b.Next(f) {
				length += b.Edges[f].Length
				if turn(f) >= cornerTurn {
					break
				}
			}
			g := b.Next(f)
			width := b.Edges[e].B.Distance(b.Edges[g].A)
			if length >= limit || width == 0 || width >= st.least || b.Edges[e].U.Dot(b.Edges[g].U) > -math.Cos(maxTaper) {
				continue
			}
			if !slices.ContainsFunc(st.samples, func(i int) bool { return samples[i].edge == g }) {
				continue
			}
			st.least, st.from, st.to = width, b.Edges[e].B, b.Edges[g].A
		}
	}
}
