package check_test

import (
	"fmt"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/check"
	"github.com/vinylgeom/vinyl/outline"
)

func Example() {
	s := layout.Sheet{Name: "load-01", Film: layout.Film{Width: 100}, Length: 200}
	for i, x := range []float64{10, 33} {
		square := outline.Path{outline.Polygon(outline.Pt(x, 10), outline.Pt(x+20, 10), outline.Pt(x+20, 30), outline.Pt(x, 30))}
		s.Decals = append(s.Decals, layout.PlacedDecal{ID: fmt.Sprintf("A-%02d", i+1), Path: square})
	}
	figures, err := check.Sheet(s, check.Rules{Gap: 5})
	fmt.Println("smallest gap", figures.SmallestGap)
	fmt.Println(err)
	// Output:
	// smallest gap 3 mm
	// check: load-01, decal A-01 and A-02: two decals are closer than the gap: 3.0000 mm apart, the gap is 5.0000 mm
}
