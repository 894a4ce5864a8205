package colours

import (
	"fmt"
	"slices"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Layer is one colour of a design, painted over the layers before it.
type Layer struct {
	Colour string       // CSS colour; layers of the same colour go on one film
	Path   outline.Path // filled by the non-zero rule, millimetres, y up
}

// Stacking tells what lies under an upper colour.
type Stacking uint8

const (
	// Stacked keeps lower colours whole: easy to register, but edges stack up;
	// for two or three layers of thin film.
	Stacked Stacking = iota
	// KnockOut cuts lower colours away under upper ones, but for the trap: flat,
	// for more layers and for thick or textured film.
	KnockOut
)

// String names the stacking.
func (s Stacking) String() string {
	switch s {
	case Stacked:
		return "stacked"
	case KnockOut:
		return "knock-out"
	}
	return "unknown stacking"
}

// DefaultTrap is 1/16 in: it leaves half when film shrinks by 0.4 mm on both
// edges, and is within the 1 to 2 mm that shops use (common practice, no source).
const DefaultTrap units.Length = units.Inch / 16

// LeastTrap returns what a trap must exceed so that no gap opens: twice the
// film's shrinkage at an edge, and what registration misses.
func LeastTrap(shrinkage, misregistration units.Length) units.Length {
	return 2*shrinkage + misregistration
}

// Remaining returns the overlap that is left when both films have shrunk by
// shrinkage at the edge; below zero, a gap.
func Remaining(trap, shrinkage units.Length) units.Length { return trap - 2*shrinkage }

// Options of [Split]. The zero value stacks the colours with the default trap
// and registration marks.
type Options struct {
	Stacking Stacking
	// Trap is by how much a lower colour reaches under an upper one; zero is
	// DefaultTrap, negative none; at most MaxTrap.
	Trap units.Length
	// CloseGap is how far edges of adjoining colours may lie apart and still be
	// meant to meet; the lower colour bridges it, and reaches under the upper by
	// the trap from there. Zero: they meet exactly; at most MaxTrap.
	CloseGap units.Length
	// Tolerance of offsets and overlays; zero is outline.DefaultTolerance.
	Tolerance units.Length
	Marks     MarkOptions
	// InsideGlass mirrors everything and turns the order of application round:
	// what is seen on top goes on first, next to the glass. The films must show
	// their colour through the adhesive.
	InsideGlass bool
}

// Film is what is cut from one colour.
type Film struct {
	Colour string
	Path   outline.Path // welded; without the marks
	Marks  outline.Path // the crosses, in the same place on every film
	Layers []int        // the layers that it came from
}

// Piece returns the film's path with its marks, to be nested as one.
func (f Film) Piece() outline.Path { return append(slices.Clone(f.Path), f.Marks...) }

// Separation is a design parted by colour.
type Separation struct {
	// Films are in the order in which they are applied: the lowest colour
	// first, or last inside glass.
	Films []Film
	// Seams tell how the films overlap.
	Seams []Seam
	// Hidden are layers that other colours cover everywhere; they are not cut.
	Hidden []int

	opt Options
}

// Split parts the layers by colour. Layers of one colour share a film, unless
// the upper of them lies over another colour that comes between: that is an
// error. The layers are not modified.
//
// The overlap is measured afterwards along every seam; if it is thinner than
// the trap anywhere the error wraps [ErrTooThin], and the separation comes with
// it, for who takes the risk. Every error is an [*Error]: [ErrInvalidOption],
// [ErrTooLarge] beyond the limits, [ErrEmpty] where nothing is seen,
// [ErrNotWelded] for a shape that the overlays cannot take.
func Split(layers []Layer, opt Options) (Separation, error) {
	opt, err := opt.filled()
	if err != nil {
		return Separation{}, err
	}
	if err := checkSize(layers); err != nil {
		return Separation{}, err
	}
	boolean := outline.BooleanOptions{Tolerance: opt.Tolerance}
	s := Separation{opt: opt}

	// One film for each colour, in the order of first use.
	var films []Film
	for i, l := range layers {
		p, err := outline.Weld([]outline.Path{l.Path}, boolean)
		if err != nil {
			return Separation{}, &Error{i, l.Colour, ErrNotWelded, err.Error(), "mend the artwork"}
		}
		if len(p) == 0 {
			continue
		}
		k := slices.IndexFunc(films, func(f Film) bool { return f.Colour == l.Colour })
		if k < 0 {
			films = append(films, Film{Colour: l.Colour, Path: p, Layers: []int{i}})
			continue
		}
		// Colours between that this layer covers would have to cover it: it
		// cannot be on one film with the lower one.
		for _, between := range films[k+1:] {
			over, err := outline.Intersect([]outline.Path{between.Path, p}, boolean)
			if err != nil {
				return Separation{}, &Error{i, l.Colour, ErrNotWelded, err.Error(), "mend the artwork"}
			}
			if len(over) > 0 {
				return Separation{}, &Error{i, l.Colour, ErrInvalidOption,
					fmt.Sprintf("it lies over %s, which lies over the same colour", between.Colour),
					"give the upper layer a colour text of its own, so that it gets a film of its own"}
			}
		}
		films[k].Path, err = outline.Weld([]outline.Path{films[k].Path, p}, boolean)
		if err != nil {
			return Separation{}, &Error{i, l.Colour, ErrNotWelded, err.Error(), "mend the artwork"}
		}
		films[k].Layers = append(films[k].Layers, i)
	}
	if len(films) == 0 {
		return Separation{}, &Error{-1, "", ErrEmpty, "no layer has a shape", "fill a shape"}
	}
	if err := s.spread(films, boolean); err != nil {
		return Separation{}, err
	}
	if len(s.Films) == 0 {
		return Separation{}, &Error{-1, "", ErrEmpty, "no layer is seen", "fill a shape"}
	}
	for i, marks := 0, s.marks(opt.Marks); i < len(s.Films); i++ {
		s.Films[i].Marks = slices.Clone(marks)
	}
	thin := s.thin()
	if opt.InsideGlass {
		s.turn()
	}
	return s, thin
}

// thin reports the first seam whose overlap is thinner than the trap, nil for
// none; its place is that of the design as drawn.
func (s *Separation) thin() error {
	opt := s.opt
	for _, seam := range s.Seams {
		if opt.Trap > 0 && seam.Least < opt.Trap-2*opt.Tolerance-seamSlack {
			return &Error{s.Films[seam.Lower].Layers[0], s.Films[seam.Lower].Colour, ErrTooThin,
				fmt.Sprintf("%v under %s at (%.2f, %.2f) mm, the trap is %v", seam.Least, s.Films[seam.Upper].Colour, seam.At.X, seam.At.Y, opt.Trap),
				"use a smaller trap, or simplify the artwork there"}
		}
	}
	return nil
}

func (o Options) filled() (Options, error) {
	bad := func(name string, v any, fix string) (Options, error) {
		return o, &Error{-1, "", ErrInvalidOption, fmt.Sprintf("%s is %v", name, v), fix}
	}
	switch {
	case o.Stacking > KnockOut:
		return bad("Stacking", uint8(o.Stacking), "use Stacked or KnockOut")
	case !(o.Trap <= MaxTrap) || !o.Trap.IsFinite():
		return bad("Trap", o.Trap, fmt.Sprintf("1 to 2 mm are usual, %v the most", MaxTrap))
	case !(o.CloseGap >= 0 && o.CloseGap <= MaxTrap):
		return bad("CloseGap", o.CloseGap, fmt.Sprintf("give zero to %v", MaxTrap))
	case !(o.Tolerance >= 0) || !o.Tolerance.IsFinite():
		return bad("Tolerance", o.Tolerance, "give zero or more")
	}
	if o.Trap == 0 {
		o.Trap = DefaultTrap
	}
	o.Trap = max(o.Trap, 0)
	if o.Tolerance == 0 {
		o.Tolerance = outline.DefaultTolerance
	}
	var err error
	o.Marks, err = o.Marks.filled()
	return o, err
}

// spread finds each film's shape and the seams. From the top down, above is
// everything that upper films paint.
func (s *Separation) spread(films []Film, boolean outline.BooleanOptions) error {
	n := len(films)
	shapes := make([]outline.Path, n)
	seen := make([]outline.Path, n)
	above := make([]outline.Path, n)
	for i := n - 1; i >= 0; i-- {
		fail := func(err error) error {
			return &Error{films[i].Layers[0], films[i].Colour, ErrNotWelded, err.Error(), "mend the artwork"}
		}
		var err error
		if i+1 < n {
			if above[i], err = outline.Weld([]outline.Path{above[i+1], films[i+1].Path}, boolean); err != nil {
				return fail(err)
			}
		}
		if seen[i], err = outline.Subtract(films[i].Path, []outline.Path{above[i]}, boolean); err != nil {
			return fail(err)
		}
		if len(seen[i]) == 0 {
			s.Hidden = append(s.Hidden, films[i].Layers...)
			continue
		}
		shapes[i] = films[i].Path
		if s.opt.Stacking == KnockOut {
			shapes[i] = seen[i]
		}
		if s.opt.Trap <= 0 || len(above[i]) == 0 {
			continue
		}
		if s.opt.CloseGap > 0 {
			if seen[i], err = s.bridge(seen[i], above[i], boolean); err != nil {
				return fail(err)
			}
		}
		grown, err := outline.Offset(seen[i], s.opt.Trap+s.opt.Tolerance, outline.OffsetOptions{Tolerance: s.opt.Tolerance})
		if err != nil {
			return fail(err)
		}
		// The room and the colour itself become one before they are cut to size,
		// so that no hairline is left between what is seen and what is spread.
		room, err := outline.Weld([]outline.Path{above[i], films[i].Path, seen[i]}, boolean)
		if err != nil {
			return fail(err)
		}
		if shapes[i], err = outline.Intersect([]outline.Path{grown, room}, boolean); err != nil {
			return fail(err)
		}
		if shapes[i], err = joined(shapes[i], seen[i], boolean); err != nil {
			return fail(err)
		}
		if s.opt.Stacking == Stacked {
			if shapes[i], err = outline.Weld([]outline.Path{films[i].Path, shapes[i]}, boolean); err != nil {
				return fail(err)
			}
		}
	}
	slices.Sort(s.Hidden)
	at := make([]int, n) // of each colour among the films kept
	for i := range films {
		at[i] = -1
		if len(seen[i]) > 0 {
			at[i] = len(s.Films)
			s.Films = append(s.Films, Film{Colour: films[i].Colour, Path: shapes[i], Layers: films[i].Layers})
		}
	}
	for i := range films {
		if at[i] < 0 {
			continue
		}
		// What no part of the lower film underlies.
		bare, err := outline.Subtract(above[i], []outline.Path{shapes[i]}, boolean)
		if err != nil {
			return &Error{films[i].Layers[0], films[i].Colour, ErrNotWelded, err.Error(), "mend the artwork"}
		}
		// Borders that coincide in the artwork come out of two overlays within
		// their tolerance only, and leave hairlines that are no bare film.
		hairline := 2*s.opt.Tolerance + hairlineSlack
		if bare, err = outline.Offset(bare, -hairline, outline.OffsetOptions{Tolerance: s.opt.Tolerance}); err != nil {
			return &Error{films[i].Layers[0], films[i].Colour, ErrNotWelded, err.Error(), "mend the artwork"}
		}
		for j := i + 1; j < n; j++ {
			if at[j] < 0 {
				continue
			}
			if seam, ok := measure(seen[i], seen[j], bare, s.opt); ok {
				seam.Least -= hairline
				seam.Lower, seam.Upper = at[i], at[j]
				s.Seams = append(s.Seams, seam)
			}
		}
	}
	return nil
}

// joined returns the pieces of the shape that hold some of what is seen. Spread
// across a gap that is wider than CloseGap, a colour would leave strips of its
// film under the upper one that hang on nothing.
func joined(shape, seen outline.Path, boolean outline.BooleanOptions) (outline.Path, error) {
	var out outline.Path
	tree := shape.Tree()
	for i, n := range tree {
		if n.Depth%2 != 0 {
			continue
		}
		piece := outline.Path{shape[i]}
		for _, hole := range n.Children {
			piece = append(piece, shape[hole])
		}
		common, err := outline.Intersect([]outline.Path{piece, seen}, boolean)
		if err != nil {
			return nil, err
		}
		if len(common) > 0 {
			out = append(out, piece...)
		}
	}
	return out, nil
}

// bridge returns what is seen of a lower colour with the gaps up to CloseGap
// closed that part it from the colours above: grown by half the gap and shrunk
// again, both together lose every gap that is narrower, and nothing sticks out.
func (s *Separation) bridge(seen, above outline.Path, boolean outline.BooleanOptions) (outline.Path, error) {
	opt := outline.OffsetOptions{Tolerance: s.opt.Tolerance}
	both, err := outline.Weld([]outline.Path{seen, above}, boolean)
	if err != nil {
		return nil, err
	}
	// A gap of just CloseGap is closed too.
	half := s.opt.CloseGap/2 + s.opt.Tolerance
	for _, d := range [2]units.Length{half, -half} {
		if both, err = outline.Offset(both, d, opt); err != nil {
			return nil, err
		}
	}
	// Only what lies between the two: not the inner corners of either alone.
	var near [2]outline.Path
	for i, p := range [2]outline.Path{seen, above} {
		if near[i], err = outline.Offset(p, s.opt.CloseGap+s.opt.Tolerance, opt); err != nil {
			return nil, err
		}
	}
	gap, err := outline.Intersect([]outline.Path{both, near[0], near[1]}, boolean)
	if err != nil {
		return nil, err
	}
	whole, err := outline.Weld([]outline.Path{seen, gap}, boolean)
	if err != nil {
		return nil, err
	}
	return outline.Subtract(whole, []outline.Path{above}, boolean)
}

// turn mirrors all films about the middle of the design and turns their order
// round.
func (s *Separation) turn() {
	b := s.Bounds()
	mirror := outline.Transform{XX: -1, X0: b.Min.X + b.Max.X, YY: 1}
	for i := range s.Films {
		s.Films[i].Path = s.Films[i].Path.Transform(mirror)
		s.Films[i].Marks = s.Films[i].Marks.Transform(mirror)
	}
	slices.Reverse(s.Films)
	last := len(s.Films) - 1
	for i := range s.Seams {
		m := &s.Seams[i]
		m.Lower, m.Upper = last-m.Lower, last-m.Upper
		m.At = mirror.Apply(m.At)
	}
}

// Bounds returns the box of all films, marks included; empty without films.
func (s Separation) Bounds() outline.Box {
	b := outline.EmptyBox()
	for _, f := range s.Films {
		b = b.Union(f.Path.Bounds()).Union(f.Marks.Bounds())
	}
	return b
}

// Sheet returns the film's piece alone on a load: lower left corner of the
// whole separation at the bed's lead and edge margin, and so in the same place on every
// film's load. It does not ask whether the roll is wide enough: package check
// does.
func (s Separation) Sheet(f Film, roll layout.Film, bed layout.Bed) layout.Sheet {
	b := s.Bounds().Union(f.Path.Bounds()).Union(f.Marks.Bounds())
	if b.IsEmpty() {
		b = outline.Box{}
	}
	to := outline.Translate(outline.Pt(float64(bed.Lead)-b.Min.X, float64(bed.EdgeMargin)-b.Min.Y))
	return layout.Sheet{
		Name: "colour-" + trimHash(f.Colour), Film: roll,
		Length: bed.Lead + units.Length(b.Width()) + bed.Tail,
		Decals: []layout.PlacedDecal{{ID: trimHash(f.Colour), Copy: 1, Colour: f.Colour, Path: f.Piece().Transform(to), Mirrored: s.opt.InsideGlass}},
	}
}

func trimHash(colour string) string {
	if len(colour) > 0 && colour[0] == '#' {
		return colour[1:]
	}
	return colour
}
