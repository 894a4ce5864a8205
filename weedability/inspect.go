package weedability

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability/internal/boundary"
)

// Options says how to inspect. Its zero value is the usual.
type Options struct {
	// Describe names what segments of an origin come from, for Finding.Of; nil
	// leaves it empty. It is called from several goroutines at once.
	Describe func(origin int32) string
	// Tolerance bounds how far the chords that are searched lie from the curves;
	// zero is 0.02 mm, and 0.0002 to 1 mm is taken. What is found is measured to the curves themselves, which
	// leaves a fraction of that.
	Tolerance units.Length
	// BorderMargin is the distance of the weed border from the decal's box; zero
	// is 6.4 mm. It must not be below the limits' waste neck.
	BorderMargin units.Length
	// Effort is the model of the minutes of weeding; zero is [DefaultEffort].
	Effort Effort
	// OmitWeedLines leaves Report.WeedLines empty, for callers that have no use for them
	// or ask [WeedLines] with options of their own.
	OmitWeedLines bool
}

// check returns a *LimitsError where an option has no sensible value.
func (opt Options) check(limits Limits) error {
	if opt.Tolerance != 0 && !(opt.Tolerance >= finestTolerance && opt.Tolerance <= coarsestTolerance) {
		return &LimitsError{Field: "tolerance", Value: opt.Tolerance.String(), Cause: ErrOption,
			Fix: fmt.Sprintf("give a tolerance of zero (the default) or %v to %v", finestTolerance, coarsestTolerance)}
	}
	if opt.BorderMargin != 0 && !(opt.BorderMargin >= limits.WasteNeck.Caution && opt.BorderMargin <= extent) {
		return &LimitsError{Field: "border_margin", Value: opt.BorderMargin.String(), Cause: ErrOption,
			Fix: fmt.Sprintf("keep the weed border at least %v from the decal, as wide as waste has to be to peel, and within 100 m", limits.WasteNeck.Caution)}
	}
	if m := opt.Effort.Minutes(Work{PerimeterMM: 1, Picks: 1, SmallIslands: 1, Necks: 1}); math.IsNaN(m) || math.IsInf(m, 0) {
		return &LimitsError{Field: "effort", Value: fmt.Sprint(opt.Effort), Cause: ErrOption, Fix: "give finite seconds, or leave it out for DefaultEffort"}
	}
	return nil
}

// extent bounds coordinates, in millimetres: 100 m, beyond any roll of film.
const extent = 1e5

// maxNodes bounds the nodes of a design, far above what a knife is ever given.
const maxNodes = 4 << 20

// maxSamples bounds the places at which a border is measured: limits that ask for more are finer
// than the design is large by a factor that only a wrong unit explains.
const maxSamples = 1 << 25

// Inspect reports what weeding the welded path p, at its final size, will take,
// and what in it breaks the film's limits. It does not modify p and is safe for
// concurrent use, as far as opt.Describe is.
//
// The error is a [*ShapeError] where p is empty, open, not finite or not
// welded, a [*LimitsError] where a limit is not above zero, or ctx.Err().
func Inspect(ctx context.Context, p outline.Path, limits Limits, opt Options) (Report, error) {
	in, err := newInspection(ctx, "inspect", p, limits, opt)
	if err != nil {
		return Report{}, err
	}
	return in.report()
}

// defaultTolerance is Options.Tolerance where it is zero, finestTolerance the one at
// which curves that still cross are taken to do so, coarsestTolerance far beyond what measures any film.
const (
	defaultTolerance  units.Length = 0.02
	finestTolerance   units.Length = 0.0002
	coarsestTolerance units.Length = 1
)

// inspection is the state of one inspection.
type inspection struct {
	ctx     context.Context
	path    outline.Path
	limits  Limits
	opt     Options
	b       *boundary.Boundary
	parents []int
	depth   []int
	inner   [][]int // children of every ring
	out     Report

	// What was measured, for the waste sheet and the remedies.
	tipsOfFilm    []tip
	strokes, gaps []stretch
	strokeSamples []sample
	gapSamples    []sample
	wards         []ward // where remedies leave things alone
}

