package order

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

// flattening bounds how far the polygons that are nested lie inside the true
// curves; the nest's gap and margins are widened by it, so that they hold for
// the curves.
const flattening = outline.DefaultTolerance

// exactly is the tolerance for what must not cross at all.
const exactly = flattening / 500

// leftoverShare is the part of the budget that nesting into each leftover may
// take.
const leftoverShare = 0.2

// cutFrom places all decals of a film: in its leftovers, then on the roll.
func (r *runner) cutFrom(ctx context.Context, film Film) error {
	for i, l := range r.order.Leftovers {
		if l.Film != film.Name && (l.Film != "" || film.Name != r.order.Film.Name) {
			continue
		}
		if err := r.cutFromLeftover(ctx, film, i, l); err != nil {
			return err
		}
	}
	if len(r.waiting(film)) == 0 {
		return nil
	}
	return r.cutFromRoll(ctx, film)
}

// wanted returns how many decals of a design are cut.
func (r *runner) wanted(design int) int {
	if r.numbers != nil {
		return len(r.numbers[design])
	}
	return r.designs[design].Copies
}

// waiting returns the designs of the film that have decals to place.
func (r *runner) waiting(film Film) []int {
	var out []int
	for i, d := range r.designs {
		if d.Film.Name == film.Name && r.used[i] < r.wanted(i) {
			out = append(out, i)
		}
	}
	return out
}

// name returns what the i-th leftover of an order is called.
func (l Leftover) name(i int) string {
	if l.Name == "" {
		return fmt.Sprintf("leftover %d", i+1)
	}
	return l.Name
}

// shape returns the leftover with the lower left corner of its box at (0, 0).
func (l Leftover) shape(where string) (outline.Path, error) {
	fail := func(detail string) (outline.Path, error) {
		return nil, &Error{Where: where, Cause: ErrInvalid, Detail: detail, Fix: "give closed shapes as SVG path data in millimetres, y up"}
	}
	if l.Path == "" {
		rect, err := layout.RectangleLeftover(l.Name, l.Film, l.Length, l.Width)
		return rect.Shape, err
	}
	curves, err := svg.ParsePathData(l.Path)
	if err != nil {
		return fail(err.Error())
	}
	var p outline.Path
	for _, c := range curves {
		p = append(p, c.Curve.Closed())
	}
	p, err = outline.Weld([]outline.Path{p}, outline.BooleanOptions{FillRule: outline.EvenOdd})
	if err != nil {
		return fail(err.Error())
	}
	if len(p) == 0 {
		return fail("it encloses nothing")
	}
	return p.Transform(outline.Translate(p.Bounds().Min.Mul(-1))), nil
}

// cutFromLeftover places what fits into one leftover. Nothing fitting is no
// error.
func (r *runner) cutFromLeftover(ctx context.Context, film Film, index int, l Leftover) error {
	waiting := r.waiting(film)
	if len(waiting) == 0 {
		return nil
	}
	shape, err := l.shape(fmt.Sprintf("leftovers[%d]", index))
	if err != nil {
		return err
	}
	margin := r.order.EdgeMargin + flattening
	strip := nest.Strip{
		Leftover: shape.MultiPolygon(flattening),
		Gap:      r.order.Gap + 2*flattening,
		Margins:  nest.EqualMargins(margin),
	}
	result, err := r.nest(ctx, strip, waiting, leftoverShare)
	var room *nest.RoomError
	var size *nest.SizeError
	switch {
	case errors.As(err, &size): // a design that fits no leftover waits for the roll
		var fit []int
		for _, i := range waiting {
			if strconv.Itoa(i) != size.Piece {
				fit = append(fit, i)
			}
		}
		if result, err = r.nestWhatFits(ctx, strip, fit); err != nil {
			return r.named(film, err)
		}
	case err != nil && !errors.As(err, &room) && ctx.Err() == nil:
		return r.named(film, err)
	}
	for _, load := range result.Loads {
		if len(load.Placements) == 0 {
			continue
		}
		out := r.place(film, load)
		markTrims(&out.Sheet, load.Cuts, false)
		b := shape.Bounds()
		out.Leftover, out.Film = l.name(index), shape
		out.Sheet.Film.Width, out.Sheet.Length = units.Length(b.Height()), units.Length(b.Width())
		out.Edge = load.SmallestEdgeDistance - flattening
		r.loads = append(r.loads, out)
	}
	return nil
}

