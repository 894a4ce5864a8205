package cutpath

import (
	"context"
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
)

// outsideSlack is how far, in millimetres, a cut may pass the film's edge by
// rounding.
const outsideSlack = 1e-6

// Plan orders everything on the sheet for cutting: the test piece, the decals,
// marks, weed lines, the weed border and the trim lines, the one that reaches
// furthest along the film last. Contours inside others come before them.
//
// The sheet is not modified; strokes that begin as drawn share its segments.
// Where ctx ends first, the best plan so far comes together with ctx.Err().
// Other errors are an *[Error]: [ErrTooLarge] beyond [MaxStrokes] or [MaxNodes],
// [ErrInvalidOption], [ErrEmpty], or what is wrong with a stroke.
func Plan(ctx context.Context, sheet layout.Sheet, opt Options) (Job, error) {
	if err := opt.check(); err != nil {
		return Job{}, err
	}
	phases, err := gather(sheet, opt)
	if err != nil {
		return Job{}, err
	}
	job := Job{Name: sheet.Name, Film: sheet.Film, Length: sheet.Length, Home: opt.Home, Return: opt.Return, grouping: opt.Grouping}
	job.Strokes, job.places, err = orderStrokes(ctx, phases, opt)
	return job, err
}

func (o Options) check() error {
	switch {
	case o.Grouping > Free:
		return optionError("plan", fmt.Sprintf("Grouping is %d", o.Grouping), "use ByDecal or Free")
	case o.Start > StartAsDrawn:
		return optionError("plan", fmt.Sprintf("Start is %d", o.Start), "use StartQuiet, StartNearest or StartAsDrawn")
	case o.Direction > Clockwise:
		return optionError("plan", fmt.Sprintf("Direction is %d", o.Direction), "use AsDrawn, CounterClockwise or Clockwise")
	case !(o.Window >= 0) || !o.Window.IsFinite():
		return optionError("plan", fmt.Sprintf("Window is %v", o.Window), "give zero for no bound, or a length")
	case !(math.Abs(o.Home.X) <= MaxCoordinate && math.Abs(o.Home.Y) <= MaxCoordinate):
		return optionError("plan", fmt.Sprintf("Home is (%g, %g) mm", o.Home.X, o.Home.Y), "give a place on the film")
	case o.Budget < 0:
		return optionError("plan", fmt.Sprintf("Budget is %v", o.Budget), "give zero or more")
	}
	return nil
}

// phase is a set of strokes that are cut together; phases keep their order.
type phase struct {
	role    Role
	strokes []Stroke
	fixed   bool // in the order given
}

// checkSheetSize counts what is to be cut, before anything is made of it.
func checkSheetSize(sheet layout.Sheet) error {
	strokes, nodes := len(sheet.WeedBorder), sheet.WeedBorder.Nodes()
	for _, d := range sheet.Decals {
		strokes += len(d.Path)
		nodes += d.Path.Nodes()
	}
	for _, curves := range [][]outline.Curve{sheet.WeedLines, sheet.TrimLines, sheet.Marks} {
		strokes += len(curves)
		for _, c := range curves {
			nodes += len(c.Segments)
		}
	}
	return checkSize("plan", sheet.Name, strokes, nodes)
}

