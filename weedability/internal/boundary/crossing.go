package boundary

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// Crossing is a place where two edges cross.
type Crossing struct {
	First, Second int32 // edges
	At            outline.Point
}

// crossingSlack is the share of the product of two edges' lengths by which an
// end must be clear of the other edge's line to count as beyond it. It keeps
// borders that touch, and chords of curves that share a point, from counting
// as crossing.
const crossingSlack = 1e-9

// Crossing finds a place where two edges cross properly, the one with the lowest
// edge numbers of its grid cell; ok is false where none do. Edges that touch or
// run along each other do not cross.
func (b *Boundary) Crossing() (c Crossing, ok bool) {
	g := &b.grid
	for k := 0; k+1 < len(g.start); k++ {
		items := g.items[g.start[k]:g.start[k+1]]
		for i, first := range items {
			e := &b.Edges[first]
			for _, second := range items[i+1:] {
				if second == first+1 {
					continue // neighbours share a point
				}
				f := &b.Edges[second]
				// Boxes first: most pairs in a cell are apart.
				if math.Max(e.A.X, e.B.X) < math.Min(f.A.X, f.B.X) || math.Max(f.A.X, f.B.X) < math.Min(e.A.X, e.B.X) ||
					math.Max(e.A.Y, e.B.Y) < math.Min(f.A.Y, f.B.Y) || math.Max(f.A.Y, f.B.Y) < math.Min(e.A.Y, e.B.Y) {
					continue
				}
				if at, crossed := cross(e, f); crossed {
					return Crossing{First: first, Second: second, At: at}, true
				}
			}
		}
	}
	return Crossing{}, false
}

func cross(e, f *Edge) (outline.Point, bool) {
	slack := crossingSlack * math.Max(1, math.Max(math.Abs(e.A.X), math.Abs(e.A.Y)))
	p, q := e.U.Cross(f.A.Sub(e.A)), e.U.Cross(f.B.Sub(e.A))
	if !(p > slack && q < -slack || p < -slack && q > slack) {
		return outline.Point{}, false
	}
	r, s := f.U.Cross(e.A.Sub(f.A)), f.U.Cross(e.B.Sub(f.A))
	if !(r > slack && s < -slack || r < -slack && s > slack) {
		return outline.Point{}, false
	}
	return f.A.Lerp(f.B, p/(p-q)), true
}
