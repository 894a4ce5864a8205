package svg

import (
	"sort"

	"github.com/vinylgeom/vinyl/outline"
)

// orient turns the contours of a fill so that outer ones run
// counter-clockwise and holes clockwise, and drops those that bound nothing
// (film on both sides). Contours must not cross.
func orient(p outline.Path, rule string) outline.Path {
	type ring struct {
		contour outline.Contour
		points  []outline.Point
		box     outline.Box
		area    float64
		winding int // inside
	}
	rings := make([]ring, 0, len(p))
	for _, c := range p {
		r := ring{contour: c, points: c.Flatten(nil, 0), box: c.Bounds(), area: float64(c.Area())}
		if r.area != 0 {
			rings = append(rings, r)
		}
	}
	order := make([]int, len(rings))
	for i := range order {
		order[i] = i
	}
	size := func(i int) float64 { return max(rings[i].area, -rings[i].area) }
	sort.SliceStable(order, func(i, j int) bool { return size(order[i]) > size(order[j]) })
	inside := func(w int) bool {
		if rule == "evenodd" {
			return w%2 != 0
		}
		return w != 0
	}
	keep := make([]bool, len(rings))
	for n, i := range order {
		r := &rings[i]
		outer := 0
		for m := n - 1; m >= 0; m-- {
			q := &rings[order[m]]
			if q.box.Contains(r.box.Min) && q.box.Contains(r.box.Max) && holds(q.points, r.points) {
				outer = q.winding
				break
			}
		}
		step := 1
		if r.area < 0 {
			step = -1
		}
		r.winding = outer + step
		keep[i] = inside(outer) != inside(r.winding)
		if inside(r.winding) != (r.area > 0) {
			r.contour = r.contour.Reversed()
		}
	}
	var out outline.Path
	for i := range rings {
		if keep[i] {
			out = append(out, rings[i].contour)
		}
	}
	return out
}

// holds reports whether the polygon inner, which does not cross outer, lies
// inside it. Vertices on outer's border do not tell; the first that does
// decides.
func holds(outer, inner []outline.Point) bool {
	for _, q := range inner {
		in, border := false, false
		for i, b := range outer {
			a := outer[(i+len(outer)-1)%len(outer)]
			cross := b.Sub(a).Cross(q.Sub(a))
			if cross == 0 && min(a.X, b.X) <= q.X && q.X <= max(a.X, b.X) && min(a.Y, b.Y) <= q.Y && q.Y <= max(a.Y, b.Y) {
				border = true
				break
			}
			if (a.Y <= q.Y) != (b.Y <= q.Y) && (cross > 0) == (b.Y > a.Y) {
				in = !in
			}
		}
		if !border {
			return in
		}
	}
	return false
}