// nestWhatFits nests without the designs that are too large for the leftover,
// one after another.
func (r *runner) nestWhatFits(ctx context.Context, strip nest.Strip, fit []int) (nest.Result, error) {
	for len(fit) > 0 {
		result, err := r.nest(ctx, strip, fit, leftoverShare)
		var size *nest.SizeError
		var room *nest.RoomError
		switch {
		case errors.As(err, &size):
			fit = slices.DeleteFunc(slices.Clone(fit), func(i int) bool { return strconv.Itoa(i) == size.Piece })
		case err != nil && !errors.As(err, &room) && ctx.Err() == nil:
			return nest.Result{}, err
		default:
			return result, nil
		}
	}
	return nest.Result{}, nil
}

// cutFromRoll places the film's remaining decals in loads from the roll.
func (r *runner) cutFromRoll(ctx context.Context, film Film) error {
	strip := r.strip(film)
	waiting := r.waiting(film)
	if r.order.MaxLoadMinutes > 0 {
		length, err := r.lengthForMinutes(ctx, film, strip, waiting)
		if err != nil {
			return r.named(film, err)
		}
		strip.MaxLength = length
	}
	result, err := r.nest(ctx, strip, waiting, 1)
	if err != nil && (ctx.Err() == nil || len(result.Loads) == 0) {
		if all := r.tooLarge(ctx, film, strip, waiting); all != nil {
			return all
		}
		return r.named(film, err)
	}
	for _, load := range result.Loads {
		r.loads = append(r.loads, r.rollLoad(film, load))
	}
	return nil
}

// named says of an error of the nest which item or film it is about.
func (r *runner) named(film Film, err error) error {
	var own *Error
	if errors.As(err, &own) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	var size *nest.SizeError
	if errors.As(err, &size) {
		if i, bad := strconv.Atoi(size.Piece); bad == nil && i < len(r.designs) {
			d, named := r.designs[i], *size
			named.Piece = d.Letter + " " + d.Name
			return itemError(d.item, d.Item, &named)
		}
	}
	return &Error{Where: "film " + film.Name, Cause: err}
}

// strip returns what the nest may use of a roll of the film: the load less
// margins, lead, tail and the room of weed border and cut-off line.
func (r *runner) strip(film Film) nest.Strip {
	o := r.order
	room := units.Length(flattening) // of a weed border round the load
	if o.borderPerLoad() {
		room += o.clearance()
	}
	return nest.Strip{
		Width:     film.Width,
		Gap:       o.Gap + 2*flattening,
		Margins:   nest.Margins{Bottom: o.EdgeMargin + room, Top: o.EdgeMargin + room},
		Lead:      o.Lead + room,
		Tail:      room + o.clearance() + o.Tail,
		MaxLength: o.MaxLoad,
	}
}

// minutesRounds bounds the search for the load length that keeps the minutes.
const minutesRounds = 8

// lengthForMinutes returns a greatest length at which no load of a first
// layout takes longer than the order allows.
func (r *runner) lengthForMinutes(ctx context.Context, film Film, strip nest.Strip, waiting []int) (units.Length, error) {
	quick := *r
	quick.opt.Budget, quick.opt.Iterations, quick.opt.Progress = nest.FirstLayoutOnly, 0, nil
	for range minutesRounds {
		result, err := quick.nest(ctx, strip, waiting, 1)
		if err != nil && strip.MaxLength != r.order.MaxLoad && ctx.Err() == nil {
			break // so short a load holds nothing
		}
		if err != nil {
			return 0, err
		}
		worst, longest := 0.0, units.Length(0)
		for _, load := range result.Loads {
			trial := *r
			trial.used = slices.Clone(r.used)
			l := trial.rollLoad(film, load)
			l.Sheet.Name = fmt.Sprintf("film %s, load %d", film.Name, load.Placements[0].Load)
			if err := trial.plan(ctx, &l); err != nil {
				return 0, err
			}
			worst = math.Max(worst, l.Cut.Seconds()/60)
			longest = max(longest, load.Length)
		}
		if worst <= r.order.MaxLoadMinutes {
			return strip.MaxLength, nil
		}
		const haste = 0.95 // below what the minutes ask for, so that few rounds settle it
		next := longest * units.Length(math.Max(0.3, haste*r.order.MaxLoadMinutes/worst))
		if strip.MaxLength > 0 {
			next = min(next, strip.MaxLength*haste)
		}
		strip.MaxLength = next
	}
	return 0, &Error{Where: "max_load_minutes", Cause: ErrInvalid, Detail: fmt.Sprintf("no load can be cut in %v minutes", r.order.MaxLoadMinutes), Fix: "allow more minutes for a load"}
}

