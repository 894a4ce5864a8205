package nest_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// leaf is a simple decal, 80 mm by 60 mm.
var leaf = orb.MultiPolygon{{{{0, 30}, {30, 60}, {80, 40}, {60, 0}, {20, 5}}}}

// Example nests ten decals on film of 12 in.
func Example() {
	strip := nest.Strip{
		Width:   12 * units.Inch,
		Gap:     units.Inch / 4,
		Margins: nest.EqualMargins(10 * units.Millimetre),
		Lead:    25 * units.Millimetre,
	}
	pieces := []nest.Piece{{ID: "leaf", Outline: leaf, Count: 10, Rotations: nest.Rotations{Mode: nest.RotateHalf}}}
	result, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 50})
	if err != nil {
		log.Fatal(err)
	}
	checked, err := result.Verify(strip, pieces)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("decals:", len(result.Placements()))
	fmt.Println("gap kept:", checked.Loads[0].SmallestGap >= strip.Gap)
	fmt.Println("margins kept:", checked.Loads[0].SmallestEdgeDistance() >= 10)
	fmt.Println("less than 350 mm of film:", result.Length < 350)
	// Output:
	// decals: 10
	// gap kept: true
	// margins kept: true
	// less than 350 mm of film: true
}

// ExampleNest_tooWide shows what an error tells.
func ExampleNest_tooWide() {
	banner := orb.MultiPolygon{{{{0, 0}, {900, 0}, {900, 310}, {0, 310}}}}
	_, err := nest.Nest(context.Background(), nest.Strip{Width: 12 * units.Inch, Margins: nest.EqualMargins(10)},
		[]nest.Piece{{ID: "banner", Outline: banner}}, nest.Options{})
	var size *nest.SizeError
	if errors.As(err, &size) {
		fmt.Printf("%s needs film %.0f mm wide\n", size.Piece, float64(size.Needed))
	}
	// Output: banner needs film 330 mm wide
}

// ExampleGang lays cards out in rows and columns and lists the trims of the first load.
func ExampleGang() {
	card := orb.MultiPolygon{{{{0, 0}, {90, 0}, {90, 50}, {0, 50}}}}
	strip := nest.Strip{Width: 120, Gap: 10, Margins: nest.EqualMargins(5), MaxLength: 210}
	result, err := nest.Gang(context.Background(), strip, []nest.Piece{{ID: "card", Outline: card, Count: 8}}, nest.Options{Iterations: 1})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("loads:", len(result.Loads))
	for _, c := range result.Loads[0].Cuts {
		fmt.Printf("trim from (%.0f, %.0f) to (%.0f, %.0f)\n", float64(c.X1), float64(c.Y1), float64(c.X2), float64(c.Y2))
	}
	// Output:
	// loads: 2
	// trim from (100, 0) to (100, 120)
	// trim from (0, 60) to (100, 60)
	// trim from (100, 60) to (200, 60)
}

// ExampleNest_leftover uses up what is left of a roll, round a flaw, and tells what has to go elsewhere.
func ExampleNest_leftover() {
	strip := nest.Strip{
		Gap:       3,
		Margins:   nest.EqualMargins(5),
		Leftover:  orb.MultiPolygon{{{{0, 0}, {400, 0}, {400, 100}, {150, 100}, {150, 250}, {0, 250}}}},
		Forbidden: orb.MultiPolygon{{{{60, 60}, {70, 60}, {70, 70}, {60, 70}}}},
	}
	pieces := []nest.Piece{{ID: "leaf", Outline: leaf, Count: 12, Rotations: nest.Rotations{Mode: nest.RotateQuarter}}}
	result, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 20})
	var room *nest.RoomError
	if err != nil && !errors.As(err, &room) {
		log.Fatal(err)
	}
	placed := len(result.Placements())
	fmt.Println("most of them placed:", placed >= 7)
	fmt.Println("the rest counted:", room != nil && placed+room.Unplaced[0].Count == 12)
	_, err = result.Verify(strip, pieces)
	fmt.Println("verified:", err == nil)
	// Output:
	// most of them placed: true
	// the rest counted: true
	// verified: true
}

// ExampleResult_MarshalJSON keeps a layout, and nests two more decals into it later.
func ExampleResult_MarshalJSON() {
	strip := nest.Strip{Width: 200, Gap: 3}
	pieces := []nest.Piece{{ID: "leaf", Outline: leaf, Count: 4}}
	result, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 10})
	if err != nil {
		log.Fatal(err)
	}
	data, err := json.Marshal(result)
	if err != nil {
		log.Fatal(err)
	}
	var kept nest.Result
	if err := json.Unmarshal(data, &kept); err != nil {
		log.Fatal(err)
	}
	pieces[0].Count = 6
	more, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 10, Fixed: kept.Placements()})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(more.Placements()), "decals, the first four where they were")
	// Output: 6 decals, the first four where they were
}
