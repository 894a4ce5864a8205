package units_test

import (
	"fmt"

	"github.com/vinylgeom/vinyl/units"
)

func Example() {
	height, err := units.Parse("5 3/8 in")
	if err != nil {
		fmt.Println(err)
		return
	}
	gap := units.Inch / 4
	fmt.Println(height, "=", height.Fraction(16))
	fmt.Printf("%.2f mm with the gap\n", (height + gap).Millimetres())
	_, err = units.Parse("5 3/8")
	fmt.Println(err)
	// Output:
	// 136.525 mm = 5 3/8 in
	// 142.88 mm with the gap
	// units: length "5 3/8": at byte 5: want a unit such as mm, cm or in
}
