package outline

import "github.com/vinylgeom/vinyl/units"

// CheckWelded returns a [*PathError] unless p is as [Weld] leaves it: where borders
// cross each other or themselves, it wraps [ErrCrossing] and tells the contour, the
// node where the crossed segment starts, and the place, within tolerance (zero:
// [DefaultTolerance]); where a contour lies in film already filled, or runs
// clockwise as an outer one or counter-clockwise as a hole, it wraps
// [ErrOverlap]. Borders that only touch pass. Other errors are those of
// [Path.Check], ErrTooLarge, and an [*OptionError] for the tolerance.
func (p Path) CheckWelded(tolerance units.Length) (err error) {
	const op = "check"
	var none Path
	defer recovered(op, &none, &err)
	set, err := newChordSet(op, []Path{p}, 0, tolerance)
	if err != nil {
		return err
	}
	var rings []ring
	for i, c := range p {
		if r := set.ring(c, i); r != nil {
			rings = append(rings, r)
		}
	}
	fail := func(source int32, at gridPoint, cause error) error {
		s := set.sources[source]
		return &PathError{op, int(s.contour), int(s.node), set.grid.point(at), cause, "weld the shape first"}
	}
	a := newArrangement(rings, nil)
	found := cut{edge: -1}
	for _, c := range a.crossed {
		if found.edge < 0 || c.edge < found.edge {
			found = c
		}
	}
	if found.edge >= 0 {
		i := 0
		for a.first[i+1] <= found.edge {
			i++
		}
		return fail(rings[i][found.edge-a.first[i]].source, found.at, ErrCrossing)
	}
	if err := a.windings(); err != nil {
		return &PathError{op, -1, -1, Point{}, err, "weld the shape first"}
	}
	for _, f := range a.free {
		if f.left != 1 || f.right != 0 {
			return fail(rings[f.ring][0].source, rings[f.ring][0].from, ErrOverlap)
		}
	}
	for i := range a.runs {
		if r := &a.runs[i]; r.gone || r.left != 1 || r.right != 0 {
			return fail(a.edges[r.lo].source, a.edges[r.lo].from, ErrOverlap)
		}
	}
	return nil
}
