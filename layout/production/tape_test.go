package production_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/units"
)

// Common practice, no source: 6 in tape covers one column of decals about 4.8
// in wide.
func TestTapeCoversAColumn(t *testing.T) {
	rolls := []production.TapeRoll{{Width: 12 * units.Inch}, {Width: 6 * units.Inch}}
	plan, err := production.Tape([]production.Strip{{Name: "column 1", Width: 4.8 * units.Inch, Length: 11 * units.Inch}}, rolls, units.Inch/2)
	require.NoError(t, err)
	require.Len(t, plan.Pieces, 1)
	assert.Equal(t, 6*units.Inch, plan.Pieces[0].Width)
	assert.InDelta(t, 12, plan.Length.Inches(), 1e-9)
	assert.InDelta(t, 72, plan.Area.SquareInches(), 1e-9)
	assert.InDelta(t, 72-4.8*11, plan.Waste.SquareInches(), 1e-9)
}

// A strip that fills its roll to the last hair is covered by it: 5 in of decals
// and twice half an inch are 6 in.
func TestTapeThatFitsExactly(t *testing.T) {
	rolls := []production.TapeRoll{{Width: 6 * units.Inch}, {Width: 12 * units.Inch}}
	for _, width := range []units.Length{5 * units.Inch, 4.9999 * units.Inch} {
		plan, err := production.Tape([]production.Strip{{Name: "column 1", Width: width, Length: 11 * units.Inch}}, rolls, units.Inch/2)
		require.NoError(t, err)
		assert.Equal(t, 6*units.Inch, plan.Pieces[0].Width)
	}
	plan, err := production.Tape([]production.Strip{{Name: "column 1", Width: 5.001 * units.Inch, Length: 11 * units.Inch}}, rolls, units.Inch/2)
	require.NoError(t, err)
	assert.Equal(t, 12*units.Inch, plan.Pieces[0].Width)
}

func TestTapeErrors(t *testing.T) {
	strip := []production.Strip{{Name: "x", Width: 10, Length: 10}}
	var e *production.Error
	_, err := production.Tape(strip, []production.TapeRoll{{Width: 9}}, 0)
	require.ErrorAs(t, err, &e)
	assert.ErrorIs(t, err, production.ErrTooLarge)
	_, err = production.Tape(strip, nil, 0)
	assert.ErrorIs(t, err, production.ErrTooLarge)
	_, err = production.Tape(strip, []production.TapeRoll{{}}, 0)
	assert.ErrorIs(t, err, production.ErrInvalid)
	_, err = production.Tape(strip, nil, -1)
	assert.ErrorIs(t, err, production.ErrInvalid)
	_, err = production.Tape([]production.Strip{{}}, nil, 0)
	assert.ErrorIs(t, err, production.ErrInvalid)
}
