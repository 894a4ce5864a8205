package weedability_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// jar is a block with a bay of 10 x 10 mm that opens upwards through a neck of
// the given width, 3 mm high.
func jar(x, neck float64) outline.Contour {
	c := x + 10
	return outline.Polygon(outline.Pt(x, 0), outline.Pt(x+20, 0), outline.Pt(x+20, 18), outline.Pt(c+neck/2, 18), outline.Pt(c+neck/2, 15),
		outline.Pt(c+5, 15), outline.Pt(c+5, 5), outline.Pt(c-5, 5), outline.Pt(c-5, 15), outline.Pt(c-neck/2, 15), outline.Pt(c-neck/2, 18), outline.Pt(x, 18))
}

func TestNeckOfABay(t *testing.T) {
	r := inspect(t, outline.Path{jar(0, 1.2), jar(40, 0.6), jar(80, 3)}, weedability.Cast)
	require.Len(t, r.Waste.Necks, 2)
	// The narrowest tears first.
	assert.InDelta(t, 0.6, r.Waste.Necks[0].Width, 0.001)
	assert.InDelta(t, 1.2, r.Waste.Necks[1].Width, 0.001)
	// The bay itself, and at most the neck's 3 mm.
	for i, neck := range []float64{0.6, 1.2} {
		assert.GreaterOrEqual(t, r.Waste.Necks[i].Loose, 100.0)
		assert.LessOrEqual(t, r.Waste.Necks[i].Loose, 100+3*neck+1e-6)
	}
	assert.InDelta(t, 50, r.Waste.Necks[0].LooseAt.X, 5)
	assert.Equal(t, 3, r.Waste.Pieces)
	f := of(r, weedability.WasteNeck)
	require.Len(t, f, 2)
	assert.Equal(t, weedability.Warn, f[0].Severity)
	assert.Equal(t, weedability.Caution, f[1].Severity)
}

func TestNeckBetweenPieces(t *testing.T) {
	// Two brackets facing each other: the waste between them hangs on two gaps,
	// and comes off where the wider one tears.
	left := outline.Polygon(outline.Pt(0, 0), outline.Pt(15, 0), outline.Pt(15, 5), outline.Pt(5, 5), outline.Pt(5, 25), outline.Pt(15, 25), outline.Pt(15, 30), outline.Pt(0, 30))
	right := outline.Polygon(outline.Pt(15.7, 0), outline.Pt(30, 0), outline.Pt(30, 30), outline.Pt(16.2, 30), outline.Pt(16.2, 25), outline.Pt(25, 25), outline.Pt(25, 5), outline.Pt(15.7, 5))
	r := inspect(t, outline.Path{left, right}, weedability.Cast)
	require.Len(t, r.Waste.Necks, 1)
	assert.InDelta(t, 1.2, r.Waste.Necks[0].Width, 0.001)
	assert.InDelta(t, 20*20, r.Waste.Necks[0].Loose, 15)
	// One gap alone leaves nothing behind.
	r = inspect(t, outline.Path{left, right.Curve().Closed()}[:1], weedability.Cast)
	assert.Empty(t, r.Waste.Necks)
	r = inspect(t, outline.Path{rect(0, 0, 10, 20), rect(10.7, 0, 20, 20)}, weedability.Cast)
	assert.Empty(t, r.Waste.Necks)
	assert.Equal(t, 1, r.Waste.Pieces)
	assert.Len(t, of(r, weedability.GapNarrow), 1)
}

func TestNeckInACounter(t *testing.T) {
	// A counter of two rooms joined by a door 1 mm wide: two picks.
	hole := outline.Polygon(outline.Pt(5, 5), outline.Pt(20, 5), outline.Pt(20, 9.5), outline.Pt(22, 9.5), outline.Pt(22, 5), outline.Pt(30, 5),
		outline.Pt(30, 15), outline.Pt(22, 15), outline.Pt(22, 10.5), outline.Pt(20, 10.5), outline.Pt(20, 15), outline.Pt(5, 15)).Reversed()
	r := inspect(t, outline.Path{rect(0, 0, 40, 20), hole}, weedability.Cast)
	require.Len(t, r.Counters, 1)
	require.Len(t, r.Waste.Necks, 1)
	assert.True(t, r.Waste.Necks[0].Counter)
	assert.InDelta(t, 1, r.Waste.Necks[0].Width, 0.001)
	assert.InDelta(t, 80, r.Waste.Necks[0].Loose, 2.01, "the smaller room")
	assert.Equal(t, 1, r.Waste.Pieces, "the sheet itself is whole")
}