// flattened returns a path as the polygons that are nested. Where curves come
// closer than the flattening, their chords may cross: these are welded again.
//
// They are looked at as finely as the nest does, which takes no crossing, be it
// of a step of a hundred thousandth of a millimetre.
func flattened(p outline.Path) orb.MultiPolygon {
	polygons := p.MultiPolygon(flattening)
	straight := outline.FromMultiPolygon(polygons)
	if straight.CheckWelded(exactly) == nil {
		return polygons
	}
	welded, err := outline.Weld([]outline.Path{straight}, outline.BooleanOptions{Tolerance: exactly})
	if err != nil {
		return polygons // of which the nest says what is wrong
	}
	return welded.MultiPolygon(flattening)
}

// nest places the waiting decals of the given designs. share is the part of
// the budget that it may take.
func (r *runner) nest(ctx context.Context, strip nest.Strip, waiting []int, share float64) (nest.Result, error) {
	pieces := make([]nest.Piece, len(waiting))
	for k, i := range waiting {
		d := r.designs[i]
		pieces[k] = nest.Piece{
			ID:        strconv.Itoa(i),
			Outline:   flattened(d.taken()),
			Count:     r.wanted(i) - r.used[i],
			Rotations: nest.Rotations{Mode: turns[d.Item.Turn]},
		}
		if r.order.KeepTogether {
			pieces[k].Group = d.Item.For
		}
	}
	budget := r.opt.Budget
	if budget == 0 && r.opt.Iterations == 0 {
		budget = nest.DefaultBudget
	}
	if budget > 0 {
		budget = max(time.Duration(share*r.share(waiting)*float64(budget)), time.Millisecond)
	}
	opt := nest.Options{
		Budget: budget, Iterations: r.opt.Iterations, Seed: r.opt.Seed, Workers: r.opt.Workers,
		IdenticalLoads: r.order.IdenticalLoads,
		Progress: func(p nest.Progress) {
			done := 0.0
			if budget > 0 {
				done = min(1, p.Elapsed.Seconds()/budget.Seconds())
			}
			r.tell(Progress{Stage: "nest", Done: done, Loads: p.Loads, Length: p.Length})
		},
	}
	if r.order.Gang == Straight {
		// A leftover that is no rectangle is not parted by straight trims.
		if result, err := nest.Gang(ctx, strip, pieces, opt); !errors.Is(err, errors.ErrUnsupported) {
			return result, err
		}
	}
	return nest.Nest(ctx, strip, pieces, opt)
}

// share returns the part of the order's decals that the designs stand for.
func (r *runner) share(waiting []int) float64 {
	part, all := 0, 0
	for i, d := range r.designs {
		all += d.Copies
		if slices.Contains(waiting, i) {
			part += d.Copies
		}
	}
	return float64(part) / float64(max(all, 1))
}

// indexOf returns the index of the design that the nest placed.
func (r *runner) indexOf(p nest.Placement) (int, bool) {
	i, err := strconv.Atoi(p.Piece)
	return i, err == nil && i >= 0 && i < len(r.designs)
}

func (r *runner) designOf(p nest.Placement) (Design, bool) {
	i, ok := r.indexOf(p)
	if !ok {
		return Design{}, false
	}
	return r.designs[i], true
}

// place makes a load of the nest's, decals only, and counts them as used.
func (r *runner) place(film Film, load nest.Load) Load {
	out := Load{
		Gap:    load.SmallestGap - 2*flattening,
		SameAs: -1,
		Sheet:  layout.Sheet{Film: layout.Film{Name: film.Name, Colour: film.Colour, Width: film.Width, Class: filmClasses[film.Class]}},
	}
	for _, p := range load.Placements {
		i, ok := r.indexOf(p)
		if !ok {
			continue // the nest places nothing but what it was given
		}
		r.used[i]++
		number := r.used[i]
		if r.numbers != nil {
			number = r.numbers[i][number-1]
		}
		out.Placed = append(out.Placed, Placed{Design: i, Number: number, Rotation: p.Rotation, X: p.X, Y: p.Y})
	}
	r.dress(&out.Sheet, out.Placed)
	return out
}

// rollLoad lays out a load from the roll: its decals, their weed border
// and the cut-off line behind them.
func (r *runner) rollLoad(film Film, load nest.Load) Load {
	out := r.place(film, load)
	frame(&out.Sheet, r.order)
	markTrims(&out.Sheet, load.Cuts, r.order.borderPerLoad())
	out.Edge = out.Sheet.EdgeDistance()
	return out
}

