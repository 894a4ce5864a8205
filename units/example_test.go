package units_test

import (
	"encoding/json"
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

// What is written on paper in a shop.
func ExampleParse() {
	for _, text := range []string{`5-3/8"`, "1 ft 2 in", "30.5 cm", "40 mil", "72pt"} {
		l, err := units.Parse(text)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s is %.3f mm\n", text, l.Millimetres())
	}
	// Output:
	// 5-3/8" is 136.525 mm
	// 1 ft 2 in is 355.600 mm
	// 30.5 cm is 305.000 mm
	// 40 mil is 1.016 mm
	// 72pt is 25.400 mm
}

func ExampleLength_Times() {
	film := units.MustParse("12 in").Times(10 * units.Metre)
	fmt.Printf("%.3f m2 of film\n", film.SquareMetres())
	// Output: 3.048 m2 of film
}

func ExampleLength_Fraction() {
	fmt.Println((133 * units.Millimetre).Fraction(16), (133 * units.Millimetre).InchString())
	// Output: 5 1/4 in 5.236 in
}

// In JSON a quantity is text with its unit; a bare number is refused.
func ExampleLength_UnmarshalText() {
	var job struct {
		Gap   units.Length
		Turn  units.Angle
		Speed units.Speed
	}
	err := json.Unmarshal([]byte(`{"gap": "1/4 in", "turn": "90 deg", "speed": "10 in/s"}`), &job)
	fmt.Println(job.Gap, job.Turn, job.Speed, err)
	fmt.Println(json.Unmarshal([]byte(`{"gap": 6.35}`), &job) != nil)
	// Output:
	// 6.35 mm 90 deg 254 mm/s <nil>
	// true
}
