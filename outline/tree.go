package outline

import (
	"cmp"
	"math"
	"slices"

	"github.com/tidwall/rtree"
)

// Node is a contour's place in the containment tree that [Path.Tree] returns.
type Node struct {
	Parent   int   // the smallest contour around this one, -1 for none
	Depth    int   // how many contours lie around this one
	Children []int // the contours directly inside, in the path's order
}

// Tree returns which contour lies in which, to any depth: node i tells the place
// of contour i. Contours must not cross; they may touch. Direction does not
// matter. Of two equal contours the later lies in the earlier.
func (p Path) Tree() []Node {
	nodes := make([]Node, len(p))
	areas := make([]float64, len(p))
	boxes := make([]Box, len(p))
	order := make([]int, len(p))
	for i, c := range p {
		nodes[i].Parent = -1
		areas[i] = math.Abs(float64(c.Area()))
		boxes[i] = c.Bounds()
		order[i] = i
	}
	// Largest first, so that whatever holds a contour has its place already.
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(areas[j], areas[i]) })
	var index rtree.RTreeG[int] // ranks in order
	for rank, i := range order {
		b := boxes[i]
		if b.IsEmpty() || math.IsNaN(areas[i]) {
			continue
		}
		parent := -1
		corner := [2]float64{b.Min.X, b.Min.Y}
		var around []int
		index.Search(corner, corner, func(_, _ [2]float64, r int) bool {
			if o := boxes[order[r]]; o.Contains(b.Max) {
				around = append(around, r)
			}
			return true
		})
		slices.SortFunc(around, func(r, s int) int { return s - r }) // smallest first
		for _, r := range around {
			if p[order[r]].holds(p[i]) {
				parent = order[r]
				break
			}
		}
		if parent >= 0 {
			nodes[i].Parent = parent
			nodes[i].Depth = nodes[parent].Depth + 1
		}
		index.Insert(corner, [2]float64{b.Max.X, b.Max.Y}, rank)
	}
	for i, n := range nodes {
		if n.Parent >= 0 {
			nodes[n.Parent].Children = append(nodes[n.Parent].Children, i)
		}
	}
	return nodes
}

// touchSlack bounds, as a share of a contour's size, how near a border a point
// counts as on it when contours that touch are told apart.
const touchSlack = 1e-9

// holds reports whether inner, which does not cross c and is not larger, lies
// inside c: decided by the first of its nodes and middles that is clear of c's
// border. An inner contour wholly on the border counts as inside.
func (c Contour) holds(inner Contour) bool {
	b := c.Bounds()
	slack := touchSlack * math.Max(1, math.Max(b.Width(), b.Height()))
	at := inner.Start
	if len(inner.Segments) == 0 {
		return c.Contains(at)
	}
	for _, s := range inner.Segments {
		for _, q := range [2]Point{at, s.At(at, 0.5)} {
			if float64(c.Nearest(q).Distance) > slack {
				return c.Contains(q)
			}
		}
		at = s.End
	}
	return true
}
