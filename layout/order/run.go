package order

import (
	"context"
	"io/fs"
	"sync"
	"time"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// Options say how an order is run. The zero value nests for the nest's default
// budget with a fixed seed.
type Options struct {
	// Budget is the time for nesting the whole order; zero is
	// [nest.DefaultBudget], [nest.FirstLayoutOnly] takes the first layout.
	Budget time.Duration
	// Iterations, above zero, replaces the clock: the same order, seed and
	// count give the same bytes.
	Iterations int
	Seed       uint64 // of the search; zero is a fixed seed
	Workers    int    // goroutines that nest, plan cuts and write files; zero: as many as there are processors
	// Files is the folder that the order's files are relative to; it may be
	// nil for an order of demo designs.
	Files fs.FS
	// Progress, if not nil, is told how far the order is.
	Progress func(Progress)
}

// Progress tells how far an order is.
type Progress struct {
	Stage string  // what is being done, such as "nest"
	Done  float64 // share of the stage, 0 to 1
	// While nesting, the best layout of the film in hand so far:
	Loads  int
	Length units.Length
}

// Result is an order that has been run. Nothing has been written yet.
type Result struct {
	Order   Order
	Designs []Design
	Loads   []Load
	Report  Report

	// prefix stands before the names of the order's own files where only a
	// part of an order has been run again: "recut-" or "rest-".
	prefix  string
	workers int // of Options
	notes   []string
}

// Load is one load of a result: what is cut in one go.
type Load struct {
	Sheet  layout.Sheet
	Job    cutpath.Job // its cut, for the order's machine
	Cut    cutpath.Timing
	Placed []Placed // which design each of the sheet's decals is
	// Gap is a distance that no two decals, or weed borders round them, come
	// closer than, +Inf for one decal alone.
	Gap units.Length
	// Edge is the distance from the outermost cut to the film's long edges, or
	// to the border of the leftover.
	Edge units.Length

	Roll     int    // the roll it is cut from, from 1; 0: not known, or a leftover
	Leftover string // the leftover it is cut from; empty: the roll
	// Film is the shape of the leftover, holes and all, in the sheet's
	// coordinates; empty for a load from a roll.
	Film   outline.Path
	SameAs int // index of an earlier load with the same cuts, whose file is cut again; -1: none
	// Rest is what stays of the film, if it is worth keeping.
	Rest *layout.Leftover
}

// Placed says which design a decal of a sheet is and where it lies: the
// design's path turned counter-clockwise about (0, 0), then shifted by X along
// the film and Y across it, y up.
type Placed struct {
	Design   int          // index of Result.Designs
	Number   int          // among the design's decals, from 1
	Rotation units.Angle  // counter-clockwise
	X, Y     units.Length // x along the film from the load's start, y across it, up
}

// transform returns the placement as a map.
func (p Placed) transform() outline.Transform {
	return outline.Rotate(p.Rotation).Then(outline.Translate(outline.Pt(float64(p.X), float64(p.Y))))
}

// filmClasses maps the order's word to the film's class.
var filmClasses = map[string]weedability.FilmClass{
	"":              weedability.Calendered,
	"cast":          weedability.Cast,
	"calendered":    weedability.Calendered,
	"reflective":    weedability.Reflective,
	"heat-transfer": weedability.HeatTransfer,
}

func limits(f Film) weedability.Limits { return weedability.LimitsFor(filmClasses[f.Class]) }

// turns maps the order's word to the allowed rotations.
var turns = map[string]nest.RotationMode{
	"":        nest.RotateNone,
	"none":    nest.RotateNone,
	"half":    nest.RotateHalf,
	"quarter": nest.RotateQuarter,
	"any":     nest.RotateAny,
}

// mostSafeScales is up to how many designs an order may have for Design.SafeScale to be worked out, which takes as long as
// some ten inspections of each.
const mostSafeScales = 60

// runner is an order on its way.
type runner struct {
	order   Order
	opt     Options
	designs []Design
	used    []int // decals of each design that are placed
	loads   []Load

	// numbers are those of the decals that are cut again, design by design;
	// nil: all, from 1.
	numbers [][]int
	prefix  string   // see Result
	notes   []string // on what was decided for the order
}

func (r *runner) tell(p Progress) {
	if r.opt.Progress != nil {
		r.opt.Progress(p)
	}
}

// Run runs the order. Where ctx ends while decals are being nested, the best
// layout so far is made into a result that comes together with ctx.Err();
// where it ends before there is one, the result is nil.
func Run(ctx context.Context, o Order, opt Options) (*Result, error) {
	r, err := prepare(ctx, o, opt)
	if err != nil {
		return nil, err
	}
	if err := r.chooseWay(ctx); err != nil {
		return nil, err
	}
	return r.run(ctx)
}

// prepare fills, sizes and inspects every design of the order.
func prepare(ctx context.Context, o Order, opt Options) (*runner, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	items := make([]Item, len(o.Items))
	for i, it := range o.Items {
		items[i] = o.sized(it)
	}
	o.Items = items
	r := &runner{order: o, opt: opt}
	r.tell(Progress{Stage: "fill designs"})
	var err error
	if r.designs, err = designs(ctx, o, opt); err != nil {
		return nil, err
	}
	r.tell(Progress{Stage: "inspect"})
	if err := each(len(r.designs), opt.Workers, func(i int) error {
		d := &r.designs[i]
		if err := d.inspect(ctx, o, len(r.designs) <= mostSafeScales); err != nil {
			return itemError(d.item, d.Item, err)
		}
		return nil
	}); err != nil {
		return nil, err
	}
	r.used = make([]int, len(r.designs))
	return r, nil
}

// inspect mends the design, if the order wants it, reports on it and gives it its
// weed border. size asks for SafeScale.
func (d *Design) inspect(ctx context.Context, o Order, size bool) (err error) {
	if err := d.mend(ctx, o.Mend); err != nil {
		return err
	}
	if d.Report, err = weedability.Inspect(ctx, d.Path, limits(d.Film), weedability.Options{Describe: d.Describe, OmitWeedLines: true}); err != nil {
		return err
	}
	if size {
		safe, err := weedability.SmallestSafeSize(ctx, d.Path, limits(d.Film), weedability.Options{})
		if err != nil {
			return err
		}
		d.SafeScale = safe.Scale
	}
	return d.addBorder(ctx, o)
}

// run places the designs' decals, plans the cut of all loads, and reports.
func (r *runner) run(ctx context.Context) (*Result, error) {
	r.used = make([]int, len(r.designs))
	for _, film := range r.films() {
		if err := r.cutFrom(ctx, film); err != nil {
			return nil, err
		}
	}
	if err := r.assignRolls(); err != nil {
		return nil, err
	}
	r.nameLoads()
	return r.finish(ctx)
}

// finish plans the cut of the loads and reports.
func (r *runner) finish(ctx context.Context) (*Result, error) {
	// The cut of a finished layout takes moments: it is planned even after the
	// order has been cancelled, so that the layout can be used.
	if err := r.planLoads(context.WithoutCancel(ctx)); err != nil {
		return nil, err
	}
	if err := r.arrange(context.WithoutCancel(ctx)); err != nil {
		return nil, err
	}
	r.markIdentical()
	result := &Result{Order: r.order, Designs: r.designs, Loads: r.loads, prefix: r.prefix, workers: r.opt.Workers, notes: r.notes}
	var err error
	if result.Report, err = result.report(); err != nil {
		return nil, err
	}
	r.tell(Progress{Stage: "done", Done: 1, Loads: len(r.loads), Length: result.FilmUsed()})
	return result, ctx.Err()
}

// planLoads plans the cut of all loads.
func (r *runner) planLoads(ctx context.Context) error {
	var lock sync.Mutex
	planned := 0
	tell := func(more int) {
		lock.Lock()
		defer lock.Unlock()
		planned += more
		if planned < len(r.loads) {
			r.tell(Progress{Stage: "plan the cut", Done: float64(planned) / float64(len(r.loads))})
		}
	}
	tell(0)
	return each(len(r.loads), r.opt.Workers, func(i int) error {
		err := r.plan(ctx, &r.loads[i])
		tell(1)
		return err
	})
}

// films returns the films that designs are cut from, in the order of use.
func (r *runner) films() []Film {
	var out []Film
	seen := map[string]bool{}
	for _, d := range r.designs {
		if !seen[d.Film.Name] {
			seen[d.Film.Name] = true
			out = append(out, d.Film)
		}
	}
	return out
}

// plan orders the cut of a load.
func (r *runner) plan(ctx context.Context, l *Load) error {
	var err error
	if r.order.WeedLines && r.order.borderPerLoad() && len(l.Sheet.WeedBorder) > 0 {
		var all outline.Path
		for _, d := range l.Sheet.Decals {
			all = append(all, d.Path...)
		}
		film, _ := r.order.film(Item{Film: l.Sheet.Film.Name})
		lines, err := weedability.WeedLines(ctx, all, limits(film), weedability.WeedLineOptions{BorderMargin: r.order.clearance()})
		if err != nil {
			return &Error{Where: l.Sheet.Name, Cause: err}
		}
		l.Sheet.WeedLines = nil
		for _, w := range lines {
			l.Sheet.WeedLines = append(l.Sheet.WeedLines, w.Curve)
		}
	}
	if l.Job, l.Cut, err = r.order.Machine.plan(ctx, l.Sheet, r.opt.Seed); err != nil {
		return &Error{Where: l.Sheet.Name, Cause: err}
	}
	if l.Leftover != "" {
		return r.restOfLeftover(l)
	}
	if rest, ok := l.Sheet.Leftover(r.order.clearance(), r.order.leastLeftover()); ok {
		l.Rest = &rest
	}
	return nil
}

// FilmUsed returns the film of all loads from rolls.
func (r *Result) FilmUsed() units.Length {
	var sum units.Length
	for _, l := range r.Loads {
		if l.Leftover == "" {
			sum += l.Sheet.Length
		}
	}
	return sum
}

// Decals returns the number of decals in all loads.
func (r *Result) Decals() int {
	n := 0
	for _, l := range r.Loads {
		n += len(l.Placed)
	}
	return n
}
