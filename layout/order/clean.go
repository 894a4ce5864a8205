package order

import (
	"slices"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// speck is the size below which a contour is a rounding of what came before,
// not artwork, in millimetres: two steps of a classic plotter (0.025 mm, HP
// 7470A manual), below which the knife only pricks.
const speck = 0.05

// clean makes a path fit to be inspected and cut: without specks, and welded
// where offsets and bends have left borders that cross by next to nothing.
func clean(p outline.Path) outline.Path {
	p = slices.DeleteFunc(slices.Clone(p), func(c outline.Contour) bool {
		b := c.Bounds()
		return max(b.Width(), b.Height()) < speck
	})
	if p.CheckWelded(0) == nil {
		return p
	}
	for _, tolerance := range [...]units.Length{outline.DefaultTolerance, outline.DefaultTolerance / 10} {
		if welded, err := outline.Weld([]outline.Path{p}, outline.BooleanOptions{Tolerance: tolerance}); err == nil && welded.CheckWelded(0) == nil {
			return welded
		}
	}
	return p // of which the inspection says what is wrong
}
