package nest_test

import (
	"context"
	"math"
	"strconv"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// What would take all memory is refused at once, by a limit that the error
// names, whichever way it comes.
func TestLimits(t *testing.T) {
	square := rectangle(10, 10)
	ring := make(orb.Ring, nest.MaxVertices+1)
	for i := range ring {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(len(ring)))
		ring[i] = orb.Point{50 * c, 50 * s}
	}
	round := orb.MultiPolygon{{ring}}
	copies, vertices, rotations := strconv.Itoa(nest.MaxCopies), strconv.Itoa(nest.MaxVertices), strconv.Itoa(nest.MaxRotations)
	for name, c := range map[string]struct {
		strip  nest.Strip
		pieces []nest.Piece
		cause  error
		names  string
	}{
		"count":           {nest.Strip{Width: 100}, []nest.Piece{{ID: "a", Outline: square, Count: nest.MaxCopies + 1}}, nest.ErrTooMany, copies},
		"counts together": {nest.Strip{Width: 100}, []nest.Piece{{ID: "a", Outline: square}, {ID: "b", Outline: square, Count: math.MaxInt}}, nest.ErrTooMany, copies},
		"vertices":        {nest.Strip{Width: 200}, []nest.Piece{{ID: "a", Outline: round}}, nest.ErrTooMany, vertices},
		"leftover":        {nest.Strip{Leftover: round}, []nest.Piece{{ID: "a", Outline: square}}, nest.ErrTooMany, vertices},
		"forbidden":       {nest.Strip{Width: 100, Forbidden: round}, []nest.Piece{{ID: "a", Outline: square}}, nest.ErrTooMany, vertices},
		"rotations": {nest.Strip{Width: 100}, []nest.Piece{{ID: "a", Outline: square,
			Rotations: nest.Rotations{Mode: nest.RotateList, List: make([]units.Angle, nest.MaxRotations+1)}}}, nest.ErrTooMany, rotations},
		"width":      {nest.Strip{Width: 2 * nest.MaxCoordinate}, []nest.Piece{{ID: "a", Outline: square}}, nest.ErrBadNumber, "1e+09"},
		"load":       {nest.Strip{Width: 100, MaxLength: 2 * nest.MaxCoordinate}, []nest.Piece{{ID: "a", Outline: square}}, nest.ErrBadNumber, "1e+09"},
		"coordinate": {nest.Strip{Width: 100}, []nest.Piece{{ID: "a", Outline: rectangle(10, 2*nest.MaxCoordinate)}}, nest.ErrBadNumber, "1e+09"},
	} {
		t.Run(name, func(t *testing.T) {
			begun := time.Now()
			calls := []func(context.Context, nest.Strip, []nest.Piece, nest.Options) (nest.Result, error){nest.Nest, nest.Gang}
			if c.strip.Leftover != nil || c.strip.Forbidden != nil { // a gang has neither
				calls = calls[:1]
			}
			for _, call := range calls {
				_, err := call(context.Background(), c.strip, c.pieces, nest.Options{})
				var typed *nest.InputError
				require.ErrorAs(t, err, &typed)
				assert.ErrorIs(t, err, c.cause)
				assert.Contains(t, err.Error(), c.names)
				assert.NotEmpty(t, typed.Fix)
			}
			assert.Less(t, time.Since(begun), 2*time.Second)
		})
	}
}
