package outline

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/vinylgeom/vinyl/units"
)

// BendOptions control [Bend]. The zero value keeps to [DefaultTolerance] and
// refuses folds.
type BendOptions struct {
	// Tolerance bounds the distance between the result and the exact image, both
	// ways; zero means DefaultTolerance.
	Tolerance units.Length
	// AllowFolds bends even where the warp turns part of the shape inside out;
	// Report.Folds tells where. Weld the result.
	AllowFolds bool
	// Report, if not nil, is filled in.
	Report *BendReport
}

// BendReport tells what a bend did.
type BendReport struct {
	NodesBefore, NodesAfter int
	Deviation               units.Length // the largest that was measured
	Mirrored                bool         // the warp mirrors: contours were run backwards to keep their sense
	Folds                   []Fold       // filled with AllowFolds
}

// Fold is a place where a warp turns over.
type Fold struct {
	Contour, Segment int   // -1 for a place inside the shape
	Source           Point // before bending
	Image            Point // after bending
	U, V             float64
}

// maxFolds bounds the folds that a report lists.
const maxFolds = 100

// BendError tells where a path can't be bent.
type BendError struct {
	Fold
	Cause error
	Fix   string
}

func (e *BendError) Error() string {
	s := "outline: bend"
	if e.Contour >= 0 {
		s += fmt.Sprintf(": contour %d, segment %d", e.Contour, e.Segment)
	}
	return s + fmt.Sprintf(", at (%.3f, %.3f) mm, bent to (%.3f, %.3f) mm: %v; %s",
		e.Source.X, e.Source.Y, e.Image.X, e.Image.Y, e.Cause, e.Fix)
}

// Unwrap returns the cause.
func (e *BendError) Unwrap() error { return e.Cause }

const (
	fixFold   = "run both boundary curves from left to right, keep them from crossing, and keep bends wider than the letters are high; or set AllowFolds"
	fixFinite = "use a warp that is finite all over the shape"
	fixRough  = "use a warp without gaps, or name its kinks with Creases"
	fixFlat   = "keep the boundary curves apart"
)

// Bend returns the image of p under w: from is the box, in p's coordinates, that
// fills the warp's field from (0, 0) to (1, 1). The result stays within
// opt.Tolerance of the exact image, as far as float64 can hold it. Segments are cut only where one curve can't
// follow; straight ones stay straight where their image is, and segments whose
// image is an affine one keep their kind. Nodes shared by neighbours stay
// shared, origins are kept, and outer contours keep their sense even if w
// mirrors. Bend does not modify p.
//
// Errors: a [*PathError] for p, an [*OptionError] for from or opt, and a
// [*BendError] where w folds (see BendOptions.AllowFolds), flattens, tears or
// leaves the finite numbers.
func Bend(p Path, from Box, w Warp, opt BendOptions) (Path, error) {
	if err := p.check("bend"); err != nil {
		return nil, err
	}
	b, err := newBender(from, w, opt)
	if err != nil {
		return nil, err
	}
	if err := b.survey(p.Bounds(), p.Contains); err != nil {
		return nil, err
	}
	out := make(Path, len(p))
	for i, c := range p {
		bent, err := b.bend(i, Curve(c))
		if err != nil {
			return nil, err
		}
		out[i] = Contour(bent)
		if b.report.Mirrored {
			out[i] = out[i].Reversed()
		}
	}
	b.finish(p.Nodes(), out.Nodes(), opt)
	return out, nil
}

// BendCurve returns the image of an open curve under w; see [Bend]. The error for c
// is a [*CurveError].
func BendCurve(c Curve, from Box, w Warp, opt BendOptions) (Curve, error) {
	if !c.Start.IsFinite() || slices.ContainsFunc(c.Segments, func(s Segment) bool { return !s.isFinite() }) {
		return Curve{}, checkCurve("bend", "bent", c)
	}
	b, err := newBender(from, w, opt)
	if err != nil {
		return Curve{}, err
	}
	// A curve has no inside: its own samples tell whether the warp turns over.
	if err := b.survey(c.Bounds(), func(Point) bool { return false }); err != nil {
		return Curve{}, err
	}
	out, err := b.bend(0, c)
	if err != nil {
		return Curve{}, err
	}
	b.finish(len(c.Segments), len(out.Segments), opt)
	return out, nil
}

func (b *bender) finish(before, after int, opt BendOptions) {
	if opt.Report != nil {
		b.report.NodesBefore, b.report.NodesAfter = before, after
		*opt.Report = b.report
	}
}

// bender holds what one call of Bend needs.
type bender struct {
	jet        func(u, v float64) (p, du, dv Point)
	steps      func(u0, u1 float64) int
	origin     Point   // of the box
	kx, ky     float64 // u and v per millimetre
	seams      []float64
	creases    []float64
	tolerance  float64
	allowFolds bool
	sense      float64 // +1, or -1 for a warp that mirrors
	contour    int
	segment    int
	piece      piece
	out        []Segment
	report     BendReport
}

func newBender(from Box, w Warp, opt BendOptions) (*bender, error) {
	if w == nil {
		return nil, &OptionError{"bend", "warp", "nil", "make one with Between or another constructor"}
	}
	if err := checkBox("bend", from); err != nil {
		return nil, err
	}
	if err := checkTolerance("bend", opt.Tolerance); err != nil {
		return nil, err
	}
	b := &bender{
		origin: from.Min, kx: 1 / from.Width(), ky: 1 / from.Height(),
		tolerance: float64(orDefault(opt.Tolerance)), allowFolds: opt.AllowFolds, sense: 1,
	}
	b.jet = func(u, v float64) (p, du, dv Point) {
		du, dv = w.Derivatives(u, v)
		return w.Map(u, v), du, dv
	}
	if j, ok := w.(interface {
		jet(u, v float64) (p, du, dv Point)
	}); ok {
		b.jet = j.jet
	}
	b.steps = func(u0, u1 float64) int { return int(math.Min((u1-u0)*fieldSteps, math.MaxInt32)) }
	if s, ok := w.(interface{ steps(u0, u1 float64) int }); ok {
		b.steps = s.steps
	}
	if c, ok := w.(Creased); ok {
		b.creases = c.Creases()
		b.seams = b.creases
	}
	if s, ok := w.(interface{ bends() []float64 }); ok {
		b.seams = s.bends()
	}
	return b, nil
}

