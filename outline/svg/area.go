package svg

import (
	"github.com/vinylgeom/vinyl/outline"
)

// paint adds the shape s with its painted areas to the drawing. subpaths are
// its geometry in user space, inPlace the same in millimetres.
func (r *reader) paint(e *element, c context, s Shape, subpaths, inPlace []Subpath) error {
	st := &c.style
	if st.fill.kind != paintNone && st.fillOpacity > 0 && e.name != "line" {
		area, err := r.fill(e, inPlace, st.fillRule)
		if err != nil {
			return err
		}
		if len(area) > 0 {
			s.Path, s.Fill = area, st.fill.hex(st.color)
			r.noteServer(e, st.fill)
		}
	}
	pieces, err := r.stroke(e, c, subpaths)
	if err != nil {
		return err
	}
	if len(pieces) == 0 {
		r.keep(e, s)
		return nil
	}
	r.noteServer(e, st.stroke)
	colour := st.stroke.hex(st.color)
	if s.Fill == "" || s.Fill == colour {
		s.Fill = colour
		s.Path, err = r.unite(e, s.Path, pieces)
		r.keep(e, s)
		return err
	}
	over := s
	s.Part, over.Part = FillOnly, StrokeOnly
	over.Curves, over.Fill = nil, colour
	over.Path, err = r.unite(e, pieces)
	r.keep(e, s)
	r.keep(e, over)
	return err
}

// pageSlack is how far beyond the page, in millimetres, a shape may reach
// without a warning: what editors' rounding leaves.
const pageSlack = 0.05

// keep adds s to the drawing, with a warning where a picture of the page would
// not show all that is cut.
func (r *reader) keep(e *element, s Shape) {
	r.drawing.Shapes = append(r.drawing.Shapes, s)
	b := s.Path.Bounds()
	page := outline.Box{Max: outline.Pt(float64(r.drawing.Width), float64(r.drawing.Height))}.Grow(pageSlack)
	if b.IsEmpty() || page.Contains(b.Min) && page.Contains(b.Max) {
		return
	}
	far := b.Max
	if b.Min.X < page.Min.X {
		far.X = b.Min.X
	}
	if b.Min.Y < page.Min.Y {
		far.Y = b.Min.Y
	}
	r.warn(e, "it reaches beyond the page, to %.3g mm across and %.3g mm up; it is cut all the same", far.X, far.Y)
}

// noteServer warns where a paint is more than a colour.
func (r *reader) noteServer(e *element, p paint) {
	if p.kind == paintServer {
		r.warn(e, "a gradient or pattern is not applied: the area is cut in one colour")
	}
}

// stroke returns the pieces of the stroke's area in millimetres, each
// counter-clockwise, none where there is no stroke.
func (r *reader) stroke(e *element, c context, subpaths []Subpath) (outline.Path, error) {
	st := &c.style
	if st.stroke.kind == paintNone || st.lineOpacity == 0 {
		return nil, nil
	}
	diagonal := c.in.diagonal()
	width := st.strokeWidth.user(diagonal)
	if !(width > 0) {
		return nil, nil
	}
	p := pen{
		half: width / 2, cap: st.cap, join: st.join, mitreLimit: st.mitreLimit,
		offset: st.dashOffset.user(diagonal), tolerance: float64(r.opt.Tolerance) / stretchOf(c.t),
	}
	for _, d := range st.dashes {
		p.dashes = append(p.dashes, d.user(diagonal))
	}
	t := c.t
	if st.rigid {
		// The pen keeps its size on the page: draw where the page is, in pixels.
		pixel := float64(r.opt.Pixel)
		page := outline.Scale(pixel, pixel)
		back, _ := page.Inverse()
		var moved []Subpath
		for _, s := range subpaths {
			moved = append(moved, Subpath{s.Curve.Transform(t.Then(back)), s.Closed})
		}
		subpaths, t = moved, page
		p.tolerance = float64(r.opt.Tolerance) / pixel
	}
	subpaths, ok := p.dash(subpaths, &r.dashes)
	if !ok {
		return nil, e.failure(ErrTooLarge, "use longer dashes")
	}
	pieces := p.strokeOf(subpaths)
	if r.nodes -= pieces.Nodes(); r.nodes < 0 {
		return nil, e.failure(ErrTooLarge, "draw fewer nodes")
	}
	// Path.Transform turns the pieces round where t mirrors.
	return pieces.Transform(t), nil
}