// checkShape returns a *ShapeError where p is not a set of finite closed contours.
func checkShape(op string, p outline.Path, opt Options) error {
	fail := func(contour, node int, at outline.Point, cause error, fix string) error {
		e := &ShapeError{Op: op, Contour: contour, Node: node, At: at, Cause: cause, Fix: fix}
		if contour >= 0 && node >= 0 && opt.Describe != nil && node < len(p[contour].Segments) {
			e.Of = opt.Describe(p[contour].Segments[node].Origin)
		}
		return e
	}
	if len(p) == 0 {
		return fail(-1, -1, outline.Point{}, ErrEmpty, "give a design with at least one closed contour")
	}
	if p.Nodes() > maxNodes {
		return fail(-1, -1, outline.Point{}, ErrTooLarge, "simplify the design")
	}
	good := func(q outline.Point) bool { return math.Abs(q.X) <= extent && math.Abs(q.Y) <= extent } // false for NaN
	for i, c := range p {
		at := c.Start
		if !good(at) {
			return fail(i, 0, at, cause(at), "keep every coordinate finite and within 100 m of the origin")
		}
		for j, s := range c.Segments {
			for _, q := range [...]outline.Point{s.C1, s.C2, s.End} {
				if !good(q) {
					return fail(i, j, q, cause(q), "keep every coordinate finite and within 100 m of the origin")
				}
			}
			at = s.End
		}
		if at != c.Start {
			return fail(i, len(c.Segments)-1, at, ErrNotClosed, "end the contour at its start, or close it with Curve.Closed")
		}
	}
	return nil
}

func cause(q outline.Point) error {
	if q.IsFinite() {
		return ErrTooLarge
	}
	return ErrNotFinite
}

func newInspection(ctx context.Context, op string, p outline.Path, limits Limits, opt Options) (*inspection, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if err := limits.Check(); err != nil {
		return nil, err
	}
	if err := opt.check(limits); err != nil {
		return nil, err
	}
	if err := checkShape(op, p, opt); err != nil {
		return nil, err
	}
	in := &inspection{ctx: ctx, path: p, limits: limits, opt: opt}
	tolerance := opt.Tolerance
	if tolerance == 0 {
		tolerance = defaultTolerance
	}
	for {
		in.b = boundary.New(p, tolerance, in.cell())
		c, crossed := in.b.Crossing()
		if !crossed {
			break
		}
		// Chords of curves that nearly touch can cross where the curves do not.
		if tolerance <= finestTolerance {
			return nil, in.notWelded(op, c.First, c.At, "it crosses contour %d", in.b.Edges[c.Second].Contour)
		}
		tolerance = max(tolerance/8, finestTolerance)
	}
	length := 0.0
	for i := range in.b.Rings {
		length += in.b.Rings[i].Length
	}
	if finest := float64(min(limits.Stroke.Caution, max(limits.Gap.Caution, limits.WasteNeck.Caution))); length > maxSamples*spacingShare*finest {
		return nil, &ShapeError{Op: op, Contour: -1, Node: -1, Cause: ErrTooLarge,
			Fix: fmt.Sprintf("%.3g m of border cannot be measured for widths of %.3g mm: give limits that a knife can cut", length/1000, finest)}
	}
	if err := in.nest(op); err != nil {
		return nil, err
	}
	return in, nil
}

// cell returns the side of a grid cell that suits the balls of the limits.
func (in *inspection) cell() float64 {
	return float64(max(in.limits.Stroke.Caution, in.limits.Gap.Caution, in.limits.WasteNeck.Caution)) / 2
}

// nearest returns the radius of the largest ball that is asked for.
func (in *inspection) nearest() float64 {
	return float64(max(in.limits.Stroke.Caution, in.limits.Gap.Caution, in.limits.WasteNeck.Caution)) / 2
}

// notWelded returns the error that names an edge's contour.
func (in *inspection) notWelded(op string, e int32, at outline.Point, format string, args ...any) error {
	edge := &in.b.Edges[e]
	return &ShapeError{Op: op, Contour: int(edge.Contour), Node: int(edge.Segment), At: at, Of: in.of(e),
		Cause: fmt.Errorf("%w: "+format, append([]any{ErrNotWelded}, args...)...), Fix: "weld the design first (outline.Weld)"}
}

