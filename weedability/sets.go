package weedability

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// sets joins numbers into sets (union-find with path halving); the smallest
// number of a set is its root, so that the answer does not depend on the order.
type sets []int

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = i
	}
	return s
}

func (s sets) find(i int) int {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(i, j int) {
	i, j = s.find(i), s.find(j)
	if i > j {
		i, j = j, i
	}
	s[j] = i
}

// pointSet answers whether a point lies within a distance of one in the set.
type pointSet struct {
	reach float64
	cells map[[2]int][]outline.Point
}

func newPointSet(reach float64) *pointSet {
	return &pointSet{reach: reach, cells: map[[2]int][]outline.Point{}}
}

func (s *pointSet) cell(p outline.Point) [2]int {
	return [2]int{int(math.Floor(p.X / s.reach)), int(math.Floor(p.Y / s.reach))}
}

func (s *pointSet) add(points ...outline.Point) {
	for _, p := range points {
		k := s.cell(p)
		s.cells[k] = append(s.cells[k], p)
	}
}

func (s *pointSet) has(p outline.Point) bool {
	k := s.cell(p)
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, q := range s.cells[[2]int{k[0] + dx, k[1] + dy}] {
				if q.Distance(p) <= s.reach {
					return true
				}
			}
		}
	}
	return false
}
