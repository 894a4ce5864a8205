package weedability

import (
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability/internal/boundary"
)

type boundaryEdge = boundary.Edge

// area returns the signed area of the polygon, positive counter-clockwise.
func area(points []outline.Point) float64 {
	var sum float64
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sum += p.Sub(points[0]).Cross(q.Sub(points[0])) / 2
	}
	return sum
}

func perimeter(points []outline.Point) float64 {
	var sum float64
	for i, p := range points {
		sum += p.Distance(points[(i+1)%len(points)])
	}
	return sum
}

func bounds(points []outline.Point) outline.Box {
	b := outline.EmptyBox()
	for _, p := range points {
		b = b.Extend(p)
	}
	return b
}

// inside reports whether q lies in the polygon (even-odd).
func inside(points []outline.Point, q outline.Point) bool {
	in := false
	for i, p := range points {
		r := points[(i+1)%len(points)]
		if (p.Y > q.Y) != (r.Y > q.Y) && q.X < p.X+(r.X-p.X)*(q.Y-p.Y)/(r.Y-p.Y) {
			in = !in
		}
	}
	return in
}

// inner returns a point in the middle of the widest stretch of a horizontal
// line through the polygon with holes, at half its height.
func inner(outer []outline.Point, holes [][]outline.Point) outline.Point {
	y := bounds(outer).Centre().Y
	var xs []float64
	for _, points := range append([][]outline.Point{outer}, holes...) {
		for i, p := range points {
			q := points[(i+1)%len(points)]
			if (p.Y > y) != (q.Y > y) {
				xs = append(xs, p.X+(q.X-p.X)*(y-p.Y)/(q.Y-p.Y))
			}
		}
	}
	slices.Sort(xs)
	best, at := math.Inf(-1), bounds(outer).Centre().X
	for i := 0; i+1 < len(xs); i += 2 {
		if w := xs[i+1] - xs[i]; w > best {
			best, at = w, (xs[i]+xs[i+1])/2
		}
	}
	return outline.Pt(at, y)
}
