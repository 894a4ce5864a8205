package weedability

import (
	"context"

	"github.com/vinylgeom/vinyl/outline"
)

// mendCycles bounds how often Mend goes through its remedies.
const mendCycles = 12

// Mend applies the remedies: small counters are filled, thin strokes thickened,
// narrow gaps widened, specks joined to their neighbours, sharp points blunted. Where
// they are at odds, since a stroke can only grow at the cost of the gap beside it, it
// tries them together and one by one, again and again, and takes a change only
// where it makes the whole better: fewer, shorter and milder findings of the tier asked
// for. So it never leaves a design worse than it was, and applying it twice changes
// nothing more.
//
// Mended.Left tells what cannot be mended at this size, Mended.Scale how much larger the
// design has to be cut to be rid of it, and Mended.New what breaks a limit now that did not
// before. Have the customer look at the result. Mend does not modify p. The errors
// are those of [Inspect].
func Mend(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (Mended, error) {
	if err := opt.check(); err != nil {
		return Mended{}, err
	}
	before, err := Inspect(ctx, p, limits, opt.inspect())
	if err != nil {
		return Mended{}, err
	}
	all := func(Kind) bool { return true }
	state, report := Mended{Path: p, Changes: []Change{}}, before
	least := trouble(report.Findings, opt.Tier, all)
	// try runs remedies one after the other and keeps the result if it is better.
	try := func(list []remedy) (bool, error) {
		next := Mended{Path: state.Path, Changes: append([]Change{}, state.Changes...)}
		changed := false
		for _, r := range list {
			m, err := r.apply(ctx, next.Path, limits, opt)
			if ctx.Err() != nil {
				return false, ctx.Err()
			}
			if err != nil {
				continue // it cannot help here, such as where nothing would be left
			}
			next.Path, changed = m.Path, changed || len(m.Changes) > 0
			next.merge(m.Changes)
		}
		if !changed {
			return false, nil
		}
		after, err := Inspect(ctx, next.Path, limits, opt.inspect())
		if err != nil {
			return false, ctx.Err()
		}
		t := trouble(after.Findings, opt.Tier, all)
		if t > least-leastGain {
			return false, nil
		}
		state, report, least = next, after, t
		return true, nil
	}
	for better, cycle := true, 0; better && least > 0 && cycle < mendCycles; cycle++ {
		better, err = try(mendOrder)
		for k := 0; err == nil && !better && k < len(mendOrder); k++ {
			better, err = try(mendOrder[k : k+1])
		}
		if err != nil {
			return Mended{}, err
		}
	}
	state.compare(before.Findings, report.Findings, Kinds(), opt.Tier)
	state.Scale = report.SmallestSafeScale
	return state, nil
}
