package weedability

import (
	"context"
	"errors"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// RemedyOptions says what a remedy mends. Its zero value mends every finding.
type RemedyOptions struct {
	// Tier is the mildest severity that is mended, and whose limit is then kept:
	// Warn leaves alone what only takes care, and brings the rest to the limit
	// of Warn.
	Tier Severity
	// Describe, Tolerance and BorderMargin are as in [Options].
	Describe     func(origin int32) string
	Tolerance    units.Length
	BorderMargin units.Length

	wards []ward // where bands are not laid
}

func (o RemedyOptions) inspect() Options {
	return Options{Describe: o.Describe, Tolerance: o.Tolerance, BorderMargin: o.BorderMargin, OmitWeedLines: true}
}

func (o RemedyOptions) check() error {
	if int(o.Tier) >= len(severityNames) {
		return &LimitsError{Field: "tier", Value: o.Tier.String(), Cause: ErrOption, Fix: "use Caution, Warn or Refuse"}
	}
	return nil
}

// Mended is a path that a remedy has changed.
type Mended struct {
	Path    outline.Path // welded, at the size of the path that was given
	Changes []Change     // what was done, never nil; empty where nothing had to be
	New     []Finding    // what the path breaks now and did not before
	Left    []Finding    // what the remedy is for and could not mend
	// Scale is how much larger Path has to be cut so that it has no finding of any tier that
	// a change of size can cure, as [SmallestSafeSize] finds it, to 0.1 %: 1 where it has none, 0 where 8
	// times as large would not do.
	Scale float64
}

// applied is a Mended with what the next remedy starts from.
type applied struct {
	Mended
	mended []Finding   // of the remedy's kinds, before
	in     *inspection // of Path
	report Report
}

// Change is one thing that a remedy did.
type Change struct {
	Kind   Kind          // of the finding that it mends
	Done   string        // such as "thickened"
	At     outline.Point // millimetres
	Before float64       // the finding's value, in Unit
	After  float64       // the value brought about; 0 where the thing is gone
	Unit   string        // "mm" or "mm2"
	Of     string        // what it is part of, such as "the A of MARLOW"
}

// surplus is how far beyond a limit a remedy goes, in millimetres, so that
// flattening and rounding don't bring the place below it again.
const surplus = 0.01

// patience is for how many rounds a remedy goes on that gain nothing.
const patience = 2

// width returns the length limit of a tier.
func (l Limit) at(s Severity) float64 {
	switch s {
	case Refuse:
		return float64(l.Refuse)
	case Warn:
		return float64(l.Warn)
	}
	return float64(l.Caution)
}

func (l AreaLimit) at(s Severity) float64 {
	switch s {
	case Refuse:
		return float64(l.Refuse)
	case Warn:
		return float64(l.Warn)
	}
	return float64(l.Caution)
}

// remedy is one kind of repair: round mends what it finds once, and returns the
// changed path and its changes, none where there is nothing left to do.
type remedy struct {
	op    string
	kinds []Kind
	round func(in *inspection, opt RemedyOptions) (outline.Path, []Change, error)
}

// run applies the remedy to a path.
func (r remedy) run(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (Mended, error) {
	if err := opt.check(); err != nil {
		return Mended{}, err
	}
	in, err := newInspection(ctx, r.op, p, limits, opt.inspect())
	if err != nil {
		return Mended{}, err
	}
	found, err := in.report()
	if err != nil {
		return Mended{}, err
	}
	m, err := r.apply(ctx, in, found, limits, opt)
	if err != nil {
		return Mended{}, err
	}
	m.Scale, err = m.in.growth()
	if err != nil {
		return Mended{}, err
	}
	return m.Mended, nil
}

// hopeless is the scale above which nobody cares for it: to try it out takes as
// long as the design becomes large.
const hopeless = 8

// growth returns Mended.Scale of a path that has been inspected.
func (in *inspection) growth() (float64, error) {
	if !slices.ContainsFunc(in.out.Findings, curable) {
		return 1, nil
	}
	size, err := in.smallestSafeSize(hopeless)
	return size.Scale, err
}

// apply runs rounds until nothing changes, and compares what the path breaks
// before and after.
func (r remedy) apply(ctx context.Context, in *inspection, before Report, limits Limits, opt RemedyOptions) (applied, error) {
	m := applied{Mended: Mended{Path: in.path, Changes: []Change{}}, in: in, report: before}
	// A round can make things worse before the next mends them, so that the best state on
	// the way counts. From there the same rounds would follow again and find
	// nothing better: applying twice changes nothing more.
	least := r.trouble(before.Findings, opt.Tier)
	way := m.Mended
	for idle := 0; least > 0 && idle < patience; idle++ {
		in.wards = opt.wards
		changed, changes, err := r.round(in, opt)
		if err != nil {
			return applied{}, r.wrap(err)
		}
		if len(changes) == 0 {
			break
		}
		if len(changed) == 0 {
			return applied{}, &ShapeError{Op: r.op, Contour: -1, Node: -1, Cause: ErrEmpty, Fix: "nothing of the design would be left: cut it larger"}
		}
		next, after, err := r.look(ctx, changed, limits, opt)
		if ctx.Err() != nil {
			return applied{}, ctx.Err()
		}
		if err != nil {
			break // what cannot be inspected is not taken
		}
		in, way.Path = next, next.path
		way.Changes = slices.Clone(way.Changes)
		way.merge(changes)
		if t := r.trouble(after.Findings, opt.Tier); t < least-leastGain {
			m.Mended, m.in, m.report, least, idle = way, next, after, t, -1
		}
	}
	m.compare(before.Findings, m.report.Findings, r.kinds, opt.Tier)
	for _, f := range before.Findings {
		if slices.Contains(r.kinds, f.Kind) && f.Severity >= opt.Tier {
			m.mended = append(m.mended, f)
		}
	}
	return m, nil
}

// look inspects a changed path; a weld of bands can leave edges that cross by a hair,
// which another weld mends.
func (r remedy) look(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (*inspection, Report, error) {
	in, err := newInspection(ctx, r.op, p, limits, opt.inspect())
	if errors.Is(err, ErrNotWelded) {
		var again outline.Path
		if again, err = outline.Weld([]outline.Path{p}, outline.BooleanOptions{Tolerance: opt.Tolerance}); err == nil {
			in, err = newInspection(ctx, r.op, again, limits, opt.inspect())
		}
	}
	if err != nil {
		return nil, Report{}, err
	}
	report, err := in.report()
	return in, report, err
}

// leastGain is the least by which a change has to lower the trouble to be taken.
const leastGain = 0.01

// trouble weighs findings of at least a tier: a severity counts ten times the one
// below it, and a stretch by how many times it is as long as its limit besides.
func trouble(list []Finding, tier Severity, counts func(Kind) bool) float64 {
	weights := [...]float64{Caution: 1, Warn: 10, Refuse: 100}
	sum := 0.0
	for _, f := range list {
		if f.Severity < tier || !counts(f.Kind) {
			continue
		}
		w := weights[f.Severity]
		if f.Kind == StrokeThin || f.Kind == GapNarrow {
			w *= 1 + f.Length/f.Limit
		}
		sum += w
	}
	return sum
}

func (r remedy) trouble(list []Finding, tier Severity) float64 {
	return trouble(list, tier, func(k Kind) bool { return slices.Contains(r.kinds, k) })
}

// wrap makes errors of the geometry typed errors of this package.
func (r remedy) wrap(err error) error {
	var pe *outline.PathError
	if errors.As(err, &pe) {
		return &ShapeError{Op: r.op, Contour: pe.Contour, Node: pe.Node, At: pe.At, Cause: pe.Cause, Fix: pe.Fix}
	}
	return err
}

// merge adds changes; one at the place of an earlier one continues it.
func (m *Mended) merge(changes []Change) {
next:
	for _, c := range changes {
		for i := range m.Changes {
			if d := &m.Changes[i]; d.Kind == c.Kind && d.Done == c.Done && d.At.Distance(c.At) < samePlace {
				d.After = c.After
				continue next
			}
		}
		m.Changes = append(m.Changes, c)
	}
}

// samePlace is the distance in millimetres within which findings of one kind
// before and after a change are the same one.
const samePlace = 3

// compare fills in what is new and what is left.
func (m *Mended) compare(before, after []Finding, kinds []Kind, tier Severity) {
	for _, f := range after {
		for _, k := range kinds {
			if f.Kind == k && f.Severity >= tier {
				m.Left = append(m.Left, f)
			}
		}
		known := false
		for _, g := range before {
			known = known || f.Kind == g.Kind && f.Severity <= g.Severity && f.At.Distance(g.At) < samePlace
		}
		if !known {
			m.New = append(m.New, f)
		}
	}
}

// The remedies.
var (
	thicken      = remedy{"thicken", []Kind{StrokeThin}, thickenRound}
	widenGaps    = remedy{"widen gaps", []Kind{GapNarrow}, widenRound}
	fillCounters = remedy{"fill counters", []Kind{CounterSmall}, fillRound}
	dropSpecks   = remedy{"drop specks", []Kind{IslandArea}, dropRound}
	bridge       = remedy{"bridge", []Kind{IslandArea}, bridgeRound}
	bluntTips    = remedy{"blunt tips", []Kind{TipSharp}, bluntRound}
	// mendOrder is that of Mend.
	mendOrder = []remedy{fillCounters, thicken, widenGaps, bridge, bluntTips}
)

// Thicken makes film that is thinner than the stroke limit as thick as it, only
// there: every thin stretch is welded with a band along its centre line, up to the
// stroke's end and cut off square there. Gaps and counters beside it get narrower, which
// Mended.New tells where it breaks a limit. Thicken does not modify p, and does
// nothing more when it is applied again. The errors are those of [Inspect].
func Thicken(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (Mended, error) {
	return thicken.run(ctx, p, limits, opt)
}

// WidenGaps makes waste that is narrower than the gap limit as wide as it, by
// taking a band along the gap's centre line from the film beside it. Strokes beside
// it get thinner, which Mended.New tells where it breaks a limit. WidenGaps
// does not modify p, and does nothing more when it is applied again. The errors are
// those of [Inspect].
func WidenGaps(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (Mended, error) {
	return widenGaps.run(ctx, p, limits, opt)
}

// FillCounters fills the counters that are narrower than the counter limit, with
// whatever islands lie in them. FillCounters does not modify p. The errors are those
// of [Inspect].
func FillCounters(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (Mended, error) {
	return fillCounters.run(ctx, p, limits, opt)
}

// DropSpecks removes the islands whose area is below the island limit, with
// their counters and what lies in those. It does not modify p. Where nothing else
// is left the error is a [*ShapeError] that wraps [ErrEmpty]; the others are those of [Inspect].
func DropSpecks(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (Mended, error) {
	return dropSpecks.run(ctx, p, limits, opt)
}

// Bridge joins the islands whose area is below the island limit to their
// nearest neighbour by a bar as wide as the stroke limit. It does not modify p. A
// speck that has no neighbour stays, in Mended.Left. The errors are those of [Inspect].
func Bridge(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (Mended, error) {
	return bridge.run(ctx, p, limits, opt)
}

// BluntTips cuts points of film that lift back to where the film is as wide as
// the stroke limit, and rounds their ends. It does not modify p. A point that
// is nowhere as wide stays, in Mended.Left. The errors are those of [Inspect].
func BluntTips(ctx context.Context, p outline.Path, limits Limits, opt RemedyOptions) (Mended, error) {
	return bluntTips.run(ctx, p, limits, opt)
}
