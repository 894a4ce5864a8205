package svg

import (
	"github.com/vinylgeom/vinyl/outline"
)

// fill returns the area that subpaths enclose by an SVG fill rule, every one
// closed with a straight line where it is open.
func fill(subpaths []Subpath, rule string) outline.Path {
	var p outline.Path
	for _, s := range subpaths {
		if c := s.Curve.Closed(); len(c.Segments) > 1 {
			p = append(p, c)
		}
	}
	return orient(p, rule)
}