const (
	// fieldSteps is into how many simple steps the width of a warp of unknown
	// make is divided.
	fieldSteps = 64
	// maxSteps is over how many simple steps of a warp one cubic may run, so that
	// its nine samples can't miss a wave.
	maxSteps = 24
	// surveyColumns and surveyRows are where the inside of a shape is looked over
	// for folds.
	surveyColumns, surveyRows = 33, 3
	// foldSlack is the share of its largest possible value below which a
	// Jacobian is rounding and has no sign.
	foldSlack = 1e-9
)

func (b *bender) uv(q Point) (u, v float64) {
	return (q.X - b.origin.X) * b.kx, (q.Y - b.origin.Y) * b.ky
}

// turnSign returns the sign of the Jacobian, 0 where it vanishes.
func turnSign(du, dv Point) float64 {
	det := du.Cross(dv)
	if !(math.Abs(det) > foldSlack*(math.Abs(du.X)+math.Abs(du.Y))*(math.Abs(dv.X)+math.Abs(dv.Y))) {
		return 0
	}
	return math.Copysign(1, det)
}

// survey looks over the whole box of the shape: which sense the warp has, and
// whether it turns over where the shape has an inside.
func (b *bender) survey(box Box, inside func(Point) bool) error {
	if box.IsEmpty() {
		return nil
	}
	var turned [2][]Fold
	for row := range surveyRows {
		for column := range surveyColumns {
			q := Point{
				box.Min.X + box.Width()*float64(column)/(surveyColumns-1),
				box.Min.Y + box.Height()*float64(row)/(surveyRows-1),
			}
			u, v := b.uv(q)
			p, du, dv := b.jet(u, v)
			here := Fold{-1, -1, q, p, u, v}
			if !p.IsFinite() || !du.IsFinite() || !dv.IsFinite() {
				return &BendError{here, ErrNotFinite, fixFinite}
			}
			switch turnSign(du, dv) {
			case 1:
				turned[0] = append(turned[0], here)
			case -1:
				turned[1] = append(turned[1], here)
			}
		}
	}
	rare := turned[1]
	if len(turned[1]) > len(turned[0]) {
		b.sense, b.report.Mirrored, rare = -1, true, turned[0]
	}
	if len(turned[0])+len(turned[1]) == 0 {
		p, _, _ := b.jet(b.uv(box.Min))
		return &BendError{Fold{-1, -1, box.Min, p, 0, 0}, ErrTooFewPoints, fixFlat}
	}
	for _, f := range rare {
		if !inside(f.Source) {
			continue
		}
		if err := b.fold(f); err != nil {
			return err
		}
	}
	return nil
}

func (b *bender) fold(f Fold) error {
	if !b.allowFolds {
		return &BendError{f, ErrFolded, fixFold}
	}
	// A piece that is halved meets its fold again.
	if len(b.report.Folds) < maxFolds && !slices.Contains(b.report.Folds, f) {
		b.report.Folds = append(b.report.Folds, f)
	}
	return nil
}

// knot is an end of a piece of the segment being bent.
type knot struct {
	t float64
	p Point // the image
}

// bend returns the image of one run of segments.
func (b *bender) bend(contour int, c Curve) (Curve, error) {
	b.contour = contour
	b.out = make([]Segment, 0, len(c.Segments)*5/4+1)
	start, err := b.node(c.Start)
	if err != nil {
		return Curve{}, err
	}
	at, p := c.Start, start
	for i := range c.Segments {
		b.segment = i
		s := &c.Segments[i]
		end := start
		if i < len(c.Segments)-1 || s.End != c.Start {
			if end, err = b.node(s.End); err != nil {
				return Curve{}, err
			}
		}
		if err := b.bendSegment(at, s, p, end); err != nil {
			return Curve{}, err
		}
		at, p = s.End, end
	}
	return Curve{start, slices.Clip(b.out)}, nil
}

// node maps a node of the source.
func (b *bender) node(q Point) (Point, error) {
	u, v := b.uv(q)
	p, _, _ := b.jet(u, v)
	if !p.IsFinite() {
		return p, &BendError{Fold{b.contour, b.segment, q, p, u, v}, ErrNotFinite, fixFinite}
	}
	return p, nil
}

// bendSegment appends the image of one segment, which runs from p to end.
func (b *bender) bendSegment(start Point, s *Segment, p, end Point) error {
	piece := &b.piece
	piece.set(b, start, s)
	from := knot{0, p}
	for _, t := range piece.cuts() {
		to, err := piece.knot(t)
		if err != nil {
			return err
		}
		if err := piece.run(from, to, 0); err != nil {
			return err
		}
		from = to
	}
	return piece.run(from, knot{1, end}, 0)
}

// strictlyBetween returns those of the sorted values that lie strictly between u0 and
// u1.
func strictlyBetween(values []float64, u0, u1 float64) []float64 {
	i := sort.SearchFloat64s(values, u0)
	for i < len(values) && values[i] <= u0 {
		i++
	}
	j := i
	for j < len(values) && values[j] < u1 {
		j++
	}
	return values[i:j]
}
