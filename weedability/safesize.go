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
	Scale    float64          `json:"scale"`    // of the design as given; 1 or less: it fits as it is
	Limiting Finding          `json:"limiting"` // what breaks a limit just below that scale, at the design's own size
	ByKind   map[Kind]float64 `json:"by_kind"`  // the least scale as far as each kind goes; kinds that bind nowhere are missing
}

// Precision of SafeSize.Scale, as a share of it.
const safeSizePrecision = 0.001

// maxSafeShrink bounds how far below 1 a safe scale is looked for.
const maxSafeShrink = 1.0 / 64

// SmallestSafeSize returns the least scale at which the design p passes all
// limits, to 0.1 %, and the finding that limits it. Widths grow with the
// scale and areas with its square, so one inspection gives the scale in closed
// form; it is confirmed by inspecting just above and below it, and found
// by bisection where that fails. Points of film (TipSharp) keep
// their angle at any size and are left out. A design that passes at no scale up to 64 times that has
// the largest that was tried. The errors are those of [Inspect].
func SmallestSafeSize(ctx context.Context, p outline.Path, limits Limits, opt Options) (SafeSize, error) {
	return safeSizeUpTo(ctx, p, limits, opt, math.Inf(1))
}

// maxSafeGrowth bounds how far above the closed form a safe scale is looked for: a
// shape whose borders close in on each other in a corner may have none.
const maxSafeGrowth = 64

// safeSizeUpTo is SmallestSafeSize that gives up at a scale above most.
func safeSizeUpTo(ctx context.Context, p outline.Path, limits Limits, opt Options, most float64) (SafeSize, error) {
	opt.OmitWeedLines = true
	in, err := newInspection(ctx, "smallest safe size", p, limits, opt)
	if err != nil {
		return SafeSize{}, err
	}
	if _, err = in.report(); err != nil {
		return SafeSize{}, err
	}
	s, err := in.safeSize()
	if err != nil || s.Scale == 0 {
		return s, err
	}
	closed := s
	passes := func(scale float64) (bool, error) {
		f, err := Inspect(ctx, p.Transform(outline.Scale(scale, scale)), limits, opt)
		return len(curable(f.Findings)) == 0, err
	}
	// A scale at which the shape cannot be inspected, such as one too large, says nothing: the
	// closed form stands.
	give := func(err error) (SafeSize, error) {
		if ctx.Err() != nil {
			return closed, ctx.Err()
		}
		if se := (*ShapeError)(nil); errors.As(err, &se) {
			return closed, nil
		}
		return closed, err
	}
	above, err := passes(s.Scale * (1 + safeSizePrecision/2))
	if err != nil {
		return give(err)
	}
	below, err := passes(s.Scale * (1 - safeSizePrecision/2))
	if err != nil {
		return give(err)
	}
	if above && !below {
		return s, nil
	}
	low, high := s.Scale*(1-safeSizePrecision/2), s.Scale*(1+safeSizePrecision/2)
	// Steps that double: the closed form is seldom far off.
	most = max(s.Scale, min(most, maxSafeGrowth*s.Scale))
	for step := safeSizePrecision; !above && high < most; step *= 2 {
		low, high = high, high*(1+step)
		if above, err = passes(high); err != nil {
			return give(err)
		}
	}
	for step := safeSizePrecision; below && low > maxSafeShrink*s.Scale; step *= 2 {
		high, low = low, low/(1+step)
		if below, err = passes(low); err != nil {
			return give(err)
		}
	}
	if !above { // nor does any scale that was tried
		s.Scale = high
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

// curable returns the findings that a change of size can cure.
func curable(list []Finding) []Finding {
	var out []Finding
	for _, f := range list {
		if f.Kind != TipSharp {
			out = append(out, f)
		}
	}
	return out
}

// safeSize gives the smallest safe scale in closed form. Where nothing is
// found at the design's own size, the limits are doubled until something is.
func (in *inspection) safeSize() (SafeSize, error) {
	findings := curable(in.out.Findings)
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
		findings = curable(wide.out.Findings)
		if anyPiece && piece.SafeScale*factor > 1 {
			piece.SafeScale *= factor
			findings = append(findings, piece)
		}
	}
	s := SafeSize{ByKind: map[Kind]float64{}}
	for _, f := range findings {
		scale := f.SafeScale / factor
		s.ByKind[f.Kind] = math.Max(s.ByKind[f.Kind], scale)
		if scale > s.Scale {
			s.Scale, s.Limiting = scale, f
		}
	}
	if factor > 1 {
		s.Scale = math.Min(s.Scale, 1) // it passes as it is, whatever wider limits see
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
