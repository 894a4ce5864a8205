package nest

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// hull is a convex polygon, counter-clockwise.
type hull []orb.Point

// hullOf is the convex hull of all vertices (Andrew's monotone chain).
func hullOf(m orb.MultiPolygon) hull {
	var points []orb.Point
	for _, polygon := range m {
		if len(polygon) > 0 {
			points = append(points, polygon[0]...)
		}
	}
	slices.SortFunc(points, func(a, b orb.Point) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	points = slices.Compact(points)
	if len(points) < 3 {
		return points
	}
	half := func(chain hull) hull {
		var h hull
		for _, p := range chain {
			for len(h) >= 2 && turn(h[len(h)-2], h[len(h)-1], p) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, p)
		}
		return h[:len(h)-1]
	}
	lower := half(points)
	slices.Reverse(points)
	return append(lower, half(points)...)
}

func turn(a, b, c orb.Point) float64 {
	return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
}

// size is the width (along x) and height (along y) of the hull turned by angle.
func (h hull) size(angle float64) (width, height float64) {
	sin, cos := sinCos(angle)
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, p := range h {
		x, y := cos*p[0]-sin*p[1], sin*p[0]+cos*p[1]
		b.Min = orb.Point{min(b.Min[0], x), min(b.Min[1], y)}
		b.Max = orb.Point{max(b.Max[0], x), max(b.Max[1], y)}
	}
	return b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]
}

// narrow is an orientation: turned by angle, the hull's height is width.
type narrow struct{ width, angle float64 }

// leastWidth finds the orientation of least height. One edge of the hull lies along x there (rotating calipers).
func (h hull) leastWidth() narrow {
	best := narrow{width: math.Inf(1)}
	n := len(h)
	far := 0
	for i := range h {
		a, b := h[i], h[(i+1)%n]
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		for range n {
			next := (far + 1) % n
			if turn(a, b, h[next]) < turn(a, b, h[far]) {
				break
			}
			far = next
		}
		if w := turn(a, b, h[far]) / length; w < best.width {
			best = narrow{w, -math.Atan2(b[1]-a[1], b[0]-a[0])}
		}
	}
	return best
}
