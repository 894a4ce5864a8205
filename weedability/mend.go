package weedability

import (
	"context"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
)

// mendCycles bounds how often Mend goes through its remedies.
const mendCycles = 40

// Mend applies the remedies: small counters are filled, thin strokes thickened,
// narrow gaps widened, specks joined to their neighbours, sharp points blunted. Where
// they are at odds, since a stroke can only grow at the cost of the gap beside it, it
// tries them together and one by one, again and again, and takes a change only
// where it makes the whole better: fewer, shorter and milder findings of the tier asked
// for. Where that tier's limit is out of reach it tries those of the severer ones, so that what cannot be
// made good is made less bad. A stroke is not thickened, nor a gap widened, at the cost of something beside it that
// would be as bad, and a stretch is thickened in one piece or not at all: half of a stem would show. So Mend never leaves a
// design worse than it was, and applying it twice changes nothing more.
//
// Mended.Left tells what cannot be mended at this size, Mended.Scale how much larger the
// design has to be cut to be rid of it (but for points), and Mended.New what breaks a limit now that did not
// before. Have the customer look at the result. Mend does not modify p. The errors
// are those of [Inspect].
func Mend(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (Mended, error) {
	if err := opt.check(); err != nil {
		return Mended{}, err
	}
	in, err := newInspection(ctx, "mend", p, limits, opt.inspect())
	if err != nil {
		return Mended{}, err
	}
	before, err := in.report()
	if err != nil {
		return Mended{}, err
	}
	all := func(Kind) bool { return true }
	state, report := Mended{Path: p, Changes: []Change{}}, before
	least := trouble(report.Findings, opt.Tier, all)
	// try runs remedies one after the other, up to the limits of a tier, and keeps the result if it is better.
	try := func(list []remedy, tier Severity) (bool, error) {
		o := opt
		o.Tier = tier
		next, at, found := Mended{Changes: slices.Clone(state.Changes)}, in, report
		changed := false
		for _, r := range list {
			m, err := r.applyWithCare(ctx, at, found, limits, o)
			if ctx.Err() != nil {
				return false, ctx.Err()
			}
			if err != nil || len(m.Changes) == 0 {
				continue // it cannot help here, such as where nothing would be left
			}
			at, found, changed = m.in, m.report, true
			next.merge(m.Changes)
		}
		t := trouble(found.Findings, opt.Tier, all)
		if !changed || t > least-leastGain {
			return false, nil
		}
		next.Path = at.path
		state, in, report, least = next, at, found, t
		return true, nil
	}
	for better, cycle := true, 0; better && least > 0 && cycle < mendCycles; cycle++ {
		better = false
		// Where the limit asked for is out of reach, that of a severer tier still makes it milder.
		for tier := opt.Tier; !better && tier <= Refuse; tier++ {
			better, err = try(mendOrder, tier)
			for k := 0; err == nil && !better && k < len(mendOrder); k++ {
				better, err = try(mendOrder[k:k+1], tier)
			}
			if err != nil {
				return Mended{}, err
			}
		}
	}
	state.compare(before.Findings, report.Findings, Kinds(), opt.Tier)
	if state.Scale, err = in.growth(); err != nil {
		return Mended{}, err
	}
	return state, nil
}

// careRuns bounds how often applyWithCare finds more places to leave alone.
const careRuns = 4

// applyWithCare applies a remedy, and where that makes something beside it break a limit as
// badly as what it mends did, applies it again without touching that place.
func (r remedy) applyWithCare(ctx context.Context, in *inspection, found Report, limits Limits, opt RemedyOptions) (applied, error) {
	for run := 0; ; run++ {
		m, err := r.apply(ctx, in, found, limits, opt)
		if err != nil || run == careRuns {
			return m, err
		}
		more := false
		for _, f := range m.New {
			if f.Severity < opt.Tier || slices.Contains(r.kinds, f.Kind) || f.Kind == WasteNeck {
				continue
			}
			// A counter that closes is worse than it looks: it would be filled, and an e be no e.
			w := ward{severity: f.Severity}
			if f.Kind == CounterSmall {
				w.severity = min(w.severity+1, Refuse)
			}
			if slices.ContainsFunc(m.mended, func(g Finding) bool { return g.Severity <= w.severity && near(f, g) }) {
				for _, w.along = range f.Outline {
					opt.wards = append(slices.Clip(opt.wards), w)
				}
				more = true
			}
		}
		if !more {
			return m, nil
		}
	}
}

// near reports whether the places of two findings come within samePlace of each other.
func near(f, g Finding) bool {
	for _, c := range f.Outline {
		for _, d := range g.Outline {
			for _, q := range d.Flatten(nil, 0) {
				if float64(c.Nearest(q).Distance) < samePlace {
					return true
				}
			}
		}
	}
	return false
}
