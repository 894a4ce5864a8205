package layout_test

import (
	"encoding/json"
	"fmt"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
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

// A decal is brought to its ordered height, its border included.
func ExampleSize_Apply() {
	design := outline.Path{outline.Rectangle(outline.Box{Max: outline.Pt(400, 200)})}
	size := layout.Size{Measure: layout.Height, Value: 50 * units.Millimetre, Border: 2 * units.Millimetre}
	decal, err := size.Apply(design)
	if err != nil {
		fmt.Println(err)
		return
	}
	b := decal.Bounds()
	fmt.Printf("%.0f by %.0f mm, and 2 mm of border round it\n", b.Width(), b.Height())
	// Output: 92 by 46 mm, and 2 mm of border round it
}

// From how far away can 1 inch capitals be read, and how high must letters be
// for the driver behind?
func ExampleLegibilityIndex() {
	fmt.Printf("%.1f m with ease\n", layout.LegibleWithEase.ReadingDistance(units.Inch, false).Metres())
	fmt.Println(layout.LegibleWithEase.LetterHeight(layout.TwoCarLengths, false).InchString())
	// Output:
	// 3.0 m with ease
	// 2.953 in
}

// What is left of a load goes back on the shelf if a square of 3 inches fits
// into it.
func ExampleSheet_Leftover() {
	sheet := layout.Sheet{
		Name: "load-01", Film: layout.Film{Name: "matt navy", Width: 300}, Length: 200,
		Decals: []layout.PlacedDecal{{ID: "A-01", Path: outline.Path{outline.Rectangle(outline.Box{Min: outline.Pt(25, 10), Max: outline.Pt(190, 110)})}}},
	}
	rest, ok := sheet.Leftover(5*units.Millimetre, 3*units.Inch)
	fmt.Println(ok, rest.Name, rest.Shape.Area())
	fmt.Printf("%.0f %% of the film stays as decals\n", 100*sheet.UsedFraction())
	// Output:
	// true rest of load-01 40750 mm2
	// 28 % of the film stays as decals
}

// A sheet travels as JSON, so that one machine can lay out and another cut.
func ExampleSheet_MarshalJSON() {
	sheet := layout.Sheet{Name: "load-01", Film: layout.Film{Name: "matt navy", Width: 300}, Length: 200,
		TrimLines: []outline.Curve{outline.Polyline(outline.Pt(200, 0), outline.Pt(200, 300))}}
	text, err := json.Marshal(sheet)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(string(text))
	// Output: {"name":"load-01","film":{"name":"matt navy","width":"300 mm"},"length_mm":200,"decals":[],"trim_line_paths_mm":["M200,0L200,300"]}
}

// Which film of the shelf wastes least, and what would a little smaller save?
func ExampleAcrossTable() {
	films := []layout.Film{{Name: "12 in", Width: 12 * units.Inch}, {Name: "15 in", Width: 15 * units.Inch}}
	rows, err := layout.AcrossTable(films, layout.Bed{EdgeMargin: 10}, 5*units.Inch, 4*units.Inch, units.Inch/4)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range rows {
		fmt.Printf("%s: %d across, %s of film each; one more at %s wide saves %.0f %%\n", r.Film, r.Across, r.FilmPerDecal.InchString(), r.OneMoreWidth.InchString(), 100*r.OneMoreSaves)
	}
	// Output:
	// 12 in: 2 across, 2.125 in of film each; one more at 3.571 in wide saves 51 %
	// 15 in: 2 across, 2.125 in of film each; one more at 4.571 in wide saves 39 %
}
