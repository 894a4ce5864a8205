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

// 3 × 819.175 / 819.175 is below 3 in floating point: cut at borders found by
// division, a stroke across the classic range's third one never came to an end.
func TestSplitAtTheClassicLimit(t *testing.T) {
	for _, l := range []float64{819.175, 0.7, 3.3, 49.3, 1.1} {
		for _, x := range [][2]float64{{0.3, 20}, {20, 0.3}, {2, 20}, {20, 2}, {3, 15}, {15, 3}} {
			from, to := x[0]*l, x[1]*l
			job := jobOf(outline.Polyline(outline.Pt(from, 0), outline.Pt((from+to)/2, 5), outline.Pt(to, 0)))
			parts, err := job.Split(units.Length(l))
			require.NoError(t, err)
			require.Len(t, parts, int(math.Ceil(math.Max(x[0], x[1]))))
			sum := 0.0
			for i, p := range parts {
				for _, s := range p.Strokes {
					b := s.Curve.Bounds()
					assert.GreaterOrEqual(t, b.Min.X, -1e-9, "part %d", i)
					assert.LessOrEqual(t, b.Max.X, l+1e-9, "part %d", i)
				}
				assert.LessOrEqual(t, len(p.Strokes), 1, "one piece a part")
				sum += float64(p.CutLength())
			}
			assert.InDelta(t, float64(job.CutLength()), sum, 1e-6)
		}
	}
}

// Lines along a border, and lines that only reach it, stay as they are.
func TestSplitOnTheBorder(t *testing.T) {
	const l = 819.175
	for k := 1; k <= 50; k++ {
		x := float64(k) * l
		along := outline.Polyline(outline.Pt(x, 0), outline.Pt(x, 10))
		reach := outline.Polyline(outline.Pt(x-5, 0), outline.Pt(x, 0), outline.Pt(x-5, 10))
		leave := outline.Polyline(outline.Pt(x, 0), outline.Pt(x+5, 10))
		for _, c := range []outline.Curve{along, reach, leave} {
			pieces, ok := piecesAt(Stroke{Curve: c}, l, MaxNodes)
			assert.True(t, ok)
			assert.Equal(t, []outline.Curve{c}, pieces, "border %d", k)
		}
	}
}

// A job split anywhere keeps the length of its cuts, and every part its range.
func FuzzSplit(f *testing.F) {
	f.Add(819.175, 0.0, 0.0, 3000.0, 50.0, 100.0, -20.0)
	f.Add(3.3, 9.9, 1.0, 0.0, 2.0, 6.6, 3.0)
	f.Add(0.7, 2.1, 0.0, 2.1, 9.0, 0.7, 0.0)
	f.Fuzz(func(t *testing.T, l, x0, y0, x1, y1, x2, y2 float64) {
		for _, v := range []float64{x0, y0, x1, y1, x2, y2} {
			if !(math.Abs(v) <= 1e5) {
				return
			}
		}
		c := outline.Polyline(outline.Pt(x0, y0), outline.Pt(x1, y1), outline.Pt(x2, y2), outline.Pt(x0, y0))
		job := jobOf(c)
		parts, err := job.Split(units.Length(l))
		if err != nil {
			return
		}
		sum := 0.0
		for _, p := range parts {
			b := p.Bounds()
			if len(parts) > 1 && !b.IsEmpty() && !(b.Min.X >= -1e-6 && b.Max.X <= l+1e-6) {
				t.Fatalf("x from %v to %v in parts of %v", b.Min.X, b.Max.X, l)
			}
			sum += float64(p.CutLength())
		}
		if want := float64(job.CutLength()); math.Abs(sum-want) > 1e-6*(1+want) {
			t.Fatalf("%v mm became %v", want, sum)
		}
	})
}
