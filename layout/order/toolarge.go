package order

import (
	"context"
	"errors"
	"strconv"

	"github.com/vinylgeom/vinyl/nest"
)

// tooLarge reports every item of which a decal is too large for a load of the
// film, where the nest stops at the first; nil: none is.
func (r *runner) tooLarge(ctx context.Context, film Film, strip nest.Strip, waiting []int) error {
	var problems []error
	said := map[int]bool{}
	for _, i := range waiting {
		d := r.designs[i]
		if said[d.item] { // its other wordings are as large
			continue
		}
		piece := nest.Piece{ID: strconv.Itoa(i), Outline: d.taken().MultiPolygon(flattening), Count: 1, Rotations: nest.Rotations{Mode: turns[d.Item.Turn]}}
		_, err := nest.Nest(ctx, strip, []nest.Piece{piece}, nest.Options{Budget: nest.FirstLayoutOnly, Seed: r.opt.Seed})
		var size *nest.SizeError
		if errors.As(err, &size) {
			said[d.item] = true
			problems = append(problems, r.named(film, err))
		}
	}
	return errors.Join(problems...)
}
