package weedability

import (
	"context"

	"github.com/vinylgeom/vinyl/outline"
)

// Mend applies the remedies one after the other: small counters are filled,
// thin strokes thickened, narrow gaps widened, specks joined to their
// neighbours, sharp points blunted. A later remedy can undo something of an
// earlier one; New and Left, taken between p and the result, tell what is not in
// order at the end. Have the customer look at the result. Mend does not modify p.
func Mend(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (Mended, error) {
	before, err := Inspect(ctx, p, limits, opt.inspect())
	if err != nil {
		return Mended{}, err
	}
	all := Mended{Path: p, Changes: []Change{}}
	for _, apply := range []func(context.Context, outline.Path, Limits, RemedyOptions) (Mended, error){
		FillCounters, Thicken, WidenGaps, Bridge, BluntTips,
	} {
		m, err := apply(ctx, all.Path, limits, opt)
		if err != nil {
			return Mended{}, err
		}
		all.Path, all.Changes = m.Path, append(all.Changes, m.Changes...)
	}
	after, err := Inspect(ctx, all.Path, limits, opt.inspect())
	if err != nil {
		return Mended{}, err
	}
	all.compare(before.Findings, after.Findings, Kinds(), opt.Tier)
	return all, nil
}
