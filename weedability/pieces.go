package weedability

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability/internal/boundary"
)

// inscribedPrecision bounds the error of the radius of an island's or counter's
// largest inscribed circle, in millimetres; the circle found is then moved to
// where it is largest near by, which leaves about a hundredth of that.
const inscribedPrecision = 0.01

// pieces lists islands and counters and finds those below the limits. An
// island is bounded by a ring of even depth and the rings directly in it, a
// counter by one of odd depth and the rings in it.
func (in *inspection) pieces() {
	circles := boundary.Inscriber{Boundary: in.b}
	for i := range in.b.Rings {
		r := &in.b.Rings[i]
		if r.First == r.End || r.Area == 0 {
			continue
		}
		rings := append([]int{i}, in.inner[i]...)
		area := 0.0
		for _, k := range rings {
			area += float64(in.path[k].Area())
		}
		area = math.Abs(area)
		waste := in.depth[i]%2 == 1
		circle := circles.Circle(rings, waste, inscribedPrecision)
		width := 2 * circle.Radius
		if waste {
			in.out.Counters = append(in.out.Counters, Counter{
				Number: len(in.out.Counters) + 1, At: circle.Centre, Area: area, Width: width,
				Pickable: width >= float64(in.limits.CounterWidth.Warn),
				Contour:  i, Islands: len(in.inner[i]), Of: in.of(r.First),
			})
			n := len(in.out.Counters)
			if s, limit, broken := in.limits.CounterWidth.tier(width + resolution); broken {
				in.add(Finding{Kind: CounterSmall, Severity: s, At: circle.Centre, Value: width, Limit: limit, Unit: "mm",
					Source: in.limits.CounterWidth.Source, Of: in.of(r.First), Number: n,
					Outline: []outline.Curve{in.path[i].Curve()}, Remedy: "fill the counter, or cut larger",
					SafeScale: scaleTo(float64(in.limits.CounterWidth.Caution), width+resolution)})
			}
			continue
		}
		island := Island{
			Number: len(in.out.Islands) + 1, At: circle.Centre, Area: area, Width: width,
			Contour: i, Counters: len(in.inner[i]), Inside: in.parents[i] >= 0, Of: in.of(r.First),
		}
		if s, limit, broken := in.limits.IslandArea.tier(area); broken {
			island.Lift = max(island.Lift, LiftPossible+Lift(s))
			in.add(Finding{Kind: IslandArea, Severity: s, At: circle.Centre, Value: area, Limit: limit, Unit: "mm2",
				Source: in.limits.IslandArea.Source, Of: island.Of, Number: island.Number,
				Outline: []outline.Curve{in.path[i].Curve()}, Remedy: "drop it, join it to its neighbour by a bridge, or cut larger",
				SafeScale: math.Sqrt(scaleTo(float64(in.limits.IslandArea.Caution), area))})
		}
		if s, limit, broken := in.limits.IslandWidth.tier(width + resolution); broken {
			island.Lift = max(island.Lift, LiftPossible+Lift(s))
			in.add(Finding{Kind: IslandNarrow, Severity: s, At: circle.Centre, Value: width, Limit: limit, Unit: "mm",
				Source: in.limits.IslandWidth.Source, Of: island.Of, Number: island.Number,
				Outline: []outline.Curve{in.path[i].Curve()}, Remedy: "thicken it, or cut larger",
				SafeScale: scaleTo(float64(in.limits.IslandWidth.Caution), width+resolution)})
		}
		in.out.Islands = append(in.out.Islands, island)
	}
}

func (in *inspection) add(f Finding) { in.out.Findings = append(in.out.Findings, f) }

// scaleTo returns the factor that brings value to limit, 0 where there is none.
func scaleTo(limit, value float64) float64 {
	if value <= 0 {
		return 0
	}
	return limit / value
}
