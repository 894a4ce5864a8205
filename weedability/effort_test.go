package weedability_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// TestFitEffort fits timings made with known coefficients.
func TestFitEffort(t *testing.T) {
	want := weedability.Effort{BaseSeconds: 20, SecondsPerMetre: 31, SecondsPerPick: 2.5, SecondsPerIsland: 4, SecondsPerNeck: 7}
	var log []weedability.Timing
	for i := range 12 {
		w := weedability.Work{PerimeterMM: float64(300 + 170*(i*i%7)), Picks: i * 3 % 11, SmallIslands: i * 5 % 4, Necks: i * i % 5}
		log = append(log, weedability.Timing{Work: w, Minutes: want.Minutes(w)})
	}
	got, rest, err := weedability.FitEffort(log)
	require.NoError(t, err)
	assert.InDelta(t, 0, rest, 1e-9)
	for _, v := range [][2]float64{{want.BaseSeconds, got.BaseSeconds}, {want.SecondsPerMetre, got.SecondsPerMetre}, {want.SecondsPerPick, got.SecondsPerPick},
		{want.SecondsPerIsland, got.SecondsPerIsland}, {want.SecondsPerNeck, got.SecondsPerNeck}} {
		assert.InDelta(t, v[0], v[1], 1e-8)
	}
	for _, bad := range [][]weedability.Timing{nil, log[:4], {log[0], log[0], log[0], log[0], log[0], log[0]}, append([]weedability.Timing{{Minutes: -1}}, log...)} {
		_, _, err := weedability.FitEffort(bad)
		assert.ErrorIs(t, err, weedability.ErrTimings)
	}
}

// TestTouchingContours: contours that a weld leaves touching at a point nest right.
func TestTouchingContours(t *testing.T) {
	q := outline.Pt(0, 0)
	outer := outline.Polygon(q, outline.Pt(20, -10), outline.Pt(20, 10))
	hole := outline.Polygon(q, outline.Pt(15, -4), outline.Pt(15, 4)).Reversed()
	beside := outline.Polygon(q, outline.Pt(-5, 5), outline.Pt(-5, -5))
	for _, p := range []outline.Path{{outer, hole, beside}, {beside, hole, outer}, {hole, outer, beside}} {
		r := inspect(t, p, weedability.Cast)
		assert.Len(t, r.Counters, 1)
		assert.Len(t, r.Islands, 2)
	}
}
