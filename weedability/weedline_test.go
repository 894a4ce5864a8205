package weedability_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// blocks is rows of squares of 8 mm, 10 mm apart along a row; rows are pitch
// apart, and squares climb by step from one to the next.
func blocks(rows, cols int, pitch, step float64) outline.Path {
	var p outline.Path
	for j := range rows {
		for i := range cols {
			x, y := 10*float64(i), pitch*float64(j)+step*float64(i)
			p = append(p, rect(x, y, x+8, y+8))
		}
	}
	return p
}

// requireClear checks a weed line the slow way: its distance from every edge of
// the artwork, sampled, and that it never runs over film.
func requireClear(t *testing.T, p outline.Path, l weedability.WeedLine, clearance float64) {
	t.Helper()
	points := l.Curve.Flatten(nil, 0)
	least := math.Inf(1)
	for i := 1; i < len(points); i++ {
		for k := range 201 {
			q := points[i-1].Lerp(points[i], float64(k)/200)
			require.False(t, p.Contains(q), "over film at %v", q)
			least = math.Min(least, float64(p.Nearest(q).Distance))
		}
	}
	require.GreaterOrEqual(t, least, clearance-1e-3)
	// The stated clearance is the measured one, as far as it is looked for.
	assert.LessOrEqual(t, l.Clearance, least+1e-9)
	assert.GreaterOrEqual(t, l.Clearance, clearance-1e-3)
}

func TestWeedLines(t *testing.T) {
	limits := weedability.LimitsFor(weedability.Cast)
	for name, c := range map[string]struct {
		path    outline.Path
		lines   int
		stepped bool
	}{
		"few pieces":            {blocks(1, 6, 20, 0), 0, false},
		"two rows":              {blocks(2, 6, 14, 0), 1, false},
		"four rows of six":      {blocks(4, 6, 14, 0), 3, false},
		"two climbing rows":     {blocks(2, 6, 16, 2), 1, true},
		"no room between":       {blocks(2, 6, 9, 0), 0, false},
		"one big piece":         {outline.Path{rect(0, 0, 200, 100)}, 0, false},
		"one piece with a neck": {outline.Path{jar(0, 1)}, 0, false},
		"two pieces and a neck": {outline.Path{jar(0, 1), jar(30, 3)}, 1, false},
	} {
		t.Run(name, func(t *testing.T) {
			lines, err := weedability.WeedLines(context.Background(), c.path, limits, weedability.WeedLineOptions{})
			require.NoError(t, err)
			require.Len(t, lines, c.lines)
			for _, l := range lines {
				requireClear(t, c.path, l, float64(limits.WasteNeck.Caution))
				assert.Equal(t, l.Before, l.First+l.Second)
				assert.NotZero(t, l.First)
				assert.NotZero(t, l.Second)
				assert.Equal(t, c.stepped, len(l.Curve.Segments) > 1)
				assert.NotEmpty(t, l.Benefit())
			}
		})
	}
}

func TestWeedLineOptionsAreChecked(t *testing.T) {
	p := blocks(2, 6, 14, 0)
	for _, opt := range []weedability.WeedLineOptions{{Clearance: 0.5}, {Clearance: -1}, {Pieces: -1}, {Tolerance: -1}, {BorderMargin: 0.1}} {
		_, err := weedability.WeedLines(context.Background(), p, weedability.LimitsFor(weedability.Cast), opt)
		var le *weedability.LimitsError
		require.ErrorAs(t, err, &le)
		assert.ErrorIs(t, err, weedability.ErrOption)
	}
}

// Lines end on one another or well apart: no needle of waste is left between two
// that begin side by side.
func TestWeedLinesEndWellApart(t *testing.T) {
	limits := weedability.LimitsFor(weedability.Cast)
	clearance := float64(limits.WasteNeck.Caution)
	pairs := 0
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 7))
		var p outline.Path
		for j := range 5 {
			for i := range 6 {
				x, y := 16*float64(i)+4*rng.Float64(), 16*float64(j)+4*rng.Float64()
				p = append(p, rect(x, y, x+5+6*rng.Float64(), y+5+6*rng.Float64()))
			}
		}
		lines, err := weedability.WeedLines(context.Background(), p, limits, weedability.WeedLineOptions{Pieces: 2})
		require.NoError(t, err)
		for i, a := range lines {
			for _, b := range lines[:i] {
				for _, c := range [][2]outline.Curve{{a.Curve, b.Curve}, {b.Curve, a.Curve}} {
					for _, end := range []outline.Point{c[0].Start, c[0].End()} {
						if d := float64(c[1].Nearest(end).Distance); d > 0.02 {
							assert.GreaterOrEqual(t, d, clearance, "seed %d, end %v", seed, end)
						}
						pairs++
					}
				}
			}
		}
	}
	assert.Greater(t, pairs, 1000)
}
