package weedability_test

import (
	"context"
	"math"
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

// TestLift: the risk of a piece is that of the severest of its two limits, area and width.
func TestLift(t *testing.T) {
	for _, c := range []struct {
		w, h float64
		lift weedability.Lift
	}{
		{10, 10, weedability.LiftUnlikely}, {2, 2, weedability.LiftUnlikely}, // the 2 mm square itself holds
		{1.9, 1.9, weedability.LiftPossible}, {1.5, 40, weedability.LiftPossible}, // narrow, but of ample area
		{0.9, 40, weedability.LiftLikely}, {0.9, 0.9, weedability.LiftLikely}, {0.45, 40, weedability.LiftCertain}, {0.4, 0.4, weedability.LiftCertain},
	} {
		for _, inside := range []bool{false, true} {
			p := outline.Path{rect(0, 0, c.w, c.h)}
			if inside { // a counter holds a piece no better
				p = append(p, rect(-30, -30, 60, 60), rect(-20, -20, 50, 50).Reversed())
			}
			r := inspect(t, p, weedability.Cast)
			require.NotEmpty(t, r.Islands)
			assert.Equal(t, c.lift, r.Islands[0].Lift, "%v x %v", c.w, c.h)
			assert.Equal(t, inside, r.Islands[0].Inside)
			if c.lift == weedability.LiftUnlikely {
				assert.Zero(t, r.Work.SmallIslands)
			} else {
				assert.Equal(t, 1, r.Work.SmallIslands)
			}
		}
	}
}

// TestFindingsSayAll: every finding of a report has all that it promises.
func TestFindingsSayAll(t *testing.T) {
	r := fairReport(t)
	require.NotEmpty(t, r.Findings)
	last := weedability.Refuse
	for _, f := range r.Findings {
		assert.LessOrEqual(t, f.Severity, last, "the severest first")
		last = f.Severity
		assert.Less(t, f.Value, f.Limit)
		assert.NotEmpty(t, f.Source)
		assert.NotEmpty(t, f.Remedy)
		assert.NotEmpty(t, f.Label)
		require.NotEmpty(t, f.Outline, "%v", f.Kind)
		near := math.Inf(1)
		for _, c := range f.Outline {
			near = math.Min(near, float64(c.Nearest(f.At).Distance))
		}
		assert.Less(t, near, 2.0, "%v lies at its outline", f.Kind)
		assert.Equal(t, f.Kind == weedability.TipSharp, f.SafeScale == 0)
		assert.Equal(t, f.Kind == weedability.IslandArea, f.Unit == "mm2")
	}
}

// TestPickable: a counter from the limit's tier warn on is wide enough for a pick tool.
func TestPickable(t *testing.T) {
	r := inspect(t, outline.Path{rect(0, 0, 30, 10), rect(3, 3, 3.9, 7).Reversed(), rect(20, 3, 21.1, 7).Reversed()}, weedability.Cast)
	require.Len(t, r.Counters, 2)
	for _, c := range r.Counters {
		assert.Equal(t, c.At.X > 15, c.Pickable, "%.2f mm", c.Width)
	}
}
