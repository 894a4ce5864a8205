package dxf

import (
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// appendArcs appends the curve as vertices, the last one at its end.
func appendArcs(out []vertex, c outline.Curve, tolerance float64) []vertex {
	for _, p := range c.Flatten(nil, units.Length(tolerance)) {
		out = append(out, vertex{at: p})
	}
	return out
}
