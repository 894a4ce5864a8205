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
	reach  float64
	points []outline.Point
	next   []int32            // of each point the one before it in its cell, from 1, 0 for none
	last   map[[2]int32]int32 // of each cell, twice as wide as the reach
}

// fewPoints is up to how many points a set is searched one by one.
const fewPoints = 24

func newPointSet(reach float64) *pointSet { return &pointSet{reach: reach} }

func (s *pointSet) cell(x, y float64) [2]int32 {
	return [2]int32{int32(math.Floor(x / (2 * s.reach))), int32(math.Floor(y / (2 * s.reach)))}
}

func (s *pointSet) add(points ...outline.Point) {
	s.points = append(s.points, points...)
	if len(s.points) <= fewPoints {
		return
	}
	if s.last == nil {
		s.last = make(map[[2]int32]int32, 2*len(s.points))
	}
	for i := len(s.next); i < len(s.points); i++ {
		k := s.cell(s.points[i].X, s.points[i].Y)
		s.next = append(s.next, s.last[k])
		s.last[k] = int32(i + 1)
	}
}

func (s *pointSet) has(p outline.Point) bool {
	if len(s.points) <= fewPoints {
		for _, q := range s.points {
			if distance(q, p) <= s.reach {
				return true
			}
		}
		return false
	}
	low, high := s.cell(p.X-s.reach, p.Y-s.reach), s.cell(p.X+s.reach, p.Y+s.reach)
	for x := low[0]; x <= high[0]; x++ {
		for y := low[1]; y <= high[1]; y++ {
			for i := s.last[[2]int32{x, y}]; i > 0; i = s.next[i-1] {
				if distance(s.points[i-1], p) <= s.reach {
					return true
				}
			}
		}
	}
	return false
}
