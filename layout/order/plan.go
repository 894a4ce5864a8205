package order

import (
	"context"
	"fmt"
	"strconv"

	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// The stages of work, in order.
const (
	stageCut = iota
	stageWeed
	stageTape
	stagePack
	stageCount
)

func (s Shop) stages() []production.Stage {
	return []production.Stage{
		stageCut:  {Name: "cut", Workers: s.People.Cut},
		stageWeed: {Name: "weed", Workers: s.People.Weed},
		stageTape: {Name: "tape", Workers: s.People.Tape},
		stagePack: {Name: "trim, pack", Workers: s.People.Pack},
	}
}

// Plan lets the loads flow through cutting, weeding, taping, and trimming and
// packing, with the shop's people at each, in the order of [Result.Loads], which
// [Run] has chosen for an early finish. Minutes come from the geometry and the
// shop's times.
func (r *Result) Plan(ctx context.Context) (production.Timetable, error) {
	loads, err := r.stageMinutes()
	if err != nil {
		return production.Timetable{}, err
	}
	t, err := production.Sequence(r.Order.Shop.stages(), loads, upTo(len(loads)))
	if err != nil {
		return t, err
	}
	return t, ctx.Err()
}

// stageMinutes returns how long each load takes at each stage.
func (r *Result) stageMinutes() ([]production.Load, error) {
	t := r.Order.times()
	way := r.way()
	loads := make([]production.Load, len(r.Loads))
	for i, l := range r.Loads {
		nested := l.nested()
		strips, err := r.weigher().tapeStrips(l.Sheet.Name, parted(way, nested), nested)
		if err != nil {
			return nil, err
		}
		weeding := 0.0
		for _, p := range l.Placed {
			weeding += r.Designs[p.Design].Report.WeedMinutes
		}
		minutes := make([]float64, stageCount)
		minutes[stageCut] = t.Load + l.Cut.Seconds()/60
		minutes[stageWeed] = t.Lift*float64(r.Order.wasteSheets(1, len(l.Placed))) + weeding
		minutes[stageTape] = float64(len(strips)) * t.Tape
		minutes[stagePack] = t.part(way, nested) + float64(len(l.Placed))*t.Pack
		loads[i] = production.Load{Name: l.Sheet.Name, Minutes: minutes}
	}
	return loads, nil
}

// way returns how the order was laid out.
func (r *Result) way() string {
	if r.Order.Gang == Straight {
		return Straight
	}
	return Irregular
}

// parted returns how the load's decals are parted: by the trims of a gang, or,
// where several lie on a leftover that has none, by hand.
func parted(way string, load nest.Load) string {
	if way == Straight && (len(load.Cuts) > 0 || len(load.Placements) < 2) {
		return Straight
	}
	return Irregular
}

// part returns the minutes that it takes to part the load's decals.
func (t Times) part(way string, load nest.Load) float64 {
	if parted(way, load) == Straight {
		return float64(len(load.Cuts)) * t.TrimCut
	}
	return float64(len(load.Placements)) * t.CutOut
}

// trims returns the straight trims that part the load's decals; the line that
// cuts a load off the roll, the first of its lines, is not one of them.
func (l Load) trims() []outline.Curve {
	if l.Leftover != "" || len(l.Sheet.TrimLines) == 0 {
		return l.Sheet.TrimLines
	}
	return l.Sheet.TrimLines[1:]
}

// nested gives the load back as the nest placed it.
func (l Load) nested() nest.Load {
	var out nest.Load
	for _, p := range l.Placed {
		out.Placements = append(out.Placements, nest.Placement{Piece: strconv.Itoa(p.Design), Copy: p.Number, Rotation: p.Rotation, X: p.X, Y: p.Y})
	}
	for _, c := range l.trims() {
		out.Cuts = append(out.Cuts, nest.Cut{X1: units.Length(c.Start.X), Y1: units.Length(c.Start.Y), X2: units.Length(c.End().X), Y2: units.Length(c.End().Y)})
	}
	return out
}

func (r *Result) weigher() *runner { return &runner{order: r.Order, designs: r.Designs} }

// Work returns what the order takes, as it was laid out: what is priced.
// Leftovers cost no film. A decal wider than every roll of tape is a
// [production.Error] wrapping [production.ErrTooLarge].
func (r *Result) Work() (Way, error) {
	out := layOut{way: r.way(), film: r.FilmUsed()}
	for _, l := range r.Loads {
		out.loads = append(out.loads, l.nested())
	}
	return r.weigher().weigh(out)
}

// Priced reports whether the order has rates to price it by.
func (r *Result) Priced() bool { return r.Order.Shop.priced() }

// Quote prices the order as it was laid out, by the shop's rates. Roll ends
// too short for another load are charged with it where the order says what is
// left on its rolls. Rates that are missing, or no sensible values, are
// [production.Error] values wrapping [production.ErrInvalid]; other errors are
// those of Work.
func (r *Result) Quote() (production.Quote, error) {
	w, err := r.Work()
	if err != nil {
		return production.Quote{}, err
	}
	w.work.RollEnd = r.rollEnds()
	return r.Order.Shop.Rates.Price(w.work)
}

// rollEnds returns what is left on the rolls that were used and is too short
// for the order's shortest load.
func (r *Result) rollEnds() units.Length {
	var sum units.Length
	for _, f := range append([]Film{r.Order.Film}, r.Order.Films...) {
		for i, left := range f.Rolls {
			used, shortest := false, units.Length(0)
			for _, l := range r.Loads {
				if l.Sheet.Film.Name != f.Name || l.Leftover != "" {
					continue
				}
				if shortest == 0 || l.Sheet.Length < shortest {
					shortest = l.Sheet.Length
				}
				if l.Roll == i+1 {
					used = true
					left -= l.Sheet.Length
				}
			}
			if used && left < shortest {
				sum += max(left, 0)
			}
		}
	}
	return sum
}

// LengthPlan is what a greatest length of loads leads to.
type LengthPlan struct {
	MaxLoadMM   float64 `json:"max_load_mm"`  // the bound
	Loads       int     `json:"loads"`        // how many there are
	FilmMM      float64 `json:"film_mm"`      // from rolls, of all loads
	SpanMinutes float64 `json:"span_minutes"` // from the first cut to the last parcel
}

// CompareLengths runs the order with each greatest length of loads and returns
// when it would be finished; the least span is the best length. Long loads
// waste less film at their ends, short ones let weeding begin sooner. Where a
// length is too short for a decal, or ctx ends, the plans so far come with the
// error of [Run] or [Result.Plan], and the length it is about.
func CompareLengths(ctx context.Context, o Order, lengths []units.Length, opt Options) ([]LengthPlan, error) {
	var out []LengthPlan
	for _, length := range lengths {
		o.MaxLoad = length
		r, err := Run(ctx, o, opt)
		if err != nil {
			return out, fmt.Errorf("loads of at most %s: %w", length, err)
		}
		plan, err := r.Plan(ctx)
		if err != nil {
			return out, err
		}
		out = append(out, LengthPlan{figure(float64(length)), len(r.Loads), figure(float64(r.FilmUsed())), figure(plan.Span)})
	}
	return out, nil
}
