package order

import (
	"context"
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// The two ways to gang decals, as an order names them, and the wish for the
// better one.
const (
	Irregular = "irregular" // nested by their outlines, cut out by hand
	Straight  = "straight"  // rows and columns, parted by straight trims
	Cheaper   = "cheaper"   // whichever [Compare] finds cheaper
)

// Way is what one way to gang an order takes. Minutes are of people's work,
// not of waiting.
type Way struct {
	Way          string  `json:"way"`
	Loads        int     `json:"loads"`
	FilmMM       float64 `json:"film_mm"`
	TrimCuts     int     `json:"trim_cuts"`
	TrimLengthMM float64 `json:"trim_length_mm"`
	TapeMM       float64 `json:"tape_mm"`
	TapeWasteMM2 float64 `json:"tape_waste_mm2"`
	WeedMinutes  float64 `json:"weed_minutes"`
	Minutes      float64 `json:"minutes"` // all handling, weeding among it
	// Cost is the order's cost without margin; absent without rates.
	Cost *production.Money `json:"cost,omitempty"`

	work production.Work
}

// Comparison sets the two ways against each other.
type Comparison struct {
	Ways []Way `json:"ways"`
	// Cheaper is the way that costs less or, without rates, takes fewer
	// minutes; Why says by how much.
	Cheaper string `json:"cheaper"`
	Why     string `json:"why"`
}

// layOut is a nest's answer for all loads of one way, from rolls only.
type layOut struct {
	way   string
	loads []nest.Load
	film  units.Length
}

// Compare lays the order out both ways and compares film, tape, minutes and
// money. Leftovers are left aside, so that the ways meet on equal terms, and
// layouts are first ones, save for irregular ones with Options.Iterations. An
// order that cannot be laid out one way (a decal whose turned outline is too
// large as a box) is an error.
func Compare(ctx context.Context, o Order, opt Options) (Comparison, error) {
	r, err := prepare(ctx, o, opt)
	if err != nil {
		return Comparison{}, err
	}
	r.order.Leftovers = nil
	return r.compare(ctx)
}

func (r *runner) compare(ctx context.Context) (Comparison, error) {
	var c Comparison
	for _, way := range []string{Irregular, Straight} {
		out, err := r.layOutBy(ctx, way)
		if err != nil {
			return c, fmt.Errorf("%s: %w", way, err)
		}
		w, err := r.weigh(out)
		if err != nil {
			return c, fmt.Errorf("%s: %w", way, err)
		}
		c.Ways = append(c.Ways, w)
	}
	a, b := c.Ways[0], c.Ways[1]
	c.Cheaper = a.Way
	switch {
	case a.Cost != nil:
		difference := b.Cost.Sub(*a.Cost)
		if difference.IsNegative() {
			c.Cheaper, difference = b.Way, difference.Neg()
		}
		c.Why = fmt.Sprintf("it costs %s%s less", r.order.Shop.Rates.Currency, difference.StringFixed(2))
	default:
		if b.Minutes < a.Minutes {
			c.Cheaper = b.Way
		}
		c.Why = fmt.Sprintf("it takes %.0f minutes less; give rates to compare money", math.Abs(a.Minutes-b.Minutes))
	}
	return c, nil
}

// chooseWay settles for one of the two ways where the order wants the cheaper
// one, and notes why. Where the ways cannot be compared there is nothing to
// choose, and the note says what stands against it.
func (r *runner) chooseWay(ctx context.Context) error {
	if r.order.Gang != Cheaper {
		return nil
	}
	trial := *r
	trial.order.Leftovers = nil
	c, err := trial.compare(ctx)
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		r.order.Gang = Irregular
		r.notes = append(r.notes, "ganged by outlines, the ways could not be compared: "+err.Error())
	case c.Cheaper == Straight:
		r.order.Gang = Straight
		r.notes = append(r.notes, "ganged in rows and columns: "+c.Why)
	default:
		r.order.Gang = Irregular
		r.notes = append(r.notes, "ganged by outlines: "+c.Why)
	}
	return nil
}

// layOutBy places all decals on rolls one way, without changing r.
func (r *runner) layOutBy(ctx context.Context, way string) (layOut, error) {
	trial := *r
	trial.order.Gang = way
	trial.used = make([]int, len(r.designs))
	trial.opt.Progress = nil
	if way == Straight || trial.opt.Iterations == 0 {
		trial.opt.Iterations, trial.opt.Budget = 0, nest.FirstLayoutOnly
	}
	out := layOut{way: way}
	for _, film := range trial.films() {
		result, err := trial.nest(ctx, trial.strip(film), trial.waiting(film), 1)
		if err != nil {
			return out, err
		}
		out.loads = append(out.loads, result.Loads...)
		out.film += result.Length
	}
	return out, nil
}

// weigh works out what a layout takes.
func (r *runner) weigh(out layOut) (Way, error) {
	s := r.order.Shop
	t := r.order.times()
	w := Way{Way: out.way, Loads: len(out.loads), FilmMM: figure(float64(out.film))}
	decals, parting := 0, 0.0
	var strips []production.Strip
	for i, load := range out.loads {
		stretch, err := r.tapeStrips(fmt.Sprintf("load %d", i+1), parted(out.way, load), load)
		if err != nil {
			return w, err
		}
		strips = append(strips, stretch...)
		w.TrimCuts += len(load.Cuts)
		for _, c := range load.Cuts {
			w.TrimLengthMM += float64(c.Length())
		}
		decals += len(load.Placements)
		parting += t.part(out.way, load)
		for _, p := range load.Placements {
			if d, ok := r.designOf(p); ok {
				w.WeedMinutes += d.Report.WeedMinutes
			}
		}
	}
	tape, err := r.order.Shop.tape(strips)
	if err != nil {
		return w, err
	}
	w.TapeMM, w.TapeWasteMM2 = figure(float64(tape.Length)), figure(float64(tape.Waste))
	w.Minutes = figure(float64(w.Loads)*t.Load + float64(r.order.wasteSheets(w.Loads, decals))*t.Lift + w.WeedMinutes + float64(len(strips))*t.Tape + parting + float64(decals)*t.Pack)
	w.WeedMinutes, w.TrimLengthMM = figure(w.WeedMinutes), figure(w.TrimLengthMM)
	w.work = production.Work{Decals: decals, Film: out.film, Tape: tape.Length, Minutes: w.Minutes, Packs: s.Packs}
	if s.priced() {
		q, err := s.Rates.Price(w.work)
		if err != nil {
			return w, err
		}
		w.Cost = &q.Cost
	}
	return w, nil
}
