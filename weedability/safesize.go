package weedability

import (
	"context"
	"errors"
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// SafeSize is the least size at which a design has no finding that a change of
// size can cure.
type SafeSize struct {
	Scale float64 `json:"scale"` // of the design as given, to 0.1 %; 1 or less: it fits as it is
	// Limiting is the place that asks for the largest scale, measured at the design's own
	// size, where it breaks its limit only if Scale is above 1.
	Limiting Finding `json:"limiting"`
}

// Precision of SafeSize.Scale, as a share of it.
const safeSizePrecision = 0.001

// maxSafeShrink bounds how far below 1 a safe scale is looked for.
const maxSafeShrink = 1.0 / 64

// maxSafeGrowth bounds how far above the closed form a safe scale is looked for: a
// shape whose borders close in on each other in a corner may have none.
const maxSafeGrowth = 64

// SmallestSafeSize returns the least scale at which the design p passes all
// limits, to 0.1 %, and the finding that limits it. Widths grow with the
// scale and areas with its square, so one inspection gives the scale in closed
// form; it is confirmed by inspecting just above and below it, and found
// by bisection where that fails: three to twenty inspections in all. Points of film (TipSharp) keep
// their angle at any size and are left out.
//
// The scale is 1/64 for a design that would pass smaller still, and 0 for one that
// passes at no scale up to 64 times the closed form or the extent that [Inspect] takes.
// SmallestSafeSize does not modify p. The errors are those of Inspect; the result beside a
// context's error is the closed form, within some percent.
func SmallestSafeSize(ctx context.Context, p outline.Path, limits Limits, opt Options) (SafeSize, error) {
	in, err := newInspection(ctx, "smallest safe size", p, limits, opt)
	if err != nil {
		return SafeSize{}, err
	}
	if err := in.sized(); err != nil {
		return SafeSize{}, err
	}
	return in.smallestSafeSize(math.Inf(1))
}

// smallestSafeSize is SmallestSafeSize of what has been measured, with scale 0 where it
// would be above most.
func (in *inspection) smallestSafeSize(most float64) (SafeSize, error) {
	s, err := in.safeSize()
	if err != nil {
		return SafeSize{}, err
	}
	if s.Scale > most {
		s.Scale = 0
		return s, nil
	}
	closed := s
	passes := func(scale float64) (bool, error) {
		in, err := newInspection(in.ctx, "smallest safe size", in.path.Transform(outline.Scale(scale, scale)), in.limits, in.opt)
		if err != nil {
			return false, err
		}
		err = in.sized()
		return len(in.out.Findings) == 0, err
	}
	give := func(err error) (SafeSize, error) {
		if in.ctx.Err() != nil {
			return closed, in.ctx.Err()
		}
		if errors.Is(err, ErrTooLarge) {
			closed.Scale = 0
			return closed, nil
		}
		// A small scale at which rounding makes borders cross says nothing: the closed form stands.
		if se := (*ShapeError)(nil); errors.As(err, &se) {
			return closed, nil
		}
		return closed, err
	}
	low, high := s.Scale*(1-safeSizePrecision/2), s.Scale*(1+safeSizePrecision/2)
	above, err := passes(high)
	if err != nil {
		return give(err)
	}
	below, err := passes(low)
	if err != nil {
		return give(err)
	}
	if above && !below {
		return s, nil
	}
	// Steps that double: the closed form is seldom far off.
	most = max(s.Scale, min(most, maxSafeGrowth*s.Scale))
	for step := safeSizePrecision; !above && high < most; step *= 2 {
		low, high = high, high*(1+step)
		if above, err = passes(high); err != nil {
			return give(err)
		}
	}
	for step := safeSizePrecision; below && low > maxSafeShrink; step *= 2 {
		high, low = low, low/(1+step)
		if below, err = passes(low); err != nil {
			return give(err)
		}
	}
	if !above { // nor does any scale that was tried
		s.Scale = 0
		return s, nil
	}
	for high-low > safeSizePrecision/2*high {
		middle := (low + high) / 2
		ok, err := passes(middle)
		if err != nil {
			return give(err)
		}
		if ok {
			high = middle
		} else {
			low = middle
		}
	}
	s.Scale = high
	return s, nil
}

// curable reports whether a finding is one that a change of size can cure.
func curable(f Finding) bool { return f.Kind != TipSharp }

// safeSize gives the smallest safe scale in closed form. Where nothing is
// found at the design's own size, the limits are doubled until something is.
func (in *inspection) safeSize() (SafeSize, error) {
	findings := in.out.Findings
	factor := 1.0
	piece, anyPiece := in.pieceScale()
	for len(findings) == 0 && factor < 1/maxSafeShrink {
		factor *= 2
		wide := &inspection{ctx: in.ctx, path: in.path, limits: in.limits.times(factor), opt: in.opt,
			parents: in.parents, depth: in.depth, inner: in.inner}
		wide.b = in.b.WithCell(wide.cell())
		wide.b.Near(wide.nearest())
		wide.opt.BorderMargin = units.Length(in.borderMargin() * factor)
		wide.thinStrokes()
		if err := in.ctx.Err(); err != nil {
			return SafeSize{}, err
		}
		wide.narrowGaps()
		wide.wasteSheet()
		findings = wide.out.Findings
		for i := range findings {
			f := &findings[i]
			f.Severity, f.Limit = Caution, in.limits.caution(f.Kind)
			f.SafeScale /= factor
		}
		if anyPiece && piece.SafeScale*factor > 1 {
			findings = append(findings, piece)
		}
	}
	var s SafeSize
	for _, f := range findings {
		if f.SafeScale > s.Scale {
			s.Scale, s.Limiting = f.SafeScale, f
		}
	}
	if factor > 1 { // it passes as it is, whatever wider limits see
		s.Scale = max(maxSafeShrink, min(s.Scale, 1))
	}
	return s, nil
}

// pieceScale returns what an island or counter demands most of the scale.
func (in *inspection) pieceScale() (most Finding, ok bool) {
	take := func(f Finding) {
		if f.SafeScale > most.SafeScale {
			most, ok = f, true
		}
	}
	for _, c := range in.out.Counters {
		take(Finding{Kind: CounterSmall, At: c.At, Value: c.Width, Limit: float64(in.limits.CounterWidth.Caution), Unit: "mm",
			Source: in.limits.CounterWidth.Source, Of: c.Of, Number: c.Number, SafeScale: scaleTo(float64(in.limits.CounterWidth.Caution), c.Width+resolution)})
	}
	for _, i := range in.out.Islands {
		take(Finding{Kind: IslandArea, At: i.At, Value: i.Area, Limit: float64(in.limits.IslandArea.Caution), Unit: "mm2",
			Source: in.limits.IslandArea.Source, Of: i.Of, Number: i.Number, SafeScale: math.Sqrt(scaleTo(float64(in.limits.IslandArea.Caution), i.Area))})
		take(Finding{Kind: IslandNarrow, At: i.At, Value: i.Width, Limit: float64(in.limits.IslandWidth.Caution), Unit: "mm",
			Source: in.limits.IslandWidth.Source, Of: i.Of, Number: i.Number, SafeScale: scaleTo(float64(in.limits.IslandWidth.Caution), i.Width+resolution)})
	}
	return most, ok
}

// caution returns the limit of tier caution for findings of a kind, in their unit.
func (l Limits) caution(k Kind) float64 {
	switch k {
	case CounterSmall:
		return float64(l.CounterWidth.Caution)
	case IslandArea:
		return float64(l.IslandArea.Caution)
	case IslandNarrow:
		return float64(l.IslandWidth.Caution)
	case StrokeThin:
		return float64(l.Stroke.Caution)
	case GapNarrow:
		return float64(l.Gap.Caution)
	case TipSharp:
		return float64(l.Tip.Caution)
	}
	return float64(l.WasteNeck.Caution)
}

// times returns the limits for a design drawn k times as large.
func (l Limits) times(k float64) Limits {
	for _, r := range []*Limit{&l.IslandWidth, &l.CounterWidth, &l.Stroke, &l.Gap, &l.WasteNeck} {
		f := units.Length(k)
		r.Refuse, r.Warn, r.Caution = f*r.Refuse, f*r.Warn, f*r.Caution
	}
	f := units.Area(k * k)
	l.IslandArea.Refuse, l.IslandArea.Warn, l.IslandArea.Caution = f*l.IslandArea.Refuse, f*l.IslandArea.Warn, f*l.IslandArea.Caution
	g := units.Length(k)
	l.Tip.Behind, l.Tip.Refuse, l.Tip.Warn, l.Tip.Caution = g*l.Tip.Behind, g*l.Tip.Refuse, g*l.Tip.Warn, g*l.Tip.Caution
	return l
}
