package colours

import (
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// MarkOptions say how the registration marks look. All defaults are common
// practice, no source, but for the arm: 2 mm is the narrowest that is said to
// hold and weed well (hexio.co.uk, 2019).
type MarkOptions struct {
	None  bool         // leave them out: the films are laid by a weed border or by eye
	Size  units.Length // of a cross, tip to tip; zero: 8 mm
	Arm   units.Length // width of its arms; zero: 2 mm
	Clear units.Length // distance from the design; zero: 3 mm
}

func (o MarkOptions) filled() (MarkOptions, error) {
	for _, f := range []struct {
		name  string
		v     *units.Length
		usual units.Length
	}{{"Marks.Size", &o.Size, 8}, {"Marks.Arm", &o.Arm, 2}, {"Marks.Clear", &o.Clear, 3}} {
		if !(*f.v >= 0) || !f.v.IsFinite() {
			return o, &Error{-1, "", ErrInvalidOption, fmt.Sprintf("%s is %v", f.name, *f.v), "give zero for the usual, or more"}
		}
		if *f.v == 0 {
			*f.v = f.usual
		}
	}
	if o.Arm >= o.Size {
		return o, &Error{-1, "", ErrInvalidOption, fmt.Sprintf("the arm of %v is as wide as the cross of %v", o.Arm, o.Size), "make the cross larger"}
	}
	return o, nil
}

// marks returns two crosses, left and right of the design at its foot: both low,
// so that no film can be laid upside down by them.
func (s *Separation) marks(opt MarkOptions) outline.Path {
	if opt.None {
		return nil
	}
	b := outline.EmptyBox()
	for _, f := range s.Films {
		b = b.Union(f.Path.Bounds())
	}
	r := float64(opt.Size) / 2
	off := float64(opt.Clear) + r
	return outline.Path{cross(outline.Pt(b.Min.X-off, b.Min.Y+r), r, float64(opt.Arm)/2), cross(outline.Pt(b.Max.X+off, b.Min.Y+r), r, float64(opt.Arm)/2)}
}

// cross returns an upright cross with arms from the centre to r, of half width a.
func cross(c outline.Point, r, a float64) outline.Contour {
	at := func(x, y float64) outline.Point { return c.Add(outline.Pt(x, y)) }
	return outline.Polygon(at(a, a), at(a, r), at(-a, r), at(-a, a), at(-r, a), at(-r, -a), at(-a, -a), at(-a, -r), at(a, -r), at(a, -a), at(r, -a), at(r, a))
}
