package nest

import (
	"cmp"
	"slices"
)

// alongStrip gives pieces of one shape their places in order: the first of them lies nearest the strip's start. Where their
// outlines are the same, any of them can lie in any of their places, and somebody who looks for one by its name or number
// finds it. Only placements of one load may be given, all free to change.
func (j *job) alongStrip(placements []Placement) {
	type likeness struct {
		kind  int
		group string
	}
	alike := map[likeness][]int{}
	starts := make([]float64, len(placements))
	for n, p := range placements {
		i := j.index[p.Piece]
		for _, k := range j.kindsOf[i] {
			if kd := &j.kinds[k]; kd.mirrored == p.Mirrored {
				key := likeness{k, j.pieces[i].Group}
				alike[key] = append(alike[key], n)
				p.Mirrored = false // the kind's outline is mirrored already
				starts[n] = placedBound(p, kd.outline).Min[0]
			}
		}
	}
	for _, places := range alike { // apart from one another, so in any order
		names := make([]Placement, len(places))
		for m, n := range places {
			names[m] = placements[n]
		}
		slices.SortFunc(names, func(a, b Placement) int {
			return cmp.Or(j.index[a.Piece]-j.index[b.Piece], a.Copy-b.Copy)
		})
		slices.SortFunc(places, func(a, b int) int {
			return cmp.Or(cmp.Compare(starts[a], starts[b]), cmp.Compare(placements[a].Y, placements[b].Y), a-b)
		})
		for m, n := range places {
			placements[n].Piece, placements[n].Copy = names[m].Piece, names[m].Copy
		}
	}
}
