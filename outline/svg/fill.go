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
	crossings, err := r.tangle(e, p)
	if err != nil {
		return nil, err
	}
	if crossings == 0 {
		return orient(p, rule), nil
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
	if _, err := r.tangle(e, all); err != nil {
		return nil, err
	}
	p, err := outline.Weld(paths, outline.BooleanOptions{Tolerance: r.opt.Tolerance})
	if err != nil {
		return nil, e.failure(err, "simplify the shape")
	}
	return p, nil
}

// tangle counts crossings against the file's budget.
func (r *reader) tangle(e *element, p outline.Path) (crossings int, err error) {
	crossings, ok := tangle(p, r.opt.Tolerance, &r.pairs, r.crossings)
	if r.crossings -= crossings; !ok || r.crossings < 0 {
		return 0, e.failure(ErrLimit, fmt.Sprintf("draw shapes that cross themselves at most %d times", MaxCrossings))
	}
	return crossings, nil
}

// orient turns the contours of a fill so that outer ones run
// counter-clockwise and holes clockwise, and drops those that bound nothing:
// film, or none, on both sides. Contours must not cross.
func orient(p outline.Path, rule string) outline.Path {
	inside := func(winding int) bool {
		if rule == "evenodd" {
			return winding%2 != 0
		}
		return winding != 0
	}
	tree := p.Tree()
	areas := make([]float64, len(p))
	for i, c := range p {
		areas[i] = float64(c.Area())
	}
	// A contour's winding is its own turn and those of all around it.
	windings := make([]int, len(p))
	known := make([]bool, len(p))
	var winding func(i int) int
	winding = func(i int) int {
		if i < 0 {
			return 0
		}
		if !known[i] {
			known[i] = true
			windings[i] = winding(tree[i].Parent)
			switch {
			case areas[i] > 0:
				windings[i]++
			case areas[i] < 0:
				windings[i]--
			}
		}
		return windings[i]
	}
	var out outline.Path
	for i, c := range p {
		in := inside(winding(i))
		if areas[i] == 0 || in == inside(winding(tree[i].Parent)) {
			continue
		}
		if in != (areas[i] > 0) {
			c = c.Reversed()
		}
		out = append(out, c)
	}
	return out
}
