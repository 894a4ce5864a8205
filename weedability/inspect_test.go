package weedability_test

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

func rect(x0, y0, x1, y1 float64) outline.Contour {
	return outline.Rectangle(outline.Box{Min: outline.Pt(x0, y0), Max: outline.Pt(x1, y1)})
}

func inspect(t *testing.T, p outline.Path, class weedability.FilmClass) weedability.Report {
	t.Helper()
	r, err := weedability.Inspect(context.Background(), p, weedability.LimitsFor(class), weedability.Options{})
	require.NoError(t, err)
	return r
}

func TestNestedPieces(t *testing.T) {
	// A plate with a hole, in it an island with a hole, in it another island.
	p := outline.Path{rect(0, 0, 100, 60), rect(10, 10, 90, 50).Reversed(), rect(20, 15, 60, 45), rect(30, 20, 50, 40).Reversed(), rect(39, 29, 40, 30)}
	r := inspect(t, p, weedability.Cast)
	require.Len(t, r.Islands, 3)
	require.Len(t, r.Counters, 2)
	slices.SortFunc(r.Counters, func(a, b weedability.Counter) int { return a.Contour - b.Contour })
	assert.InDelta(t, 80*40-40*30, r.Counters[0].Area, 1e-9)
	assert.InDelta(t, 30, r.Counters[0].Width, 0.01)
	assert.InDelta(t, 20*20-1, r.Counters[1].Area, 1e-9)
	assert.InDelta(t, 1, r.Islands[2].Width, 0.01)
	assert.True(t, r.Islands[2].Inside)
	assert.Equal(t, weedability.LiftPossible, r.Islands[2].Lift)
}

func inspectLimits(p outline.Path, limits weedability.Limits) (weedability.Report, error) {
	return weedability.Inspect(context.Background(), p, limits, weedability.Options{})
}
