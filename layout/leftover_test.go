package layout_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
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

// Film in which registration marks were cut is not whole, and no clearance
// makes film whole that has been cut.
func TestLeftoverKeepsOffWhatIsCut(t *testing.T) {
	s := layout.Sheet{Film: layout.Film{Width: 300}, Length: 400, Decals: []layout.PlacedDecal{{Path: square(50)}},
		Marks: []outline.Curve{outline.Circle(outline.Pt(200, 200), 4).Curve()}}
	l, ok := s.Leftover(5, 50)
	require.True(t, ok)
	assert.False(t, l.Shape.Contains(outline.Pt(200, 200)), "a mark is cut there")
	assert.InDelta(t, 400*300-209*209, float64(l.Shape.Area()), 1e-6)
	nan := units.Length(math.NaN())
	for _, c := range [][2]units.Length{{-1, 50}, {nan, 50}, {5, -1}, {5, nan}, {units.Length(math.Inf(1)), 0}} {
		_, ok := s.Leftover(c[0], c[1])
		assert.False(t, ok, c)
	}
}
