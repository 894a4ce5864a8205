package order_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing/fstest"

	"github.com/shopspring/decimal"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

const exampleOrder = `{
  "title": "Marlow Creek Science Fair",
  "film": {"name": "matt navy", "colour": "#1d3557", "width": "12 in"},
  "gap": "1/4 in", "edge_margin": "10 mm", "lead": "25 mm", "max_load": "15 in",
  "words": {"upper": "MARLOW", "lower": "CREEK"},
  "items": [
    {"design": "telescope", "height": "5.25 in", "copies": 2},
    {"design": "gear", "height": "5.25 in", "copies": 2, "turn": "quarter"}
  ]
}`

// example runs the example order; the first layout will do.
func example() (*order.Result, error) {
	o, err := order.Read(strings.NewReader(exampleOrder))
	if err != nil {
		return nil, err
	}
	return order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
}

func Example() {
	result, err := example()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, load := range result.Report.Loads {
		fmt.Print(load.Name, ":")
		for _, d := range load.Decals {
			fmt.Print(" ", d.ID)
		}
		fmt.Println(",", load.Counters, "counters to pick")
	}
	// Then result.Write(dir) writes cut files, proofs and papers.
	// Output: load-01: A-01 A-02 B-01 B-02, 60 counters to pick
}

// Every problem of an order file is told at once, with its place.
func ExampleRead() {
	_, err := order.Read(strings.NewReader(`{"film": {"width": "12 in", "colour": "navy"}, "items": [{"design": "gear", "copies": 1}]}`))
	fmt.Println(err)
	fmt.Println(errors.Is(err, order.ErrInvalid))
	// Output:
	// film.colour: not a sensible value: it is "navy"; write it as "#rrggbb"
	// items[0]: not a sensible value: it has 0 sizes; give one of "height", "width", "area" and "cap_height", or one for all in "alike"
	// true
}

// A club's list of names: one wording a row.
func ExampleReadRoster() {
	wordings, warnings, err := order.ReadRoster(strings.NewReader("upper;copies\nANNA;2\nmARLOW;\nANNA;1\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, w := range wordings {
		fmt.Println("line", w.Line, w.Words["upper"], w.Copies)
	}
	for _, w := range warnings {
		fmt.Println(w)
	}
	// Output:
	// line 2 ANNA 2
	// line 3 mARLOW 0
	// line 4 ANNA 1
	// line 3: "mARLOW": odd capitals; it is cut as it stands
	// line 4: the same words as in line 2; both are cut
}

// A roster lies beside the order, in the folder of Options.Files.
func ExampleRun_roster() {
	o, err := order.Read(strings.NewReader(exampleOrder))
	if err != nil {
		fmt.Println(err)
		return
	}
	o.Items = []order.Item{{Design: "rocket", Height: 4 * units.Inch, Roster: "class4.csv", Copies: 1, Spares: 1}}
	files := fstest.MapFS{"class4.csv": {Data: []byte("upper,lower\nANNA,CLASS 4\nBEN,CLASS 4\n")}}
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly, Files: files})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range result.Report.Designs {
		fmt.Println(d.Words["upper"], d.Copies, "decals,", d.Spares, "spare")
	}
	// Output:
	// ANNA 2 decals, 1 spare
	// BEN 2 decals, 1 spare
}

func ExampleResult_Plan() {
	result, err := example()
	if err != nil {
		fmt.Println(err)
		return
	}
	plan, err := result.Plan(context.Background())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range plan.Tasks {
		fmt.Printf("%-10s from %2.0f to %2.0f min\n", plan.Stages[t.Stage].Name, t.Start, t.End)
	}
	// Output:
	// cut        from  0 to  5 min
	// weed       from  5 to 14 min
	// tape       from 14 to 15 min
	// trim, pack from 15 to 21 min
}

func ExampleResult_Quote() {
	o, err := order.Read(strings.NewReader(exampleOrder))
	if err != nil {
		fmt.Println(err)
		return
	}
	money := decimal.RequireFromString
	o.Shop.Rates = production.Rates{Currency: "$", FilmPerMetre: money("5.50"), PerHour: money("26"), MarkUp: money("0.40"), Step: money("0.05")}
	o.Shop.Packs = []int{25}
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	quote, err := result.Quote()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range quote.Lines {
		if !l.Amount.IsZero() {
			fmt.Println(l.What, quote.Currency+l.Amount.StringFixed(2))
		}
	}
	fmt.Println("price", quote.Currency+quote.Price.StringFixed(2))
	// Output:
	// film $1.74
	// labour $8.23
	// price $14.00
}

// Irregular nest and straight gang, each with what it takes.
func ExampleCompare() {
	o, err := order.Read(strings.NewReader(exampleOrder))
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := order.Compare(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, w := range c.Ways {
		fmt.Printf("%s: %d trim cuts, %.0f minutes\n", w.Way, w.TrimCuts, w.Minutes)
	}
	fmt.Println(c.Cheaper+":", c.Why)
	// Output:
	// irregular: 0 trim cuts, 19 minutes
	// straight: 6 trim cuts, 17 minutes
	// straight: it takes 2 minutes less; give rates to compare money
}

// A decal was spoiled: it is nested alone, on what the load left if it fits.
func ExampleLayout_Recut() {
	result, err := example()
	if err != nil {
		fmt.Println(err)
		return
	}
	layout := result.Layout() // or order.ReadLayout of a layout.json
	again, err := layout.Recut(context.Background(), []string{"B-02"}, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	load := again.Loads[0]
	fmt.Println(load.Sheet.Name, load.Sheet.Decals[0].ID)
	// Output: recut-01 B-02
}

// The film ran out: the rest of the load goes to the start of a new roll.
func ExampleLayout_Resume() {
	result, err := example()
	if err != nil {
		fmt.Println(err)
		return
	}
	layout := result.Layout()
	load := layout.Loads[0]
	rest, err := layout.Resume(context.Background(), load.Name, load.Decals[2].ID, true, order.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(rest.Loads[0].Sheet.Name, "has", len(rest.Loads[0].Sheet.Decals), "of", len(load.Decals), "decals")
	// Output: rest-of-load-01 has 2 of 4 decals
}
