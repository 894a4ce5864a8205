package cutpath

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

func TestRepeat(t *testing.T) {
	job, err := Plan(context.Background(), badges(1, 1), Options{})
	require.NoError(t, err)
	three, err := job.Repeat(3, 95)
	require.NoError(t, err)
	assert.InDelta(t, 3*float64(job.CutLength()), float64(three.CutLength()), 1e-9)
	assert.InDelta(t, job.Bounds().Width()+190, three.Bounds().Width(), 1e-9)
	assert.Equal(t, job.Length+190, three.Length)
	for _, c := range []struct {
		n     int
		pitch units.Length
	}{{0, 10}, {3, 0}, {1 << 30, 10}, {2, units.Length(math.NaN())}} {
		_, err := job.Repeat(c.n, c.pitch)
		assert.ErrorIs(t, err, ErrInvalidOption)
	}
}

func TestSplitKeepsEveryCut(t *testing.T) {
	job, err := Plan(context.Background(), badges(5, 2), Options{})
	require.NoError(t, err)
	for _, l := range []units.Length{30, 77.3, 100, 289, 290, 1000} {
		parts, err := job.Split(l)
		require.NoError(t, err)
		var sum units.Length
		for _, p := range parts {
			b := p.Bounds()
			assert.GreaterOrEqual(t, b.Min.X, -1e-9)
			if len(parts) > 1 {
				assert.LessOrEqual(t, b.Max.X, float64(l)+1e-9)
			}
			sum += p.CutLength()
		}
		// Chords are shorter than the circles they stand for.
		assert.InDelta(t, float64(job.CutLength()), float64(sum), 0.5, "%v", l)
	}
	whole, err := job.Split(1000)
	require.NoError(t, err)
	assert.Equal(t, []Job{job}, whole)
	for _, l := range []units.Length{0, -1, units.Length(math.NaN()), units.Length(math.Inf(1))} {
		_, err := job.Split(l)
		assert.ErrorIs(t, err, ErrInvalidOption)
	}
	_, err = jobOf(outline.Polyline(outline.Pt(-5, 0), outline.Pt(5, 0))).Split(10)
	assert.ErrorIs(t, err, ErrRange)
}