// gather checks the sheet and sorts its strokes into phases.
func gather(sheet layout.Sheet, opt Options) ([]phase, error) {
	if err := checkSheetSize(sheet); err != nil {
		return nil, err
	}
	piece, err := opt.TestPiece.placed(sheet)
	if err != nil {
		return nil, err
	}
	test, err := piece.strokes()
	if err != nil {
		return nil, err
	}
	decals := make([]Stroke, 0, 16*len(sheet.Decals))
	for i, d := range sheet.Decals {
		colour := d.Colour
		if colour == "" {
			colour = sheet.Film.Colour
		}
		for j, c := range d.Path {
			decals = append(decals, Stroke{Role: Decal, Decal: i, ID: d.ID, Design: d.Design, Colour: colour, Contour: j, Curve: c.Curve(), Closed: true})
		}
	}
	lines := func(role Role, curves []outline.Curve) []Stroke {
		out := make([]Stroke, 0, len(curves))
		for i, c := range curves {
			out = append(out, Stroke{Role: role, Decal: NoDecal, Colour: sheet.Film.Colour, Contour: i, Curve: c, Closed: len(c.Segments) > 0 && c.End() == c.Start})
		}
		return out
	}
	border := make([]Stroke, 0, len(sheet.WeedBorder))
	for i, c := range sheet.WeedBorder {
		border = append(border, Stroke{Role: WeedBorder, Decal: NoDecal, Colour: sheet.Film.Colour, Contour: i, Curve: c.Curve(), Closed: true})
	}
	trim := lines(TrimLine, sheet.TrimLines)
	for i := range test {
		test[i].Colour = sheet.Film.Colour
	}
	var cutOff []Stroke
	if n := len(trim); n > 0 {
		// The line furthest along the film parts the load from the roll.
		last := 0
		for i, s := range trim {
			if s.Curve.Bounds().Max.X >= trim[last].Curve.Bounds().Max.X {
				last = i
			}
		}
		cutOff = []Stroke{trim[last]}
		trim = append(trim[:last:last], trim[last+1:]...)
	}
	phases := []phase{
		{role: TestPiece, strokes: test, fixed: true},
		{role: Decal, strokes: decals},
		{role: Mark, strokes: lines(Mark, sheet.Marks)},
		{role: WeedLine, strokes: lines(WeedLine, sheet.WeedLines)},
		{role: WeedBorder, strokes: border},
		{role: TrimLine, strokes: trim},
		{role: TrimLine, strokes: cutOff},
	}
	total := 0
	for p := range phases {
		total += len(phases[p].strokes)
		for i := range phases[p].strokes {
			s := &phases[p].strokes[i]
			if err := checkStroke(sheet, *s, opt.AllowOutside); err != nil {
				return nil, err
			}
			*s = turned(*s, opt.Direction)
		}
	}
	if total == 0 {
		return nil, &Error{Op: "plan", Sheet: sheet.Name, Contour: -1, Cause: ErrEmpty, Fix: "put a decal on the sheet"}
	}
	return phases, nil
}

func checkStroke(sheet layout.Sheet, s Stroke, allowOutside bool) error {
	fail := func(at outline.Point, cause error, detail, fix string) error {
		return strokeError("plan", sheet.Name, s, at, cause, detail, fix)
	}
	at, ok := s.Finite()
	if !ok {
		return fail(at, ErrNotFinite, "", "give every point a finite position")
	}
	if s.Closed && at != s.Curve.Start {
		return fail(at, ErrNotClosed, fmt.Sprintf("it starts at (%.3f, %.3f)", s.Curve.Start.X, s.Curve.Start.Y), "close it with a segment to its start, or use Curve.Closed")
	}
	if !moves(s.Curve) {
		return fail(at, ErrNoLength, "", "leave the point out")
	}
	b := s.Curve.Bounds()
	if !(b.Min.X >= -MaxCoordinate && b.Min.Y >= -MaxCoordinate && b.Max.X <= MaxCoordinate && b.Max.Y <= MaxCoordinate) {
		return fail(at, ErrRange, fmt.Sprintf("it reaches from (%g, %g) to (%g, %g) mm, coordinates are at most %g", b.Min.X, b.Min.Y, b.Max.X, b.Max.Y, MaxCoordinate), "check the artwork's units, or move it towards (0, 0)")
	}
	if allowOutside {
		return nil
	}
	length := float64(sheet.Length)
	if sheet.Film.Width > 0 && (b.Min.Y < -outsideSlack || b.Max.Y > float64(sheet.Film.Width)+outsideSlack) {
		return fail(b.Centre(), ErrOutsideFilm, fmt.Sprintf("it reaches from y = %.3f to %.3f mm across a film of %v", b.Min.Y, b.Max.Y, sheet.Film.Width), "move it, or use a wider film")
	}
	if length > 0 && (b.Min.X < -outsideSlack || b.Max.X > length+outsideSlack) {
		return fail(b.Centre(), ErrOutsideFilm, fmt.Sprintf("it reaches from x = %.3f to %.3f mm on a load of %v", b.Min.X, b.Max.X, sheet.Length), "move it, or make the load longer")
	}
	return nil
}

// turned returns the stroke run in the wanted direction.
func turned(s Stroke, d Direction) Stroke {
	if !s.Closed || d == AsDrawn {
		return s
	}
	if (outline.Contour(s.Curve).Area() > 0) != (d == CounterClockwise) {
		s.Curve = s.Curve.Reversed()
	}
	return s
}
