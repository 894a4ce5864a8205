package colours_test

import (
	"fmt"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/units"

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

// Is the trap enough for this film, and where does each colour lie on its roll?
func ExampleSeparation_Sheet() {
	least := colours.LeastTrap(0.4, 0.5)
	fmt.Println("the trap must exceed", least, "and keeps", colours.Remaining(1.6*units.Millimetre, 0.4))
	disc := func(r units.Length) outline.Path { return outline.Path{outline.Circle(outline.Pt(0, 0), r)} }
	s, err := colours.Split([]colours.Layer{{Colour: "#1e3a8a", Path: disc(30)}, {Colour: "#f2a900", Path: disc(20)}}, colours.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range s.Films {
		sheet := s.Sheet(f, layout.Film{Name: f.Colour, Width: 12 * units.Inch}, layout.Bed{EdgeMargin: 10, Lead: 25})
		fmt.Printf("%s: from x = %.0f mm, edge %v\n", sheet.Film.Name, sheet.Bounds().Min.X, sheet.EdgeDistance())
	}
	// Output:
	// the trap must exceed 1.3 mm and keeps 0.8 mm
	// #1e3a8a: from x = 25 mm, edge 10 mm
	// #f2a900: from x = 25 mm, edge 10 mm
}
