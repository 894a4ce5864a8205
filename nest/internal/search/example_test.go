package search_test

import (
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest/internal/search"
)

// Two L-shapes that make a rectangle, and a square, on a strip 3 wide.
func ExampleMinimise() {
	p := search.Problem{
		Width: 3,
		Shapes: []orb.MultiPolygon{
			{{{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 2}, {0, 2}}}},
			{{{{0, 0}, {3, 0}, {3, 3}, {0, 3}}}},
		},
		Pieces: []search.Piece{
			{Shape: 0, Angles: []float64{0, math.Pi}},
			{Shape: 0, Angles: []float64{0, math.Pi}},
			{Shape: 1, Angles: []float64{0}},
		},
	}
	s, err := search.Minimise(context.Background(), p, search.Options{Seed: 1, Iterations: 300})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Length)
	// Output: 6
}

// Four squares of side 10 do not fit in less than 20 of a strip 20 wide.
func ExampleFit() {
	square := orb.MultiPolygon{{{{0, 0}, {10, 0}, {10, 10}, {0, 10}}}}
	p := search.Problem{Width: 20, Shapes: []orb.MultiPolygon{square}, Pieces: make([]search.Piece, 4)}
	for i := range p.Pieces {
		p.Pieces[i].Angles = []float64{0}
	}
	for _, length := range []float64{19, 20} {
		_, ok, err := search.Fit(context.Background(), p, length, search.Options{Iterations: 100})
		fmt.Println(length, ok, err)
	}
	// Output:
	// 19 false <nil>
	// 20 true <nil>
}
