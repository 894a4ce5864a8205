package region_test

import (
	"fmt"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest/internal/convex"
	"github.com/vinylgeom/vinyl/nest/internal/region"
)

func ExampleBuild() {
	square := convex.FromMultiPolygon(orb.MultiPolygon{{{{0, 0}, {10, 0}, {10, 10}, {0, 10}}}})
	s := region.NewShape(square, 0)
	r := region.Build(s, s, region.Cells)
	fmt.Println(r.Depth(10, 0), r.Depth(9.5, 3))
	depth, nx, ny, d, _ := r.Exit(9.5, 3)
	fmt.Printf("out by %v to %.0fx %+.0fy = %v\n", depth, nx, ny+0, d)
	// Output:
	// 0 0.5
	// out by 0.5 to 1x +0y = 10
}
