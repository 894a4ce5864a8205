package tour

import (
	"sort"

	"github.com/vinylgeom/vinyl/outline"
)

// nearestNeighbour builds a way that keeps the rules: always on to the nearest
// end of a stop that may be cut now.
func nearestNeighbour(p *Problem) []Visit {
	n := len(p.A)
	points := make([]outline.Point, 0, 2*n)
	for i := range n {
		points = append(points, p.A[i], p.B[i])
	}
	g := newGrid(points)
	waiting := make([]int, n)
	for _, q := range p.After {
		if q >= 0 {
			waiting[q]++
		}
	}
	done := make([]bool, n)
	// Stops by the end of their extent: the first one not done bounds how far
	// along the film the next may begin.
	byEnd := make([]int, n)
	for i := range byEnd {
		byEnd[i] = i
	}
	if p.Window > 0 {
		sort.SliceStable(byEnd, func(a, b int) bool { return p.MaxX[byEnd[a]] < p.MaxX[byEnd[b]] })
	}
	first := 0
	way := make([]Visit, 0, n)
	at := p.Start
	for range n {
		for done[byEnd[first]] {
			first++
		}
		k := g.nearest(at, func(k int) bool {
			i := k / 2
			return waiting[i] == 0 && (p.Window <= 0 || p.MaxX[byEnd[first]]+p.Window >= p.MinX[i])
		})
		if k < 0 {
			// Only a cycle in After leaves nothing that may come next.
			return nil
		}
		i := k / 2
		v := Visit{Stop: i, Flip: k%2 == 1}
		g.remove(2 * i)
		g.remove(2*i + 1)
		done[i] = true
		if p.After != nil && p.After[i] >= 0 {
			waiting[p.After[i]]--
		}
		way = append(way, v)
		at = p.B[i]
		if v.Flip {
			at = p.A[i]
		}
	}
	return way
}
