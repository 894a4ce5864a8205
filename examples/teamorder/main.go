// Command teamorder runs a whole order: it fills every design with the order's
// words, sizes, inspects and nests the decals, and writes cut files, proofs, a
// page for approval and a job sheet.
//
//	go run ./examples/teamorder [-order FILE.json] [-out DIR] [-budget 5s] [-iterations N] [-seed 1]
//	go run ./examples/teamorder -layout out/teamorder/layout.json -recut B-07,C-02
//	go run ./examples/teamorder -layout out/teamorder/layout.json -resume load-03:B-07 [-new-roll]
//
// Without -order it runs the demo order, the Marlow Creek Science Fair. With
// -layout it cuts decals of an earlier run again, or the rest of a load.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/vinylgeom/vinyl/examples/internal/command"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
	"golang.org/x/term"
)

func main() { command.Main("teamorder", run) }

func run(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	flags := command.Flags("teamorder", "runs a whole order: from its file, or the demo order, to cut files, proofs and papers", stderr)
	file := flags.String("order", "", "the order `FILE`, JSON; without it the demo order is run")
	out := flags.String("out", filepath.Join("out", "teamorder"), "the folder to write to")
	budget := flags.Duration("budget", 5*time.Second, "time for nesting the whole order; 0 takes the first layout")
	iterations := flags.Int("iterations", 0, "nest for a count of iterations instead, so that the run can be repeated")
	seed := flags.Uint64("seed", 1, "seed of the nest")
	earlier := flags.String("layout", "", "the layout.json `FILE` of an earlier run, for -recut and -resume")
	recut := flags.String("recut", "", "cut these decals again: `IDS` such as B-07,C-02")
	resume := flags.String("resume", "", "cut the rest of a load from a decal on: `LOAD:ID` such as load-03:B-07")
	newRoll := flags.Bool("new-roll", false, "with -resume: move the rest to the start of a new roll")
	if err := command.Parse(flags, args); err != nil {
		return err
	}
	if *budget < 0 || *iterations < 0 {
		return errors.New("-budget and -iterations cannot be negative; give 0 or more")
	}
	opt := order.Options{Budget: *budget, Iterations: *iterations, Seed: *seed}
	if *iterations > 0 {
		opt.Budget = 0
	} else if *budget == 0 {
		opt.Budget = nest.FirstLayoutOnly
	}
	progress, finish := bar(stderr)
	opt.Progress = progress
	var result *order.Result
	var err error
	switch {
	case *earlier != "":
		result, err = again(ctx, *earlier, *recut, *resume, *newRoll, opt)
	case *recut != "" || *resume != "" || *newRoll:
		err = errors.New("-recut, -resume and -new-roll go with -layout; give the layout.json of the earlier run")
	default:
		var o order.Order
		if o, opt.Files, err = command.Order(*file); err == nil {
			result, err = order.Run(ctx, o, opt)
		}
	}
	finish()
	if err != nil && (result == nil || ctx.Err() == nil) {
		return err
	}
	if err := result.Write(*out); err != nil {
		return err
	}
	summary(stdout, result)
	if err := planAndPrice(stdout, result, opt, *earlier != "" || ctx.Err() != nil, time.Now()); err != nil {
		return err
	}
	if ctx.Err() != nil {
		fmt.Fprintf(stdout, "\nInterrupted: this is the best layout so far. Run it again for a shorter one.\n")
	}
	closing(stdout, *out, *earlier != "")
	return nil
}

// closing says where everything is; the caution comes last.
func closing(w io.Writer, dir string, again bool) {
	if again { // what is cut again has been approved
		fmt.Fprintf(w, "\nWritten to %s: cut files, proofs and papers of what is cut again\n%s\n", dir, caution)
		return
	}
	fmt.Fprintf(w, "\nWritten to %s: cut files, proofs, layout.json, report.json, approval.html, jobsheet.html, jobsheet.pdf\n", dir)
	fmt.Fprintf(w, "Have approval.html signed before you cut.\n%s\n", caution)
}

const caution = "Mind the blade, and never put PVC film under a laser."

// planAndPrice prints when the order is finished and, where it has rates and no
// price is out of place (what is cut again, or has been interrupted), what it
// costs and which way to gang it is cheaper.
func planAndPrice(w io.Writer, r *order.Result, opt order.Options, unpriced bool, now time.Time) error {
	ctx := context.Background() // what has been cut short still has a plan
	plan, err := r.Plan(ctx)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "\nFinished after %d:%02d hours of work: one load is weeded while the next is cut.\n", int(plan.Span+0.5)/60, int(plan.Span+0.5)%60)
	if deadline := r.Order.Shop.Deadline; !deadline.IsZero() {
		begin, err := production.StartBy(deadline, plan.Span, now)
		if err != nil {
			fmt.Fprintf(w, "TOO LATE: %v\n", err)
		} else {
			fmt.Fprintf(w, "Begin by %s for the deadline.\n", begin.Format("Monday 2 January 2006, 15:04"))
		}
	}
	if unpriced || !r.Priced() {
		return nil
	}
	quote, err := r.Quote()
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "Price %s%s, %s%s a decal.\n", quote.Currency, quote.Price.StringFixed(2), quote.Currency, quote.PerDecal.StringFixed(2))
	ways, err := order.Compare(ctx, r.Order, opt)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "Cheaper way to gang: %s; %s.\n", ways.Cheaper, ways.Why)
	return nil
}

