package nest_test

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
)

// What the zero values of the exported types mean.
func TestZeroValues(t *testing.T) {
	assert.Equal(t, "none", nest.Rotations{}.Mode.String())
	assert.Equal(t, "never", nest.Piece{}.Mirror.String())
	assert.Equal(t, "free", nest.Grain{}.Mode.String())
	assert.Zero(t, nest.Strip{}.KeptDistance())
	assert.Equal(t, nest.Margins{}, nest.EqualMargins(0))
	assert.Zero(t, nest.Cut{}.Length())
	assert.Equal(t, [6]float64{1, 0, 0, 0, 1, 0}, nest.Placement{}.Matrix())
	assert.Equal(t, rectangle(2, 3), nest.Placement{}.Apply(rectangle(2, 3)))
	assert.Empty(t, nest.Result{}.Placements())
	data, err := json.Marshal(nest.Result{})
	require.NoError(t, err)
	assert.JSONEq(t, `{"loads":[],"length_mm":0,"density":0,"seed":0}`, string(data))
	_, err = nest.Result{}.Verify(nest.Strip{Width: 1}, nil)
	assert.NoError(t, err)
	// A piece needs no Count to be placed once; Options need nothing at all.
	r, err := nest.Nest(context.Background(), nest.Strip{Width: 10}, []nest.Piece{{ID: "one", Outline: rectangle(5, 10)}}, nest.Options{})
	require.NoError(t, err)
	assert.Len(t, r.Placements(), 1)
	for _, e := range []error{&nest.InputError{}, &nest.SizeError{}, &nest.RoomError{}, &nest.VerifyError{}} {
		assert.NotEmpty(t, e.Error())
	}
}
