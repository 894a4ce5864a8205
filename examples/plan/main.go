// Command plan draws the timetable of an order: while one load is weeded the
// next is cut.
//
//	go run ./examples/plan -order FILE [-svg OUT] [-png OUT] [-json]
//
// Without -order the demo order is planned.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"time"

	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/nest"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Stdout, os.Stderr, time.Now()); err != nil {
		if !errors.Is(err, flag.ErrHelp) {
			fmt.Fprintln(os.Stderr, "plan:", err)
		}
		stop()
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string, stdout, stderr io.Writer, now time.Time) error {
	flags := flag.NewFlagSet("plan", flag.ContinueOnError)
	flags.SetOutput(stderr)
	file := flags.String("order", "", "the order `FILE`, JSON; without it the demo order")
	svg := flags.String("svg", "", "write the chart as SVG to this `FILE`")
	png := flags.String("png", "", "write the chart as PNG to this `FILE`")
	asJSON := flags.Bool("json", false, "print JSON")
	budget := flags.Duration("budget", 0, "time for nesting; 0 plans the first layout")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("unexpected argument %q; all settings are flags", flags.Arg(0))
	}
	o, files, err := read(*file)
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
	plan, err := result.Plan(ctx)
	if err != nil {
		return err
	}
	start := time.Time{}
	if !o.Shop.Deadline.IsZero() {
		if start, err = production.StartBy(o.Shop.Deadline, plan.Span, now); err != nil {
			return err
		}
	}
	for _, f := range []struct {
		name  string
		write func(io.Writer) error
	}{{*svg, plan.WriteSVG}, {*png, plan.WritePNG}} {
		if f.name == "" {
			continue
		}
		if err := writeFile(f.name, f.write); err != nil {
			return err
		}
	}
	if *asJSON {
		e := json.NewEncoder(stdout)
		e.SetIndent("", "  ")
		return e.Encode(plan)
	}
	show(stdout, plan, start)
	return nil
}

func read(name string) (order.Order, fs.FS, error) {
	if name == "" {
		o, err := order.Demo()
		return o, nil, err
	}
	f, err := os.Open(name)
	if err != nil {
		return order.Order{}, nil, fmt.Errorf("cannot read the order: %w; check the path after -order", err)
	}
	defer f.Close()
	o, err := order.Read(f)
	return o, os.DirFS(filepath.Dir(name)), err
}

// writeFile writes a file beside its place and renames it.
func writeFile(name string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".unfinished-")
	if err != nil {
		return fmt.Errorf("cannot write the chart: %w; choose a folder that can be written", err)
	}
	defer os.Remove(f.Name())
	_, err = f.Write(b.Bytes())
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Chmod(f.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		return fmt.Errorf("cannot write the chart: %w; choose a folder that can be written", err)
	}
	return nil
}

func show(w io.Writer, plan production.Timetable, start time.Time) {
	clock := func(m float64) string { return fmt.Sprintf("%d:%02d", int(m+0.5)/60, int(m+0.5)%60) }
	fmt.Fprintf(w, "%d loads, finished after %s hours of work without a break\n", len(plan.Loads), clock(plan.Span))
	if !start.IsZero() {
		fmt.Fprintf(w, "begin by %s\n", start.Format("Monday 2 January 2006, 15:04"))
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
