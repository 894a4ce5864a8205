package order

import (
	"context"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// What a weed border is cut round, as an order names it.
const (
	borderLoad  = "load"
	borderDecal = "decal"
	borderNone  = "none"
)

func (o Order) borderPerLoad() bool { return o.WeedBorder == "" || o.WeedBorder == borderLoad }

// addBorder gives the design its own weed border and weed lines, where the order
// wants them round every decal.
func (d *Design) addBorder(ctx context.Context, o Order) error {
	if o.WeedBorder != borderDecal {
		return nil
	}
	d.WeedBorder = boxed(d.Path.Bounds().Grow(float64(o.clearance())))
	if !o.WeedLines {
		return nil
	}
	lines, err := weedability.WeedLines(ctx, d.Path, limits(d.Film), weedability.WeedLineOptions{BorderMargin: o.clearance()})
	for _, l := range lines {
		d.WeedLines = append(d.WeedLines, l.Curve)
	}
	return err
}

// taken is what the design takes of the film: its weed border, or its path.
func (d Design) taken() outline.Path {
	if len(d.WeedBorder) > 0 {
		return d.WeedBorder
	}
	return d.Path
}

// wasteSheets returns how many parts the waste of so many loads and decals
// is lifted in.
func (o Order) wasteSheets(loads, decals int) int {
	if o.WeedBorder == borderDecal {
		return decals
	}
	return loads
}

// dress puts the placed decals on a sheet, with their own weed borders and lines
// where they have them.
func (r *runner) dress(s *layout.Sheet, placed []Placed) {
	s.Decals = decals(r.designs, placed, digits(r.designs))
	if r.order.WeedBorder != borderDecal {
		return
	}
	s.WeedBorder, s.WeedLines = nil, nil
	for _, p := range placed {
		d, place := r.designs[p.Design], p.transform()
		s.WeedBorder = append(s.WeedBorder, d.WeedBorder.Transform(place)...)
		for _, l := range d.WeedLines {
			s.WeedLines = append(s.WeedLines, l.Transform(place))
		}
	}
}

// frame adds the weed border round a load, where the order wants it so, and the
// cut-off line to a sheet from the roll, and sets its length.
func frame(s *layout.Sheet, o Order) {
	room := float64(o.clearance())
	b := s.Bounds()
	if o.borderPerLoad() {
		b = b.Grow(room)
		s.WeedBorder = boxed(b)
	}
	cut := b.Max.X + room
	s.Length = units.Length(cut) + o.Tail
	margin := float64(o.EdgeMargin)
	s.TrimLines = []outline.Curve{outline.Polyline(outline.Pt(cut, margin), outline.Pt(cut, float64(s.Film.Width)-margin))}
}

func boxed(b outline.Box) outline.Path {
	return outline.Path{outline.Polygon(b.Min, outline.Pt(b.Max.X, b.Min.Y), b.Max, outline.Pt(b.Min.X, b.Max.Y))}
}
