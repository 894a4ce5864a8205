// Command quote prices an order.
//
//	go run ./examples/quote -order FILE [-json]
//
// The rates stand in the order file, under shop; without -order the demo order
// is priced at invented rates. Both ways to gang are compared.
package main

import (
	"context"
	"fmt"
	"io"

	"github.com/vinylgeom/vinyl/examples/internal/command"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/nest"
)

func main() { command.Main("quote", run) }

// answer is what -json prints.
type answer struct {
	Title string           `json:"title"`
	Quote production.Quote `json:"quote"`
	Work  order.Way        `json:"work"`
	Ways  order.Comparison `json:"comparison"`
}

func run(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	flags := command.Flags("quote", "prices an order both ways it can be ganged", stderr)
	file := flags.String("order", "", "the order `FILE`, JSON; without it the demo order at invented rates")
	budget := flags.Duration("budget", 0, "time for nesting; 0 prices the first layout")
	asJSON := flags.Bool("json", false, "print JSON")
	if err := command.Parse(flags, args); err != nil {
		return err
	}
	o, files, err := command.Order(*file)
	if err != nil {
		return err
	}
	opt := order.Options{Budget: *budget, Files: files}
	if *budget <= 0 {
		opt.Budget = nest.FirstLayoutOnly
	}
	result, err := order.Run(ctx, o, opt)
	if err != nil {
		return err
	}
	a := answer{Title: o.Title}
	if a.Quote, err = result.Quote(); err != nil {
		return fmt.Errorf("%w (rates stand in the order file under shop.rates)", err)
	}
	if a.Work, err = result.Work(); err != nil {
		return err
	}
	if a.Ways, err = order.Compare(ctx, o, opt); err != nil {
		return err
	}
	if *asJSON {
		return command.PrintJSON(stdout, a)
	}
	show(stdout, a)
	return nil
}

func show(w io.Writer, a answer) {
	q := a.Quote
	amount := func(m production.Money) string { return q.Currency + m.StringFixed(2) }
	fmt.Fprintf(w, "%s: %d loads, %.2f m of film, %.2f m of tape, %.0f minutes of work\n\n", a.Title, a.Work.Loads, a.Work.FilmMM/1000, a.Work.TapeMM/1000, a.Work.Minutes)
	for _, l := range q.Lines {
		fmt.Fprintf(w, "  %-18s %10s\n", l.What, amount(l.Amount))
	}
	fmt.Fprintf(w, "  %-18s %10s\n  %-18s %10s\n  %-18s %10s\n", "cost", amount(q.Cost), "price", amount(q.Price), "a decal", amount(q.PerDecal))
	if len(q.Packs) > 0 {
		fmt.Fprintf(w, "\n  %-12s %10s %12s %14s %14s\n", "pack of", "a decal", "the pack", "a buyer pays", "the club keeps")
		for _, p := range q.Packs {
			fmt.Fprintf(w, "  %-12d %10s %12s %14s %14s\n", p.Size, amount(p.PerDecal), amount(p.Pack), amount(p.Buyer), amount(p.ClubKeeps))
		}
	}
	fmt.Fprintf(w, "\nBoth ways to gang, leftovers aside:\n\n  %-10s %6s %9s %6s %10s %9s %9s %10s\n", "way", "loads", "film", "trims", "trim cuts", "tape", "minutes", "cost")
	for _, way := range a.Ways.Ways {
		cost := "-"
		if way.Cost != nil {
			cost = amount(*way.Cost)
		}
		fmt.Fprintf(w, "  %-10s %6d %7.2f m %6d %8.2f m %7.2f m %9.0f %10s\n", way.Way, way.Loads, way.FilmMM/1000, way.TrimCuts, way.TrimLengthMM/1000, way.TapeMM/1000, way.Minutes, cost)
	}
	fmt.Fprintf(w, "  cheaper: %s; %s\n\nRounding: %s. Times are common practice without a source until the shop gives its own.\n", a.Ways.Cheaper, a.Ways.Why, q.Rounding)
}
