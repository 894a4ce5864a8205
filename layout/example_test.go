package layout_test

import (
	"fmt"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/units"
)

func ExampleAcross() {
	film := layout.Film{Name: "matt navy", Width: 12 * units.Inch}
	bed := layout.Bed{EdgeMargin: 10 * units.Millimetre}
	n, err := layout.Across(film, bed, 4.8*units.Inch, units.Inch/4)
	if err != nil {
		fmt.Println(err)
		return
	}
	largest, err := layout.LargestAcross(film, bed, 3, units.Inch/4)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(n, "across; three across up to", largest.InchString(), "wide")
	// Output: 2 across; three across up to 3.571 in wide
}
