package weedability_test

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// TestZeroValues: what the zero value of every exported type does.
func TestZeroValues(t *testing.T) {
	ctx := context.Background()
	p := outline.Path{rect(0, 0, 20, 20), rect(5, 5, 15, 15).Reversed()}
	limits := weedability.LimitsFor(weedability.Cast)

	// Limits are the one that is not usable: it says so, and which limit.
	var noLimits weedability.Limits
	err := noLimits.Check()
	var le *weedability.LimitsError
	require.ErrorAs(t, err, &le)
	assert.Equal(t, "island_area.refuse", le.Field)
	_, err = weedability.Inspect(ctx, p, noLimits, weedability.Options{})
	assert.ErrorIs(t, err, weedability.ErrLimit)

	// Options are the usual: the same as their documented defaults, spelt out.
	usual, err := weedability.Inspect(ctx, p, limits, weedability.Options{})
	require.NoError(t, err)
	spelt, err := weedability.Inspect(ctx, p, limits, weedability.Options{Tolerance: 0.02, BorderMargin: 6.4, Effort: weedability.DefaultEffort()})
	require.NoError(t, err)
	assert.Equal(t, spelt, usual)
	none, err := weedability.WeedLines(ctx, p, limits, weedability.WeedLineOptions{})
	require.NoError(t, err)
	assert.Equal(t, []weedability.WeedLine{}, none)
	rows := blocks(2, 6, 14, 0)
	with, err := weedability.Inspect(ctx, rows, limits, weedability.Options{})
	require.NoError(t, err)
	require.NotEmpty(t, with.WeedLines)
	without, err := weedability.Inspect(ctx, rows, limits, weedability.Options{OmitWeedLines: true})
	require.NoError(t, err)
	assert.Equal(t, []weedability.WeedLine{}, without.WeedLines)
	with.WeedLines = without.WeedLines
	assert.Equal(t, with, without, "and nothing else is left out")
	assert.Equal(t, rows.Bounds().Grow(6.4), without.Waste.Border)
	lines, err := weedability.WeedLines(ctx, rows, limits, weedability.WeedLineOptions{})
	require.NoError(t, err)
	same, err := weedability.WeedLines(ctx, rows, limits, weedability.WeedLineOptions{Clearance: limits.WasteNeck.Caution, Pieces: 8, Tolerance: 0.02, BorderMargin: 6.4})
	require.NoError(t, err)
	assert.Equal(t, same, lines)
	m, err := weedability.Thicken(ctx, dumbbell(0.8), limits, weedability.RemedyOptions{})
	require.NoError(t, err)
	n, err := weedability.Thicken(ctx, dumbbell(0.8), limits, weedability.RemedyOptions{Tier: weedability.Caution, Tolerance: 0.02, BorderMargin: 6.4})
	require.NoError(t, err)
	assert.Equal(t, n, m)

	// An empty report has no markers and no null in JSON.
	var r weedability.Report
	assert.Zero(t, r.Count(weedability.StrokeThin))
	assert.Equal(t, []weedability.Marker{}, r.Markers(nil))
	data, err := json.Marshal(r)
	require.NoError(t, err)
	assert.NotContains(t, string(data), "null")

	// The zero of every small integer type has a name that reads back.
	for _, v := range []interface{ MarshalText() ([]byte, error) }{weedability.Kind(0), weedability.Severity(0), weedability.FilmClass(0), weedability.Lift(0)} {
		text, err := v.MarshalText()
		require.NoError(t, err)
		assert.NotEmpty(t, string(text))
	}
	assert.Equal(t, "counter-small", weedability.Kind(0).String())
	assert.Equal(t, "caution", weedability.Severity(0).String())
	assert.Equal(t, "calendered", weedability.FilmClass(0).String())
	assert.Equal(t, "unlikely", weedability.Lift(0).String())
	assert.Equal(t, "circle", weedability.MarkerShape(0).String())

	// No work takes no time by an effort of nothing; the default has its base.
	assert.Zero(t, weedability.Effort{}.Minutes(weedability.Work{PerimeterMM: 5000, Picks: 9}))
	assert.InDelta(t, weedability.DefaultEffort().BaseSeconds/60, weedability.DefaultEffort().Minutes(weedability.Work{}), 1e-12)

	for _, e := range []error{&weedability.ShapeError{}, &weedability.LimitsError{}} {
		assert.NotEmpty(t, e.Error())
	}
	// Labels, benefits and markers of nothing are text, not a panic.
	assert.Equal(t, "C0", weedability.Counter{}.Label())
	assert.Equal(t, "I0", weedability.Island{}.Label())
	assert.NotEmpty(t, weedability.WeedLine{}.Benefit())
	assert.NotPanics(t, func() { r.Markers([]weedability.WeedLine{{}}) })
	for _, v := range []json.Marshaler{weedability.Counter{}, weedability.Island{}, weedability.Finding{}, weedability.Waste{}, weedability.Neck{}, weedability.Pull{}, weedability.WeedLine{}, weedability.Change{}} {
		_, err := v.MarshalJSON()
		assert.NoError(t, err)
	}
}
