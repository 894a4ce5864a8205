// Command plan draws the timetable of an order: while one load is weeded the
// next is cut.
//
//	go run ./examples/plan -order FILE [-svg OUT] [-png OUT] [-json] [-lengths 10in,12in,15in]
//
// Without -order the demo order is planned. With -lengths it is laid out with
// each greatest length of loads, and planned with the one that finishes first.
package main

import (
	"context"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/vinylgeom/vinyl/examples/internal/command"
	"github.com/vinylgeom/vinyl/examples/internal/output"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

func main() {
	command.Main("plan", func(ctx context.Context, args []string, stdout, stderr io.Writer) error {
		return run(ctx, args, stdout, stderr, time.Now())
	})
}

func run(ctx context.Context, args []string, stdout, stderr io.Writer, now time.Time) error {
	flags := command.Flags("plan", "prints the timetable of an order: while one load is weeded the next is cut", stderr)
	file := flags.String("order", "", "the order `FILE`, JSON; without it the demo order")
	svg := flags.String("svg", "", "write the chart as SVG to this `FILE`")
	png := flags.String("png", "", "write the chart as PNG to this `FILE`")
	asJSON := flags.Bool("json", false, "print JSON")
	budget := flags.Duration("budget", 0, "time for nesting; 0 plans the first layout")
	lengths := flags.String("lengths", "", "greatest `LENGTHS` of loads to compare, such as 10in,12in,15in; the best is planned")
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
	var a answer
	if *lengths != "" {
		if a.Lengths, err = compare(ctx, &o, *lengths, opt); err != nil {
			return err
		}
	}
	result, err := order.Run(ctx, o, opt)
	if err != nil {
		return err
	}
	if a.Timetable, err = result.Plan(ctx); err != nil {
		return err
	}
	plan := a.Timetable
	if !o.Shop.Deadline.IsZero() {
		start, err := production.StartBy(o.Shop.Deadline, plan.Span, now)
		if err != nil {
			return err
		}
		a.Start = &start
	}
	if err := output.Write(output.File{Name: *svg, Write: plan.WriteSVG}, output.File{Name: *png, Write: plan.WritePNG}); err != nil {
		return err
	}
	if *asJSON {
		return command.PrintJSON(stdout, a)
	}
	show(stdout, a)
	return nil
}

// answer is what -json prints: the timetable, when to begin for the order's
// deadline, and what -lengths compared.
type answer struct {
	production.Timetable
	Start   *time.Time         `json:"begin_by,omitempty"`
	Lengths []order.LengthPlan `json:"lengths,omitempty"`
}

// compare lays the order out with each length of loads and leaves it with the
// one that finishes first, the earliest named where several do.
func compare(ctx context.Context, o *order.Order, list string, opt order.Options) ([]order.LengthPlan, error) {
	var lengths []units.Length
	for _, text := range strings.Split(list, ",") {
		l, err := units.Parse(text)
		if err != nil {
			return nil, fmt.Errorf("-lengths: %w", err)
		}
		if l <= 0 {
			return nil, fmt.Errorf("-lengths: %q; give lengths above zero", text)
		}
		lengths = append(lengths, l)
	}
	plans, err := order.CompareLengths(ctx, *o, lengths, opt)
	if err != nil {
		return nil, err
	}
	best := 0
	for i, p := range plans {
		if p.SpanMinutes < plans[best].SpanMinutes {
			best = i
		}
	}
	o.MaxLoad = lengths[best]
	return plans, nil
}

func show(w io.Writer, a answer) {
	plan := a.Timetable
	clock := func(m float64) string { return fmt.Sprintf("%d:%02d", int(m+0.5)/60, int(m+0.5)%60) }
	if len(a.Lengths) > 0 {
		fmt.Fprintf(w, "%-16s  %5s  %8s  %s\n", "loads of at most", "loads", "film", "finished after")
		for _, l := range a.Lengths {
			fmt.Fprintf(w, "%-16s  %5d  %6.2f m  %s\n", units.Length(l.MaxLoadMM).InchString(), l.Loads, l.FilmMM/1000, clock(l.SpanMinutes))
		}
		fmt.Fprintln(w, "\nPlanned with the one that finishes first:")
	}
	fmt.Fprintf(w, "%d loads, finished after %s hours of work without a break\n", len(plan.Loads), clock(plan.Span))
	if a.Start != nil {
		fmt.Fprintf(w, "begin by %s\n", a.Start.Format("Monday 2 January 2006, 15:04"))
	}
	fmt.Fprintf(w, "\n%-10s", "load")
	for _, s := range plan.Stages {
		fmt.Fprintf(w, "  %-14s", s.Name)
	}
	fmt.Fprintln(w)
	n := len(plan.Stages)
	for i := 0; i+n <= len(plan.Tasks); i += n {
		fmt.Fprintf(w, "%-10s", plan.Loads[plan.Tasks[i].Load].Name)
		for _, t := range plan.Tasks[i : i+n] {
			fmt.Fprintf(w, "  %-14s", clock(t.Start)+" to "+clock(t.End))
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintln(w, "\nWeeding and handling times are common practice without a source until the shop gives its own.")
}
