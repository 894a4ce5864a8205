package artwork_test

import (
	"errors"
	"fmt"
	"strings"

	"github.com/vinylgeom/vinyl/layout/artwork"
)

// A plate of film with words knocked out of it and words standing on it.
func Example() {
	d, err := artwork.Read(strings.NewReader(plate), "plate")
	if err != nil {
		fmt.Println(err)
		return
	}
	filled, err := d.Fill(map[string]string{"inside": "MARLOW", "above": "CREEK"}, artwork.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, w := range filled.Words {
		fmt.Printf("%s: %s, capitals %.0f mm high, to %v\n", w.Slot, w.Text, w.CapHeight.Millimetres(), w.Mode)
	}
	// Output:
	// inside: MARLOW, capitals 20 mm high, to subtract
	// above: CREEK, capitals 10 mm high, to weld
}

// Words that do not fit are named with their slot and what they would need.
func ExampleFitError() {
	d, err := artwork.Read(strings.NewReader(plate), "plate")
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = d.Fill(map[string]string{"above": "THE MARLOW CREEK SCIENCE FAIR"}, artwork.Options{LeastHeight: 6})
	var fit *artwork.FitError
	fmt.Println(errors.As(err, &fit))
	fmt.Println(err)
	// Output:
	// true
	// artwork: design plate, slot above: "THE MARLOW CREEK SCIENCE FAIR": the words are too long for the slot: condensed to 70 % its capitals would be 5.63 mm high, below 6.00 mm; shorten the words, enlarge the decal or allow a smaller height
}

// Who drew a segment: the art, or which letter of which word.
func ExampleFilled_Describe() {
	d, err := artwork.Read(strings.NewReader(plate), "plate")
	if err != nil {
		fmt.Println(err)
		return
	}
	filled, err := d.Fill(map[string]string{"above": "OAK"}, artwork.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	seen := map[string]bool{}
	for _, c := range filled.Path {
		for _, s := range c.Segments {
			if name := filled.Describe(s.Origin); !seen[name] {
				seen[name] = true
				fmt.Println(name)
			}
		}
	}
	// Output:
	// the O in OAK
	// the A in OAK
	// the art
	// the K in OAK
}
