package convex_test

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest/internal/convex"
)

func ExampleOverlap() {
	l := convex.FromMultiPolygon(orb.MultiPolygon{{{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 2}, {0, 2}}}})
	fmt.Println(len(l.Parts), "convex parts, area", l.Area)
	here := l.Placed(0, 0, 0)
	fmt.Println(convex.Overlap(here, l.Placed(4, 3, math.Pi)))
	fmt.Println(convex.Overlap(here, l.Placed(3, 3, math.Pi)), "(touching along three edges)")
	fmt.Println(convex.Overlap(here, l.Placed(3, 2.5, math.Pi)))
	// Output:
	// 2 convex parts, area 4
	// false
	// false (touching along three edges)
	// true
}
