package layout_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
)

func TestLeftover(t *testing.T) {
	s := layout.Sheet{Name: "load-03", Film: layout.Film{Name: "navy", Width: 300}, Length: 200,
		Decals: []layout.PlacedDecal{{ID: "A-01", Path: square(97)}}} // x 3 to 100, y 4 to 101
	l, ok := s.Leftover(5, 100)
	require.True(t, ok)
	assert.Equal(t, "navy", l.Film)
	// The box of the decal, 5 mm wider: x 0 to 105, y 0 to 106.
	assert.InDelta(t, 200*300-105*106, float64(l.Shape.Area()), 1e-6)
	_, ok = s.Leftover(5, 250)
	assert.False(t, ok, "no rectangle of 250 by 250 is left")
	_, ok = layout.Sheet{}.Leftover(5, 1)
	assert.False(t, ok)
	full := s
	full.Decals = []layout.PlacedDecal{{Path: outline.Path{outline.Polygon(outline.Pt(1, 1), outline.Pt(199, 1), outline.Pt(199, 299), outline.Pt(1, 299))}}}
	_, ok = full.Leftover(5, 1)
	assert.False(t, ok)
}

func TestRectangleLeftover(t *testing.T) {
	l, err := layout.RectangleLeftover("L1", "navy", 100, 50)
	require.NoError(t, err)
	assert.InDelta(t, 5000, float64(l.Shape.Area()), 1e-9)
	_, err = layout.RectangleLeftover("L1", "navy", 0, 50)
	assert.ErrorIs(t, err, layout.ErrInvalid)
}
