package outline

import (
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
	"github.com/vinylgeom/vinyl/units"
)

// repeatedPoint is the distance in millimetres up to which neighbouring vertices
// are one: more than rounding leaves between a crossing of curves worked out on
// one and on the other, and far less than any machine can tell.
const repeatedPoint = 1e-9

// MultiPolygon returns the welded path p as polygons with holes, flattened
// within tolerance (zero: [DefaultTolerance]). Rings are closed, outer ones
// counter-clockwise and holes clockwise; what lies at odd depth is a hole of
// the smallest ring around it. Vertices less than a picometre apart are one;
// contours of fewer than three vertices are left out.
func (p Path) MultiPolygon(tolerance units.Length) orb.MultiPolygon {
	type ring struct {
		points orb.Ring
		box    Box
		area   float64
		depth  int
		outer  int
	}
	rings := make([]ring, 0, len(p))
	var flat []Point
	for _, c := range p {
		flat = c.Flatten(flat[:0], tolerance)
		if len(flat) < 3 {
			continue
		}
		r := ring{points: make(orb.Ring, 0, len(flat)+1), box: EmptyBox()}
		for len(flat) > 1 && flat[len(flat)-1].Distance(flat[0]) < repeatedPoint {
			flat = flat[:len(flat)-1]
		}
		last := flat[0]
		for i, q := range flat {
			if i > 0 && q.Distance(last) < repeatedPoint {
				continue
			}
			last = q
			r.points = append(r.points, orb.Point{q.X, q.Y})
			r.box.Min.X, r.box.Min.Y = min(r.box.Min.X, q.X), min(r.box.Min.Y, q.Y)
			r.box.Max.X, r.box.Max.Y = max(r.box.Max.X, q.X), max(r.box.Max.Y, q.Y)
		}
		if len(r.points) < 3 {
			continue
		}
		r.points = append(r.points, r.points[0])
		// Measured from the first vertex: a small ring far from (0, 0) would else
		// drown in rounding.
		o := r.points[0]
		for i := 1; i < len(r.points); i++ {
			a, b := r.points[i-1], r.points[i]
			r.area += ((a[0]-o[0])*(b[1]-o[1]) - (a[1]-o[1])*(b[0]-o[0])) / 2
		}
		rings = append(rings, r)
	}
	// Largest first, so that whatever holds a ring stands before it.
	sort.SliceStable(rings, func(i, j int) bool { return math.Abs(rings[i].area) > math.Abs(rings[j].area) })
	polygons := orb.MultiPolygon{}
	var index rtree.RTreeG[int]
	var around []int
	for i := range rings {
		r := &rings[i]
		parent := -1
		low, high := [2]float64{r.box.Min.X, r.box.Min.Y}, [2]float64{r.box.Max.X, r.box.Max.Y}
		around = around[:0]
		index.Search(low, low, func(_, _ [2]float64, j int) bool {
			if rings[j].box.Contains(r.box.Max) {
				around = append(around, j)
			}
			return true
		})
		slices.Sort(around)
		for _, j := range slices.Backward(around) { // smallest first
			if ringHolds(rings[j].points, r.points) {
				parent = j
				break
			}
		}
		index.Insert(low, high, i)
		if parent >= 0 {
			r.depth = rings[parent].depth + 1
		}
		if (r.depth%2 == 0) != (r.area > 0) {
			r.points.Reverse()
		}
		if r.depth%2 == 0 {
			r.outer = len(polygons)
			polygons = append(polygons, orb.Polygon{r.points})
		} else {
			r.outer = rings[parent].outer
			polygons[r.outer] = append(polygons[r.outer], r.points)
		}
	}
	return polygons
}

// ringHolds reports whether the most telling vertex of inner, one not on the
// border of outer, lies inside outer. The rings do not cross.
func ringHolds(outer, inner orb.Ring) bool {
	for _, q := range inner {
		switch winding := windingNumber(outer, q); winding {
		case onBorder:
			continue
		default:
			return winding != 0
		}
	}
	return false
}

const onBorder = 1 << 30

// windingNumber returns how often ring runs counter-clockwise around q, or
// onBorder where q lies on one of its edges.
func windingNumber(ring orb.Ring, q orb.Point) int {
	w := 0
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		cross := (b[0]-a[0])*(q[1]-a[1]) - (b[1]-a[1])*(q[0]-a[0])
		if cross == 0 && min(a[0], b[0]) <= q[0] && q[0] <= max(a[0], b[0]) && min(a[1], b[1]) <= q[1] && q[1] <= max(a[1], b[1]) {
			return onBorder
		}
		if a[1] <= q[1] {
			if b[1] > q[1] && cross > 0 {
				w++
			}
		} else if b[1] <= q[1] && cross < 0 {
			w--
		}
	}
	return w
}

// FromMultiPolygon returns the path with the polygons' rings as contours of
// straight segments, outer rings counter-clockwise and holes clockwise. Rings need
// not repeat their first point; those of fewer than three points are left out.
func FromMultiPolygon(polygons orb.MultiPolygon) Path {
	var p Path
	for _, polygon := range polygons {
		for i, r := range polygon {
			points := make([]Point, 0, len(r))
			for _, q := range r {
				points = append(points, Point{q[0], q[1]})
			}
			if n := len(points); n > 1 && points[0] == points[n-1] {
				points = points[:n-1]
			}
			if len(points) < 3 {
				continue
			}
			c := Polygon(points...)
			if (c.Area() > 0) != (i == 0) {
				c = c.Reversed()
			}
			p = append(p, c)
		}
	}
	return p
}
