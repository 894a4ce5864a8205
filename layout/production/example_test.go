package production_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/shopspring/decimal"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/units"
)

// Johnson's own example of two stages (1954): five loads, done after 47.
func ExampleSchedule() {
	stages := []production.Stage{{Name: "cut"}, {Name: "weed"}}
	var loads []production.Load
	for i, m := range [][]float64{{4, 5}, {4, 1}, {30, 4}, {6, 30}, {2, 3}} {
		loads = append(loads, production.Load{Name: fmt.Sprintf("load-%02d", i+1), Minutes: m})
	}
	plan, err := production.Schedule(context.Background(), stages, loads, production.ScheduleOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, i := range plan.Order {
		fmt.Print(plan.Loads[i].Name, " ")
	}
	fmt.Println("done after", plan.Span)
	// Output: load-05 load-01 load-04 load-03 load-02 done after 47
}

func ExampleTimetable_WriteSVG() {
	plan, err := production.Sequence(
		[]production.Stage{{Name: "cut"}, {Name: "weed", Workers: 2}},
		[]production.Load{{Name: "load-01", Minutes: []float64{5, 12}}, {Name: "load-02", Minutes: []float64{5, 9}}},
		[]int{0, 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	var chart bytes.Buffer
	if err := plan.WriteSVG(&chart); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(bytes.HasPrefix(chart.Bytes(), []byte("<svg")), plan.Span)
	// Output: true 19
}

func ExampleRates_Price() {
	money := decimal.RequireFromString
	rates := production.Rates{Currency: "$", FilmPerMetre: money("5.50"), PerHour: money("24"), SetUp: money("15"), MarkUp: money("0.40"), ClubShare: money("0.40"), Step: money("0.05")}
	quote, err := rates.Price(production.Work{Decals: 100, Film: 4 * units.Metre, Minutes: 90, Packs: []int{25}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("cost", quote.Cost, "price", quote.Price.StringFixed(2), "a decal", quote.PerDecal.StringFixed(2))
	for _, p := range quote.Packs {
		fmt.Println("pack of", p.Size, p.Pack.StringFixed(2), "a buyer pays", p.Buyer.StringFixed(2), "a decal")
	}
	// Output:
	// cost 73 price 102.20 a decal 1.05
	// pack of 25 42.50 a buyer pays 2.85 a decal
}

// The narrowest tape that covers each strip in one piece.
func ExampleTape() {
	rolls := []production.TapeRoll{{Width: 6 * units.Inch}, {Width: 12 * units.Inch}}
	plan, err := production.Tape([]production.Strip{{Name: "column 1", Width: 5 * units.Inch, Length: 30 * units.Inch}}, rolls, units.Inch/2)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range plan.Pieces {
		fmt.Println(p.Strip, p.Width.InchString(), "wide", p.Length.InchString(), "long")
	}
	// Output: column 1 6 in wide 31 in long
}

func ExampleStartBy() {
	deadline := time.Date(2026, 11, 27, 15, 0, 0, 0, time.UTC)
	start, err := production.StartBy(deadline, 90, time.Date(2026, 11, 27, 9, 0, 0, 0, time.UTC))
	fmt.Println(start.Format("15:04"), err)
	_, err = production.StartBy(deadline, 90, time.Date(2026, 11, 27, 14, 0, 0, 0, time.UTC))
	fmt.Println(errors.Is(err, production.ErrTooLate))
	// Output:
	// 13:30 <nil>
	// true
}
