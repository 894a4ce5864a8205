package weedability_test

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

func words(t testing.TB, text string, height units.Length) outline.Path {
	t.Helper()
	s, err := lettering.Set(text, lettering.Options{Height: height, Weld: true})
	require.NoError(t, err)
	return s.Path
}

// TestMendLaws: what Mend promises, on designs where strokes and gaps want the
// same room and on easy ones.
func TestMendLaws(t *testing.T) {
	ctx := context.Background()
	limits := weedability.LimitsFor(weedability.Cast)
	for name, p := range map[string]outline.Path{
		"letters too small by far": words(t, "MA", 5),
		"letters too small":        words(t, "Fair", 8),
		"letters a little small":   words(t, "telescope", 12),
		"letters large enough":     words(t, "MARLOW", 25),
		"every kind":               fair(),
		"dumbbell":                 dumbbell(0.6),
		"bars at odds":             {rect(0, 0, 30, 1.6), rect(0, 2.2, 30, 3.8), rect(0, 4.4, 30, 6)},
		"speck beside":             {rect(0, 0, 10, 10), rect(4, 11.5, 5.5, 13)},
		"speck alone":              {rect(0, 0, 1, 1)},
		"star":                     {outline.Star(outline.Pt(0, 0), 20, 5, 7, 0)},
	} {
		for _, tier := range []weedability.Severity{weedability.Caution, weedability.Warn} {
			t.Run(fmt.Sprintf("%s/%v", name, tier), func(t *testing.T) {
				opt := weedability.RemedyOptions{Tier: tier}
				given := p.Clone()
				before := inspect(t, p, weedability.Cast)
				m, err := weedability.Mend(ctx, p, limits, opt)
				require.NoError(t, err)
				assert.Equal(t, given, p, "the argument is left alone")
				after := inspect(t, m.Path, weedability.Cast)
				// Never worse: neither the worst nor how much of it there is.
				if len(after.Findings) > 0 {
					require.NotEmpty(t, before.Findings)
					assert.LessOrEqual(t, after.Findings[0].Severity, before.Findings[0].Severity)
				}
				count := func(r weedability.Report, s weedability.Severity) (n int) {
					for _, f := range r.Findings {
						if f.Severity == s {
							n++
						}
					}
					return n
				}
				assert.LessOrEqual(t, count(after, weedability.Refuse), count(before, weedability.Refuse))
				// Never a new finding unsaid, and none of those left.
				for _, f := range after.Findings {
					same := func(g weedability.Finding) bool { return f.Kind == g.Kind && f.At == g.At && f.Severity == g.Severity }
					if f.Severity >= tier {
						assert.True(t, slices.ContainsFunc(m.Left, same), "%v at %v is not said to be left", f.Kind, f.At)
					}
					known := slices.ContainsFunc(before.Findings, func(g weedability.Finding) bool {
						return f.Kind == g.Kind && f.Severity <= g.Severity && f.At.Distance(g.At) < 3
					})
					assert.True(t, known || slices.ContainsFunc(m.New, same), "%v at %v is not said to be new", f.Kind, f.At)
				}
				assert.Equal(t, len(after.Findings) == after.Count(weedability.TipSharp), m.Scale == 1)
				if len(m.Changes) == 0 {
					assert.Equal(t, p, m.Path)
				}
				// What is left is gone at the scale that is advised, but for points, which keep their angle.
				size, err := weedability.SmallestSafeSize(ctx, m.Path, limits, weedability.Options{})
				require.NoError(t, err)
				if m.Scale == 0 {
					assert.Greater(t, size.Scale, 7.9)
				}
				if m.Scale > 1 {
					assert.Equal(t, size.Scale, m.Scale)
					r := inspect(t, m.Path.Transform(outline.Scale(1.001*size.Scale, 1.001*size.Scale)), weedability.Cast)
					assert.Len(t, r.Findings, r.Count(weedability.TipSharp))
				}
				// Twice changes nothing more.
				again, err := weedability.Mend(ctx, m.Path, limits, opt)
				require.NoError(t, err)
				assert.Empty(t, again.Changes)
				assert.Equal(t, m.Path, again.Path)
			})
		}
	}
}

// TestMendCuresWhatItCan: where there is room, nothing is left.
func TestMendCuresWhatItCan(t *testing.T) {
	limits := weedability.LimitsFor(weedability.Cast)
	for name, p := range map[string]outline.Path{"letters": words(t, "MRLW", 12), "dumbbell": dumbbell(0.6), "ring": outline.Ring(outline.Pt(0, 0), 8, 7.1)} {
		m, err := weedability.Mend(context.Background(), p, limits, weedability.RemedyOptions{})
		require.NoError(t, err)
		assert.NotEmpty(t, m.Changes, name)
		assert.Len(t, m.Left, 0, name)
		assert.LessOrEqual(t, m.Scale, 1.0, name)
	}
}

// TestMendKeepsCounters: counters that were in order are not closed to thicken the
// letters round them; what that leaves is said, and how much larger to cut.
func TestMendKeepsCounters(t *testing.T) {
	limits := weedability.LimitsFor(weedability.Cast)
	for text, height := range map[string]units.Length{"Science Fair": 12, "telescope": 12} {
		p := words(t, text, height)
		before := inspect(t, p, weedability.Cast)
		require.Zero(t, before.Count(weedability.CounterSmall))
		m, err := weedability.Mend(context.Background(), p, limits, weedability.RemedyOptions{})
		require.NoError(t, err)
		after := inspect(t, m.Path, weedability.Cast)
		assert.NotEmpty(t, m.Changes)
		assert.Len(t, after.Counters, len(before.Counters), text)
		assert.Zero(t, after.Count(weedability.CounterSmall))
		assert.Less(t, after.Count(weedability.StrokeThin), before.Count(weedability.StrokeThin), text)
		assert.NotEqual(t, 0, len(m.Left))
		assert.Greater(t, m.Scale, 1.0)
	}
}

// TestMendMakesMilder: where the limit asked for is out of reach, a severer tier's is not. The counters of capitals
// of 6 mm close before their strokes are 2 mm thick; 0.5 mm, below which none should be cut, is there.
func TestMendMakesMilder(t *testing.T) {
	p := words(t, "ROCKET", 5)
	before := inspect(t, p, weedability.Cast)
	m, err := weedability.Mend(context.Background(), p, weedability.LimitsFor(weedability.Cast), weedability.RemedyOptions{})
	require.NoError(t, err)
	count := func(list []weedability.Finding, s weedability.Severity) (n int) {
		for _, f := range list {
			if f.Severity == s {
				n++
			}
		}
		return n
	}
	assert.NotZero(t, count(before.Findings, weedability.Refuse))
	assert.Zero(t, count(m.Left, weedability.Refuse))
	assert.LessOrEqual(t, count(m.Left, weedability.Warn), count(before.Findings, weedability.Warn)/2)
	assert.Greater(t, m.Scale, 1.0)
}

// TestMendStops: a context that is done ends it with its error.
func TestMendStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := weedability.Mend(ctx, fair(), weedability.LimitsFor(weedability.Cast), weedability.RemedyOptions{})
	assert.ErrorIs(t, err, context.Canceled)
	_, err = weedability.Mend(context.Background(), fair(), weedability.LimitsFor(weedability.Cast), weedability.RemedyOptions{Tier: 9})
	assert.ErrorIs(t, err, weedability.ErrOption)
}
