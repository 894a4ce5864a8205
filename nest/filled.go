package nest

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// filled returns the outline without the holes that are too narrow for any piece, their boxes' lesser side below room, and
// without the parts that lie in them. Decals that differ in nothing but their words then are copies of one shape to the
// search, which packs copies better and sooner. The outline itself is not changed.
func filled(outline orb.MultiPolygon, room float64) orb.MultiPolygon {
	narrow := func(hole orb.Ring) bool {
		b := hole.Bound()
		return min(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) < room
	}
	var holes []orb.Ring
	for _, part := range outline {
		for _, hole := range part[1:] {
			if narrow(hole) {
				holes = append(holes, hole)
			}
		}
	}
	if len(holes) == 0 {
		return outline
	}
	var out orb.MultiPolygon
	for _, part := range outline {
		if slices.ContainsFunc(holes, func(hole orb.Ring) bool { return liesIn(part[0], hole) }) {
			continue
		}
		kept := orb.Polygon{part[0]}
		for _, hole := range part[1:] {
			if !narrow(hole) {
				kept = append(kept, hole)
			}
		}
		out = append(out, kept)
	}
	return out
}

// liesIn reports whether all vertices of a part's outer ring lie in the hole.
func liesIn(ring, hole orb.Ring) bool {
	a, b := ring.Bound(), hole.Bound()
	if !b.Contains(a.Min) || !b.Contains(a.Max) || a.Equal(b) { // the hole's own part shares its box at most
		return false
	}
	return !slices.ContainsFunc(ring, func(p orb.Point) bool { return !planar.RingContains(hole, p) })
}