// nest checks the contours' directions and fills the containment tree.
func (in *inspection) nest(op string) error {
	in.parents = in.b.Parents()
	n := len(in.parents)
	in.depth, in.inner = make([]int, n), make([][]int, n)
	empty := true
	for i := range in.b.Rings {
		r := &in.b.Rings[i]
		if r.First == r.End {
			continue
		}
		empty = empty && r.Area == 0
		for k := in.parents[i]; k >= 0; k = in.parents[k] {
			in.depth[i]++
		}
		if k := in.parents[i]; k >= 0 {
			in.inner[k] = append(in.inner[k], i)
		}
		if outer := in.depth[i]%2 == 0; r.Area != 0 && outer != (r.Area > 0) {
			at := in.b.Edges[r.First].A
			if outer {
				return in.notWelded(op, r.First, at, "it runs clockwise, as a hole does, but lies in no film")
			}
			return in.notWelded(op, r.First, at, "it runs counter-clockwise inside contour %d, which is film already", in.parents[i])
		}
	}
	if empty {
		return &ShapeError{Op: op, Contour: -1, Node: -1, Cause: ErrEmpty, Fix: "give a design with at least one closed contour that encloses area"}
	}
	return nil
}

// origin returns what an edge's segment comes from, 0 for one that closes a contour.
func (in *inspection) origin(e int32) int32 {
	edge := &in.b.Edges[e]
	segments := in.path[edge.Contour].Segments
	if int(edge.Segment) >= len(segments) {
		return 0
	}
	return segments[edge.Segment].Origin
}

// of names what an edge is part of.
func (in *inspection) of(e int32) string {
	if in.opt.Describe == nil || int(in.b.Edges[e].Segment) >= len(in.path[in.b.Edges[e].Contour].Segments) {
		return ""
	}
	return in.opt.Describe(in.origin(e))
}

func (in *inspection) report() (Report, error) {
	in.out = Report{Film: in.limits.Name, Counters: []Counter{}, Islands: []Island{}, Findings: []Finding{}}
	if err := in.sized(); err != nil {
		return Report{}, err
	}
	in.sharpTips(in.tipsOfFilm)
	in.out.Pull = in.pull()
	in.walkPicks(in.out.Pull.From)
	in.sortFindings()
	in.label()
	in.out.Work = in.work()
	in.out.WeedMinutes = in.effort().Minutes(in.out.Work)
	in.out.WeedLines = []WeedLine{}
	if !in.opt.OmitWeedLines {
		lines, err := in.weedLines(WeedLineOptions{})
		if err != nil {
			return Report{}, err
		}
		in.out.WeedLines = lines
	}
	return in.out, nil
}

// sized finds all that a change of size can cure.
func (in *inspection) sized() error {
	in.measure()
	if err := in.ctx.Err(); err != nil {
		return err
	}
	in.wasteSheet()
	return in.ctx.Err()
}

// measure finds pieces, thin strokes and narrow gaps, which do not depend on
// one another, side by side. Findings come in that order, whoever is first.
func (in *inspection) measure() {
	in.b.Near(in.nearest())
	pieces, strokes, gaps := *in, *in, *in
	var wg sync.WaitGroup
	wg.Go(pieces.pieces)
	wg.Go(strokes.thinStrokes)
	gaps.narrowGaps()
	wg.Wait()
	in.out.Counters, in.out.Islands = pieces.out.Counters, pieces.out.Islands
	in.out.Findings = slices.Concat([]Finding{}, pieces.out.Findings, strokes.out.Findings, gaps.out.Findings)
	in.tipsOfFilm, in.strokes, in.strokeSamples = strokes.tipsOfFilm, strokes.strokes, strokes.strokeSamples
	in.gaps, in.gapSamples = gaps.gaps, gaps.gapSamples
}

// sortFindings puts the severest first; within a severity by kind, then from the top
// down and left to right, so that the order does not depend on the contours'.
func (in *inspection) sortFindings() {
	slices.SortStableFunc(in.out.Findings, func(f, g Finding) int {
		return cmp.Or(cmp.Compare(g.Severity, f.Severity), cmp.Compare(f.Kind, g.Kind),
			cmp.Compare(g.At.Y, f.At.Y), cmp.Compare(f.At.X, g.At.X))
	})
}
