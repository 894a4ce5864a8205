package layout_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/units"
)

// The table of one size, by hand: 12 in less two margins of 10 mm is 284.8 mm.
func TestAcrossTable(t *testing.T) {
	films := []layout.Film{{Name: "navy", Width: 12 * units.Inch}, {Name: "gold", Width: 24 * units.Inch}}
	bed := layout.Bed{EdgeMargin: 10}
	rows, err := layout.AcrossTable(films, bed, 4.8*units.Inch, 5.25*units.Inch, units.Inch/4)
	require.NoError(t, err)
	require.Len(t, rows, 2)
	r := rows[0]
	assert.Equal(t, "navy", r.Film)
	assert.Equal(t, 2, r.Across) // common practice, no source: two across on 12 in film
	assert.InDelta(t, (133.35+6.35)/2, float64(r.FilmPerDecal), 1e-9)
	assert.Equal(t, 2, r.TurnedAcross)
	assert.InDelta(t, (121.92+6.35)/2, float64(r.TurnedFilmPerDecal), 1e-9)
	assert.InDelta(t, (284.8-2*6.35)/3, float64(r.OneMoreWidth), 1e-9)
	assert.InDelta(t, 90.7*133.35/121.92, float64(r.OneMoreHeight), 1e-9)
	assert.InDelta(t, 1-(90.7*133.35/121.92+6.35)/3/69.85, r.OneMoreSaves, 1e-12)
	for _, r := range rows { // one more goes across at that size, and not at a hair more
		n, err := layout.Across(layout.Film{Width: r.Width}, bed, r.OneMoreWidth, units.Inch/4)
		require.NoError(t, err)
		assert.Equal(t, r.Across+1, n)
		n, err = layout.Across(layout.Film{Width: r.Width}, bed, r.OneMoreWidth+0.001, units.Inch/4)
		require.NoError(t, err)
		assert.Equal(t, r.Across, n)
	}
	_, err = layout.AcrossTable(films, bed, 0, 1, 1)
	assert.ErrorIs(t, err, layout.ErrInvalid)
	_, err = layout.AcrossTable(films, layout.Bed{EdgeMargin: 200}, 10, 10, 1)
	assert.ErrorIs(t, err, layout.ErrDoesNotFit)
	rows, err = layout.AcrossTable(films[:1], bed, 400, 400, 300)
	require.NoError(t, err)
	assert.Zero(t, rows[0].Across)
	assert.Zero(t, rows[0].FilmPerDecal)
	assert.InDelta(t, 284.8, float64(rows[0].OneMoreWidth), 1e-9, "one goes across at the film's usable width")
}
