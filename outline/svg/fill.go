package svg

import (
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
)

// fill returns the area that subpaths enclose by an SVG fill rule, every one
// closed with a straight line where it is open. Where nothing crosses, the
// contours are the very segments of the subpaths.
func (r *reader) fill(e *element, subpaths []Subpath, rule string) (outline.Path, error) {
	var p outline.Path
	for _, s := range subpaths {
		if c := s.Curve.Closed(); c.Area() != 0 || len(c.Segments) > 2 {
			p = append(p, c)
		}
	}
	if len(p) == 0 {
		return nil, nil
	}
	chords, crossings, err := r.crossings(e, p)
	if err != nil {
		return nil, err
	}
	if crossings == 0 {
		windings, ok := chords.around(len(p))
		if !ok {
			return nil, e.tangled()
		}
		return orient(p, windings, rule), nil
	}
	opt := outline.BooleanOptions{Tolerance: r.opt.Tolerance}
	if rule == "evenodd" {
		opt.FillRule = outline.EvenOdd
	}
	p, err = outline.Weld([]outline.Path{p}, opt)
	if err != nil {
		return nil, e.failure(err, "simplify the shape")
	}
	return p, nil
}

// unite returns the union of paths, in each of which contours that turn
// counter-clockwise fill.
func (r *reader) unite(e *element, paths ...outline.Path) (outline.Path, error) {
	var all outline.Path
	for _, p := range paths {
		all = append(all, p...)
	}
	if _, _, err := r.crossings(e, all); err != nil {
		return nil, err
	}
	p, err := outline.Weld(paths, outline.BooleanOptions{Tolerance: r.opt.Tolerance})
	if err != nil {
		return nil, e.failure(err, "simplify the shape")
	}
	return p, nil
}

// crossings counts the crossings of p against the file's budget.
func (r *reader) crossings(e *element, p outline.Path) (chords, int, error) {
	c := chordsOf(p, r.opt.Tolerance, &r.pairs)
	n, ok := c.crossings(r.crossed)
	if r.crossed -= n; !ok || r.crossed < 0 {
		return c, n, e.tangled()
	}
	return c, n, nil
}

func (e *element) tangled() error {
	return e.failure(ErrTooLarge, fmt.Sprintf("draw shapes that cross at most %d times and lie less close", MaxCrossings))
}

// orient turns the contours of a fill so that outer ones run
// counter-clockwise and holes clockwise, and drops those that bound nothing:
// film, or none, on both sides. Contours must not cross; around is the winding
// just outside each.
func orient(p outline.Path, around []int, rule string) outline.Path {
	filled := func(winding int) bool {
		if rule == "evenodd" {
			return winding%2 != 0
		}
		return winding != 0
	}
	var out outline.Path
	for i, c := range p {
		area := c.Area()
		inside := around[i] + 1
		if area < 0 {
			inside = around[i] - 1
		}
		if area == 0 || filled(inside) == filled(around[i]) {
			continue
		}
		if filled(inside) != (area > 0) {
			c = c.Reversed()
		}
		out = append(out, c)
	}
	return out
}