// markTrims adds the straight trims, which run over the whole film, to the sheet,
// within the outermost cuts. Those outside part nothing: where no weed border
// takes them (outer), they would run along the outermost decals.
func markTrims(s *layout.Sheet, cuts []nest.Cut, outer bool) {
	b := s.WeedBorder.Bounds()
	for _, d := range s.Decals {
		b = b.Union(d.Path.Bounds())
	}
	for _, c := range cuts {
		outside := c.X1 == c.X2 && (float64(c.X1) <= b.Min.X || float64(c.X1) >= b.Max.X) || c.Y1 == c.Y2 && (float64(c.Y1) <= b.Min.Y || float64(c.Y1) >= b.Max.Y)
		if outside && !outer {
			continue
		}
		within := func(x, y units.Length) outline.Point {
			return outline.Pt(min(max(float64(x), b.Min.X), b.Max.X), min(max(float64(y), b.Min.Y), b.Max.Y))
		}
		s.TrimLines = append(s.TrimLines, outline.Polyline(within(c.X1, c.Y1), within(c.X2, c.Y2)))
	}
}

// decals returns the placed decals of a sheet.
func decals(designs []Design, placed []Placed, digits int) []layout.PlacedDecal {
	out := make([]layout.PlacedDecal, len(placed))
	for k, p := range placed {
		d := designs[p.Design]
		out[k] = layout.PlacedDecal{
			ID: d.id(p.Number, digits), Design: d.Name, Copy: d.First + p.Number - 1, Words: d.Words(),
			Path: d.Path.Transform(p.transform()), Rotation: p.Rotation, Mirrored: d.Item.InsideGlass,
		}
	}
	return out
}

// digits returns how many digits the numbers of decals have, two or more.
func digits(designs []Design) int {
	most := 0
	for _, d := range designs {
		most = max(most, d.First+d.Copies-1)
	}
	return max(2, len(strconv.Itoa(most)))
}

// nameLoads numbers the loads in the order in which they are cut.
func (r *runner) nameLoads() {
	prefix := r.prefix
	if prefix == "" {
		prefix = "load-"
	}
	digits := max(2, len(strconv.Itoa(len(r.loads))))
	for i := range r.loads {
		l := &r.loads[i]
		l.Sheet.Name = fmt.Sprintf("%s%0*d", prefix, digits, i+1)
		l.Job.Name = l.Sheet.Name
		if l.Rest != nil && l.Leftover == "" {
			l.Rest.Name = "rest of " + l.Sheet.Name
		}
	}
}

// assignRolls says which roll each load is cut from: the first in the order's
// list that has enough left, so that short ends are used up by short loads.
func (r *runner) assignRolls() error {
	left := map[string][]units.Length{}
	for _, f := range append([]Film{r.order.Film}, r.order.Films...) {
		left[f.Name] = slices.Clone(f.Rolls)
	}
	for i := range r.loads {
		l := &r.loads[i]
		rolls := left[l.Sheet.Film.Name]
		if l.Leftover != "" || len(rolls) == 0 {
			continue
		}
		k := slices.IndexFunc(rolls, func(left units.Length) bool { return left >= l.Sheet.Length })
		if k < 0 {
			return &Error{Where: "film " + l.Sheet.Film.Name, Cause: ErrInvalid,
				Detail: fmt.Sprintf("its rolls have no %s left for load %d of %d", l.Sheet.Length.InchString(), i+1, len(r.loads)),
				Fix:    "add a roll, or allow shorter loads with max_load"}
		}
		rolls[k] -= l.Sheet.Length
		l.Roll = k + 1
	}
	// Loads from one roll follow one another, so that it is changed once.
	films := map[string]int{}
	for _, l := range r.loads {
		if _, ok := films[l.Sheet.Film.Name]; !ok {
			films[l.Sheet.Film.Name] = len(films)
		}
	}
	slices.SortStableFunc(r.loads, func(a, b Load) int {
		return cmp.Or(cmp.Compare(films[a.Sheet.Film.Name], films[b.Sheet.Film.Name]), cmp.Compare(a.Roll, b.Roll))
	})
	return nil
}

// markIdentical finds loads whose cuts are the same, where the order asks for
// one file for them.
func (r *runner) markIdentical() {
	if !r.order.IdenticalLoads {
		return
	}
	for i := range r.loads {
		for j := range i {
			if r.loads[j].SameAs < 0 && sameCuts(r.loads[i], r.loads[j]) {
				r.loads[i].SameAs = j
				break
			}
		}
	}
}

func sameCuts(a, b Load) bool {
	return a.Leftover == "" && b.Leftover == "" && samePlaces(a, b)
}

// samePlaces reports whether two loads have copies of the same designs at the
// same places of equal film.
func samePlaces(a, b Load) bool {
	return a.Sheet.Film == b.Sheet.Film && a.Sheet.Length == b.Sheet.Length && a.Leftover == b.Leftover &&
		slices.EqualFunc(a.Placed, b.Placed, func(p, q Placed) bool {
			p.Number, q.Number = 0, 0
			return p == q
		})
}
