package outline

import "github.com/vinylgeom/vinyl/units"

// CheckWelded returns a [*PathError] that wraps [ErrCrossing] if borders of p
// cross each other or themselves, with the contour, the node where the crossed
// segment starts, and the place: exact for straight borders, else within
// tolerance (zero: [DefaultTolerance]). Borders that only touch at a point pass.
// Other errors are those of [Path.Check] and a tolerance or size that can't be
// worked with.
func (p Path) CheckWelded(tolerance units.Length) (err error) {
	const op = "check"
	defer recovered(op, &err)
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
	n := newNoder(rings)
	n.run()
	found, where := int32(-1), gridPoint{}
	for _, c := range n.crossed {
		if found < 0 || c.edge < found {
			found, where = c.edge, c.at
		}
	}
	if found < 0 {
		return nil
	}
	i := 0
	for n.first[i+1] <= found {
		i++
	}
	s := set.sources[rings[i][found-n.first[i]].source]
	return &PathError{op, int(s.contour), int(s.node), set.grid.point(where), ErrCrossing, "weld the shape first"}
}