// again cuts decals of an earlier run again, or the rest of one of its loads.
func again(ctx context.Context, name, recut, resume string, newRoll bool, opt order.Options) (*order.Result, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, fmt.Errorf("cannot read the layout: %w; check the path after -layout", err)
	}
	defer f.Close()
	layout, err := order.ReadLayout(f)
	if err != nil {
		return nil, err
	}
	if (recut == "") == (resume == "") {
		return nil, errors.New("-layout needs -recut or -resume, and only one of them")
	}
	if recut != "" {
		return layout.Recut(ctx, strings.Split(recut, ","), opt)
	}
	load, id, ok := strings.Cut(resume, ":")
	if !ok {
		return nil, fmt.Errorf("-resume is %q; write it as load-03:B-07", resume)
	}
	return layout.Resume(ctx, load, id, newRoll, opt)
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
func summary(w io.Writer, r *order.Result) {
	rep := r.Report
	fmt.Fprintf(w, "%s\n\n", r.Order.Title)
	films(w, r)
	fmt.Fprintf(w, "  decals     %d of %s\n", r.Decals(), designs(rep.Designs))
	fmt.Fprintf(w, "  counters   %d to pick\n", rep.Counters)
	fmt.Fprintf(w, "  cutting    %s    weeding about %s (common practice figures; fit them to your own times)\n", minutes(rep.Seconds/60), minutes(rep.WeedMinutes))
	if len(rep.Findings) > 0 {
		fmt.Fprintf(w, "  take care  %s\n", care(rep.Findings))
	}
	notes(w, rep.Notes)
	fmt.Fprintf(w, "\n  %-8s  %9s  %6s  %7s  %8s  %s\n", "load", "film", "used", "cut", "counters", "decals")
	for i, l := range rep.Loads {
		ids := make([]string, len(l.Decals))
		for j, d := range l.Decals {
			ids[j] = d.ID
		}
		fmt.Fprintf(w, "  %-8s  %9s  %5.0f%%  %5.1f m  %8d  %s\n", l.Name, r.Loads[i].Sheet.Length.InchString(), 100*l.UsedFraction, l.CutLengthMM/1000, l.Counters, layout.JoinIDs(ids))
	}
}

// notes prints what somebody should look at before anything is cut; a long list
// is left to the job sheet.
func notes(w io.Writer, list []string) {
	const most = 6
	for i, n := range list {
		if i == most {
			fmt.Fprintf(w, "  look       and %d more: see jobsheet.html\n", len(list)-most)
			return
		}
		fmt.Fprintf(w, "  look       %s\n", n)
	}
}

// designs counts designs and, where some have several, their wordings.
func designs(list []order.DesignReport) string {
	letters := map[string]bool{}
	for _, d := range list {
		letters[d.Letter] = true
	}
	if len(list) == len(letters) {
		return count(len(list), "design")
	}
	return count(len(letters), "design") + ", " + count(len(list), "wording")
}

// care counts the findings by their severity.
func care(findings []order.Finding) string {
	n := map[string]int{}
	for _, f := range findings {
		n[f.Severity]++
	}
	var parts []string
	for _, tier := range []struct{ severity, what string }{
		{"caution", "that tear or lift easily"}, {"warn", "where losses are likely"}, {"refuse", "that should NOT be cut"},
	} {
		if n[tier.severity] > 0 {
			parts = append(parts, count(n[tier.severity], "place")+" "+tier.what)
		}
	}
	return strings.Join(parts, ", ") + ": see jobsheet.html"
}

// films prints what is cut from each film, in the order of use.
func films(w io.Writer, r *order.Result) {
	type use struct {
		name             string
		width, length    units.Length
		rolls, leftovers int
	}
	var used []use
	for _, l := range r.Loads {
		film := l.Sheet.Film
		k := slices.IndexFunc(used, func(u use) bool { return u.name == film.Name })
		if k < 0 {
			k = len(used)
			used = append(used, use{name: film.Name})
		}
		if l.Leftover != "" {
			used[k].leftovers++
			continue
		}
		used[k].rolls++
		used[k].width = film.Width
		used[k].length += l.Sheet.Length
	}
	for _, u := range used {
		text := u.name
		if u.rolls > 0 {
			text += fmt.Sprintf(", %s wide: %.2f m (%s) in %s", u.width.InchString(), u.length.Metres(), u.length.InchString(), count(u.rolls, "load"))
		}
		if u.leftovers > 0 {
			text += fmt.Sprintf(", %s from leftovers", count(u.leftovers, "load"))
		}
		fmt.Fprintf(w, "  film       %s\n", text)
	}
}

// minutes writes a time as a person would say it.
func minutes(m float64) string {
	if m < 1.5 {
		return fmt.Sprintf("%.0f s", 60*m)
	}
	return fmt.Sprintf("%.0f min", m)
}

// count writes a number with its noun.
func count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}
