package order

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
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
	Seed       uint64
	Workers    int
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
	// While nesting, the best layout so far:
	Loads  int
	Length units.Length
}

// Result is an order that has been run. Nothing has been written yet.
type Result struct {
	Order   Order
	Designs []Design
	Nest    nest.Result
	Sheets  []layout.Sheet
	Jobs    []cutpath.Job // the cut of each sheet
	Report  Report
}

// flattening bounds how far the polygons that are nested lie inside the true
// curves; the nest's gap is widened by twice as much, so that the gap holds
// for the curves.
const flattening = outline.DefaultTolerance

// Run runs the order. On a cancelled context the error is ctx.Err(), with no
// result unless the nest had a complete layout, which is then used.
func Run(ctx context.Context, o Order, opt Options) (*Result, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	tell := func(p Progress) {
		if opt.Progress != nil {
			opt.Progress(p)
		}
	}
	tell(Progress{Stage: "fill designs"})
	built, err := designs(o, opt)
	if err != nil {
		return nil, err
	}
	tell(Progress{Stage: "inspect"})
	for i := range built {
		d := &built[i]
		if d.Report, err = weedability.Inspect(ctx, d.Path, limits(o.Film), weedability.Options{Describe: d.Describe}); err != nil {
			return nil, itemError(i, d.Item, err)
		}
	}
	r := &Result{Order: o, Designs: built}
	nested, err := r.nest(ctx, opt, tell)
	if err != nil && (ctx.Err() == nil || len(nested.Loads) == 0) {
		return nil, err
	}
	r.Nest = nested
	tell(Progress{Stage: "plan the cut"})
	for i, load := range nested.Loads {
		sheet := r.sheet(i, load)
		r.Sheets = append(r.Sheets, sheet)
		// The cut of a finished layout takes moments: it is planned even
		// after the order has been cancelled, so that the layout can be used.
		job, err := cutpath.Plan(context.WithoutCancel(ctx), sheet, cutpath.Options{Seed: opt.Seed})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", sheet.Name, err)
		}
		r.Jobs = append(r.Jobs, job)
	}
	r.Report = r.report()
	tell(Progress{Stage: "done", Done: 1, Loads: len(r.Sheets), Length: nested.Length})
	return r, ctx.Err()
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

// nest places all copies on the film.
func (r *Result) nest(ctx context.Context, opt Options, tell func(Progress)) (nest.Result, error) {
	o := r.Order
	clear := o.clearance()
	strip := nest.Strip{
		Width:     o.Film.Width,
		Gap:       o.Gap + 2*flattening,
		Margins:   nest.Margins{Bottom: o.EdgeMargin + clear + flattening, Top: o.EdgeMargin + clear + flattening},
		Lead:      o.Lead + clear + flattening,
		Tail:      2*clear + o.Tail + flattening,
		MaxLength: o.MaxLoad,
	}
	pieces := make([]nest.Piece, len(r.Designs))
	for i, d := range r.Designs {
		pieces[i] = nest.Piece{
			ID:        d.Letter,
			Outline:   d.Path.MultiPolygon(flattening),
			Count:     d.Item.Copies,
			Rotations: nest.Rotations{Mode: turns[d.Item.Turn]},
		}
	}
	budget := opt.Budget
	if budget == 0 && opt.Iterations == 0 {
		budget = nest.DefaultBudget
	}
	result, err := nest.Nest(ctx, strip, pieces, nest.Options{
		Budget: opt.Budget, Iterations: opt.Iterations, Seed: opt.Seed, Workers: opt.Workers,
		Progress: func(p nest.Progress) {
			done := 0.0
			if budget > 0 {
				done = min(1, p.Elapsed.Seconds()/budget.Seconds())
			}
			tell(Progress{Stage: "nest", Done: done, Loads: p.Loads, Length: p.Length})
		},
	})
	var size *nest.SizeError
	if errors.As(err, &size) {
		for i, d := range r.Designs {
			if d.Letter == size.Piece {
				return result, itemError(i, d.Item, err)
			}
		}
	}
	return result, err
}

// sheet lays one load of the nest out: its decals, the weed border round them
// and the cut-off line behind them.
func (r *Result) sheet(i int, load nest.Load) layout.Sheet {
	o := r.Order
	s := layout.Sheet{
		Name:   fmt.Sprintf("load-%0*d", digits(len(r.Nest.Loads)), i+1),
		Film:   layout.Film{Name: o.Film.Name, Colour: o.Film.Colour, Width: o.Film.Width, Class: o.Film.Class},
		Length: load.Length,
	}
	for _, p := range load.Placements {
		d := r.design(p.Piece)
		m := p.Matrix()
		s.Decals = append(s.Decals, layout.PlacedDecal{
			ID:       fmt.Sprintf("%s-%0*d", d.Letter, digits(d.Item.Copies), p.Copy),
			Design:   d.Name,
			Copy:     p.Copy,
			Words:    d.Words(),
			Path:     d.Path.Transform(outline.Transform{XX: m[0], XY: m[1], X0: m[2], YX: m[3], YY: m[4], Y0: m[5]}),
			Rotation: p.Rotation,
			Mirrored: d.Item.InsideGlass,
		})
	}
	clear := float64(o.clearance())
	b := s.Bounds().Grow(clear)
	s.WeedBorder = outline.Path{outline.Polygon(b.Min, outline.Pt(b.Max.X, b.Min.Y), b.Max, outline.Pt(b.Min.X, b.Max.Y))}
	cut := b.Max.X + clear
	s.Length = units.Length(cut) + o.Tail
	margin := float64(o.EdgeMargin)
	s.TrimLines = []outline.Curve{outline.Polyline(outline.Pt(cut, margin), outline.Pt(cut, float64(o.Film.Width)-margin))}
	return s
}

// digits returns how many digits numbers up to n are written with, two or more.
func digits(n int) int { return max(2, len(fmt.Sprint(n))) }

// design returns the design with the given letter, which the nest was given.
func (r *Result) design(letter string) Design {
	for _, d := range r.Designs {
		if d.Letter == letter {
			return d
		}
	}
	return Design{}
}
