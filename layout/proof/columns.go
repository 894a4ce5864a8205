package proof

import (
	"iter"
	"math"
)

// columnWidth is how much of the film's length one column takes, in
// millimetres: about as much as the plates in it are wide.
const columnWidth = 10.0

// columns keeps things by where they lie along the film, so that a search for
// room meets few of the thousands that a load can have.
type columns[T any] struct {
	start  float64 // x of the first column
	things [][]T
}

// newColumns covers x from start to end; what lies outside is kept in the first
// and last column.
func newColumns[T any](start, end float64) columns[T] {
	return columns[T]{start, make([][]T, max(1, int(math.Ceil((end-start)/columnWidth))))}
}

func (c *columns[T]) column(x float64) int {
	k := (x - c.start) / columnWidth
	if !(k > 0) { // also what is no number
		return 0
	}
	return int(math.Min(k, float64(len(c.things)-1)))
}

// add keeps t, which reaches from x0 to x1.
func (c *columns[T]) add(x0, x1 float64, t T) {
	for k := c.column(x0); k <= c.column(x1); k++ {
		c.things[k] = append(c.things[k], t)
	}
}

// over returns what may reach into x0 to x1, some of it more than once.
func (c *columns[T]) over(x0, x1 float64) iter.Seq[T] {
	return func(yield func(T) bool) {
		for k := c.column(x0); k <= c.column(x1); k++ {
			for _, t := range c.things[k] {
				if !yield(t) {
					return
				}
			}
		}
	}
}
