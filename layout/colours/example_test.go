package colours_test

import (
	"fmt"

	"github.com/vinylgeom/vinyl/layout/colours"
	"github.com/vinylgeom/vinyl/outline"
)

func ExampleSplit() {
	square := func(x, y, side float64) outline.Path {
		return outline.Path{outline.Polygon(outline.Pt(x, y), outline.Pt(x+side, y), outline.Pt(x+side, y+side), outline.Pt(x, y+side))}
	}
	s, err := colours.Split([]colours.Layer{
		{Colour: "#1e3a8a", Path: square(0, 0, 40)},
		{Colour: "#f2a900", Path: square(10, 10, 20)},
	}, colours.Options{Stacking: colours.KnockOut, Trap: 1.5})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, f := range s.Films {
		fmt.Printf("%d. %s, %.0f mm² of film\n", i+1, f.Colour, f.Path.Area().SquareMillimetres())
	}
	fmt.Printf("overlap at least %.1f mm\n", s.Seams[0].Least.Millimetres())
	// Output:
	// 1. #1e3a8a, 1311 mm² of film
	// 2. #f2a900, 400 mm² of film
	// overlap at least 1.5 mm
}
