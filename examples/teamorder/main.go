// Command teamorder runs a whole order: it fills every design with the order's
// words, sizes, inspects and nests the decals, and writes cut files, proofs, a
// page for approval and a job sheet.
//
//	go run ./examples/teamorder [-order FILE.json] [-out DIR] [-budget 5s] [-iterations N] [-seed 1]
//
// Without -order it runs the demo order, the Marlow Creek Science Fair.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
	"golang.org/x/term"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Stdout, os.Stderr); err != nil {
		if !errors.Is(err, flag.ErrHelp) {
			fmt.Fprintln(os.Stderr, "teamorder:", err)
		}
		stop()
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	flags := flag.NewFlagSet("teamorder", flag.ContinueOnError)
	flags.SetOutput(stderr)
	file := flags.String("order", "", "the order `FILE`, JSON; without it the demo order is run")
	out := flags.String("out", filepath.Join("out", "teamorder"), "the folder to write to")
	budget := flags.Duration("budget", 5*time.Second, "time for nesting the whole order; 0 takes the first layout")
	iterations := flags.Int("iterations", 0, "nest for a count of iterations instead, so that the run can be repeated")
	seed := flags.Uint64("seed", 1, "seed of the nest")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("unexpected argument %q; all settings are flags", flags.Arg(0))
	}
	if *budget < 0 || *iterations < 0 {
		return errors.New("-budget and -iterations cannot be negative; give 0 or more")
	}
	o, files, err := read(*file)
	if err != nil {
		return err
	}
	opt := order.Options{Budget: *budget, Iterations: *iterations, Seed: *seed, Files: files}
	if *budget == 0 && *iterations == 0 {
		opt.Budget = nest.FirstLayoutOnly
	} else if *iterations > 0 {
		opt.Budget = 0
	}
	progress, finish := bar(stderr)
	opt.Progress = progress
	result, err := order.Run(ctx, o, opt)
	finish()
	if err != nil && (result == nil || ctx.Err() == nil) {
		return err
	}
	if err := result.Write(*out); err != nil {
		return err
	}
	summary(stdout, result, *out)
	return nil
}

// read opens the order file, or the demo order where name is empty, and the
// folder that its own files are relative to.
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

// bar returns a progress callback that draws a bar where w is a terminal, and
// a function that clears it.
func bar(w io.Writer) (progress func(order.Progress), finish func()) {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil, func() {}
	}
	const steps = 1000
	b := progressbar.NewOptions(steps, progressbar.OptionSetWriter(w), progressbar.OptionSetWidth(30), progressbar.OptionClearOnFinish(), progressbar.OptionSetElapsedTime(false), progressbar.OptionSetPredictTime(false))
	return func(p order.Progress) {
		text := p.Stage
		if p.Loads > 0 {
			text = fmt.Sprintf("%s: %d loads, %s", p.Stage, p.Loads, p.Length.InchString())
		}
		b.Describe(text)
		_ = b.Set(int(steps * p.Done)) // a bar that can't be drawn is no reason to stop
	}, func() { _ = b.Finish() }
}

// summary prints what a shop owner wants to know.
func summary(w io.Writer, r *order.Result, dir string) {
	rep := r.Report
	decals := 0
	for _, l := range rep.Loads {
		decals += len(l.Decals)
	}
	fmt.Fprintf(w, "%s\n\n", r.Order.Title)
	fmt.Fprintf(w, "  film       %s, %s wide: %.2f m (%s) in %d loads\n", r.Order.Film.Name, r.Order.Film.Width.InchString(), r.FilmUsed().Metres(), r.FilmUsed().InchString(), len(rep.Loads))
	fmt.Fprintf(w, "  decals     %d of %d designs\n", decals, len(rep.Designs))
	fmt.Fprintf(w, "  counters   %d to pick\n", rep.Counters)
	fmt.Fprintf(w, "  cutting    %.0f min    weeding about %.0f min (common practice figures; fit them to your own times)\n", rep.Seconds/60, rep.WeedMinutes)
	if n := len(rep.Findings); n > 0 {
		fmt.Fprintf(w, "  take care  %d places below the film's limits, listed in jobsheet.html\n", n)
	}
	fmt.Fprintf(w, "\n  %-8s  %9s  %6s  %7s  %8s  %s\n", "load", "film", "used", "cut", "counters", "decals")
	for i, l := range rep.Loads {
		ids := make([]string, len(l.Decals))
		for j, d := range l.Decals {
			ids[j] = d.ID
		}
		fmt.Fprintf(w, "  %-8s  %9s  %5.0f%%  %5.1f m  %8d  %s\n", l.Name, r.Loads[i].Sheet.Length.InchString(), 100*l.UsedFraction, l.CutLengthMM/1000, l.Counters, strings.Join(ids, " "))
	}
	fmt.Fprintf(w, "\nWritten to %s: cut files, proofs, layout.json, report.json, approval.html, jobsheet.html\n", dir)
	fmt.Fprintln(w, "Mind the blade, and never put PVC film under a laser. Have approval.html signed before you cut.")
}
