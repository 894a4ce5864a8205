package weedability_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

type remedy = func(context.Context, outline.Path, weedability.Limits, weedability.RemedyOptions) (weedability.Mended, error)

var remedies = map[string]remedy{
	"thicken": weedability.Thicken, "widen": weedability.WidenGaps, "fill": weedability.FillCounters,
	"drop": weedability.DropSpecks, "bridge": weedability.Bridge, "blunt": weedability.BluntTips,
}

// kindOf is the kind of finding that each remedy is for.
var kindOf = map[string]weedability.Kind{
	"thicken": weedability.StrokeThin, "widen": weedability.GapNarrow, "fill": weedability.CounterSmall,
	"drop": weedability.IslandArea, "bridge": weedability.IslandArea, "blunt": weedability.TipSharp,
}

func mend(t *testing.T, f remedy, p outline.Path, opt weedability.RemedyOptions) weedability.Mended {
	t.Helper()
	m, err := f(context.Background(), p, weedability.LimitsFor(weedability.Cast), opt)
	require.NoError(t, err)
	return m
}

// dumbbell is two blocks joined by a bar of the given width from x = 10 to 30.
func dumbbell(w float64) outline.Path {
	return outline.Path{outline.Polygon(outline.Pt(0, -5), outline.Pt(10, -5), outline.Pt(10, -w/2), outline.Pt(30, -w/2), outline.Pt(30, -5), outline.Pt(40, -5),
		outline.Pt(40, 5), outline.Pt(30, 5), outline.Pt(30, w/2), outline.Pt(10, w/2), outline.Pt(10, 5), outline.Pt(0, 5))}
}

func TestThickenOnlyWhereThin(t *testing.T) {
	p := dumbbell(0.8)
	m := mend(t, weedability.Thicken, p, weedability.RemedyOptions{})
	require.Len(t, m.Changes, 1)
	assert.InDelta(t, 0.8, m.Changes[0].Before, 0.001)
	assert.InDelta(t, 2, m.Changes[0].After, 0.05)
	assert.Empty(t, m.Left)
	assert.Empty(t, m.New)
	// The bar has grown from 0.8 to 2.02 mm, nothing else has.
	grown := float64(m.Path.Area() - p.Area())
	assert.InDelta(t, 20*(2.02-0.8), grown, 1)
	assert.Equal(t, p.Bounds(), m.Path.Bounds())
	// Only up to the limit of the asked tier.
	m = mend(t, weedability.Thicken, p, weedability.RemedyOptions{Tier: weedability.Warn})
	r := inspect(t, m.Path, weedability.Cast)
	f := of(r, weedability.StrokeThin)
	require.Len(t, f, 1)
	assert.Equal(t, weedability.Caution, f[0].Severity)
	assert.InDelta(t, 1.02, f[0].Value, 0.02)
}

func TestWidenGaps(t *testing.T) {
	p := outline.Path{rect(0, 0, 30, 5), rect(0, 5.4, 30, 12)}
	m := mend(t, weedability.WidenGaps, p, weedability.RemedyOptions{})
	assert.Len(t, m.Changes, 1)
	assert.Empty(t, m.Left)
	assert.Empty(t, m.New)
	assert.InDelta(t, -30*0.62, float64(m.Path.Area()-p.Area()), 0.8)
	assert.Empty(t, of(inspect(t, m.Path, weedability.Cast), weedability.GapNarrow))
	// A gap widened at the cost of a stroke says so.
	p = outline.Path{rect(0, 0, 30, 2.1), rect(0, 2.5, 30, 12)}
	m = mend(t, weedability.WidenGaps, p, weedability.RemedyOptions{})
	var kinds []weedability.Kind
	for _, f := range m.New {
		kinds = append(kinds, f.Kind)
	}
	assert.Contains(t, kinds, weedability.StrokeThin)
}

func TestFillCounters(t *testing.T) {
	p := outline.Path{rect(0, 0, 40, 20), rect(5, 5, 15, 15).Reversed(), rect(20, 5, 21.5, 15).Reversed(), rect(25, 5, 25.4, 15).Reversed()}
	m := mend(t, weedability.FillCounters, p, weedability.RemedyOptions{})
	assert.Len(t, m.Changes, 2)
	assert.Len(t, m.Path, 2)
	assert.Empty(t, m.Left)
	m = mend(t, weedability.FillCounters, p, weedability.RemedyOptions{Tier: weedability.Refuse})
	assert.Len(t, m.Changes, 1)
	assert.Len(t, m.Path, 3)
}

func TestDropSpecksAndBridge(t *testing.T) {
	p := outline.Path{rect(0, 0, 10, 10), rect(4, 11.5, 5.5, 13)}
	m := mend(t, weedability.DropSpecks, p, weedability.RemedyOptions{})
	assert.Len(t, m.Changes, 1)
	assert.Equal(t, p[:1], m.Path)
	m = mend(t, weedability.Bridge, p, weedability.RemedyOptions{})
	assert.Len(t, m.Changes, 1)
	assert.Len(t, m.Path, 1, "one piece")
	assert.Empty(t, m.Left)
	assert.Empty(t, of(inspect(t, m.Path, weedability.Cast), weedability.IslandArea))
	// A speck alone has no neighbour, and dropping it would leave nothing.
	m = mend(t, weedability.Bridge, p[1:], weedability.RemedyOptions{})
	assert.Empty(t, m.Changes)
	assert.Len(t, m.Left, 1)
	_, err := weedability.DropSpecks(context.Background(), p[1:], weedability.LimitsFor(weedability.Cast), weedability.RemedyOptions{})
	var se *weedability.ShapeError
	require.ErrorAs(t, err, &se)
	assert.ErrorIs(t, err, weedability.ErrEmpty)
}

func TestBluntTips(t *testing.T) {
	// A triangle 30 mm high with a tip of 20 degrees: the ball of 1.01 mm sits where its
	// distance from the apex is r/sin(10°).
	half := 30 * math.Tan(10*math.Pi/180)
	p := outline.Path{outline.Polygon(outline.Pt(-half, 0), outline.Pt(half, 0), outline.Pt(0, 30))}
	m := mend(t, weedability.BluntTips, p, weedability.RemedyOptions{})
	require.Len(t, m.Changes, 1)
	assert.Empty(t, m.Left)
	assert.Empty(t, m.New)
	r := 1.01
	assert.InDelta(t, 30-r/math.Sin(10*math.Pi/180)+r, m.Path.Bounds().Max.Y, 0.01)
	require.NoError(t, m.Path.Check())
	// Both tips of a lens.
	lens := outline.Path{{Start: outline.Pt(-15, 0), Segments: []outline.Segment{
		outline.QuadTo(outline.Pt(0, -7), outline.Pt(15, 0)), outline.QuadTo(outline.Pt(0, 7), outline.Pt(-15, 0))}}}
	m = mend(t, weedability.BluntTips, lens, weedability.RemedyOptions{})
	if len(of(inspect(t, lens, weedability.Cast), weedability.TipSharp)) > 0 {
		assert.Empty(t, m.Left)
		assert.Less(t, m.Path.Bounds().Width(), 30.0)
	}
}

// TestRemediesAreDoneOnce: a remedy applied twice changes nothing more.
func TestRemediesAreDoneOnce(t *testing.T) {
	shapes := map[string]outline.Path{
		"dumbbell": dumbbell(0.6),
		"ring":     outline.Ring(outline.Pt(0, 0), 8, 7.1),
		"bars":     {rect(0, 0, 30, 5), rect(0, 5.4, 30, 12), rect(0, 12.9, 30, 13.6)},
		"star":     {outline.Star(outline.Pt(0, 0), 20, 5, 7, 0)},
		"jar":      {jar(0, 0.5)},
		"speck":    {rect(0, 0, 10, 10), rect(4, 11.5, 5.5, 13), rect(2, 2, 3, 8).Reversed()},
		"letters":  words(t, "a&", 6),
	}
	for shape, p := range shapes {
		for name, f := range remedies {
			t.Run(shape+"/"+name, func(t *testing.T) {
				before := p.Clone()
				once := mend(t, f, p, weedability.RemedyOptions{})
				assert.Equal(t, before, p, "the argument is left alone")
				twice := mend(t, f, once.Path, weedability.RemedyOptions{})
				assert.Empty(t, twice.Changes)
				assert.Equal(t, once.Path, twice.Path)
				if len(once.Left) == 0 {
					assert.Empty(t, of(inspect(t, once.Path, weedability.Cast), kindOf[name]))
				}
			})
		}
	}
}

func TestSmallestSafeSize(t *testing.T) {
	limits := weedability.LimitsFor(weedability.Cast)
	for name, c := range map[string]struct {
		path  outline.Path
		scale float64
		kind  weedability.Kind
	}{
		"bar of 0.8":        {dumbbell(0.8), 2 / 0.8, weedability.StrokeThin},
		"bar of 2.5":        {dumbbell(2.5), 2 / 2.5, weedability.StrokeThin},
		"bar of 8":          {dumbbell(8), 2.0 / 8, weedability.StrokeThin},
		"square of 1.5":     {outline.Path{rect(0, 0, 40, 40), rect(50, 0, 51.6, 1.6)}, 2 / 1.6, weedability.IslandArea},
		"counter of 1":      {outline.Path{rect(0, 0, 40, 40), outline.Circle(outline.Pt(20, 20), 0.5).Reversed()}, 2, weedability.CounterSmall},
		"gap of 0.5":        {outline.Path{rect(0, 0, 30, 5), rect(0, 5.5, 30, 12)}, 2, weedability.GapNarrow},
		"neck of 1.2, fine": {outline.Path{jar(0, 1.2)}, 1.25, weedability.WasteNeck},
		"lips of 3":         {outline.Path{jar(0, 4)}, 2.0 / 3, weedability.StrokeThin},
	} {
		t.Run(name, func(t *testing.T) {
			s, err := weedability.SmallestSafeSize(context.Background(), c.path, limits, weedability.Options{})
			require.NoError(t, err)
			assert.InEpsilon(t, c.scale, s.Scale, 0.001)
			if name != "square of 1.5" {
				assert.Equal(t, c.kind, s.Limiting.Kind)
			}
			// It passes just above and fails just below.
			pass := func(k float64) int {
				r := inspect(t, c.path.Transform(outline.Scale(k*s.Scale, k*s.Scale)), weedability.Cast)
				return len(r.Findings)
			}
			assert.Zero(t, pass(1.001))
			assert.NotZero(t, pass(0.999))
		})
	}
}

// TestSmallestSafeSizeOfLetters: the same of text, whatever limits it.
func TestSmallestSafeSizeOfLetters(t *testing.T) {
	for text, height := range map[string]units.Length{"leaf": 9, "M&8": 14, "Marlow": 30} {
		p := words(t, text, height)
		s, err := weedability.SmallestSafeSize(context.Background(), p, weedability.LimitsFor(weedability.Calendered), weedability.Options{})
		require.NoError(t, err)
		for k, passes := range map[float64]bool{1.001 * s.Scale: true, 0.999 * s.Scale: false} {
			r := inspect(t, p.Transform(outline.Scale(k, k)), weedability.Calendered)
			assert.Equal(t, passes, len(r.Findings) == r.Count(weedability.TipSharp), "%s at %v", text, k)
		}
		assert.InEpsilon(t, s.Scale, s.Limiting.SafeScale, 0.02)
		assert.Equal(t, s.Scale > 1, s.Limiting.Value < s.Limiting.Limit)
		// Half as large it needs twice the scale.
		half, err := weedability.SmallestSafeSize(context.Background(), p.Transform(outline.Scale(0.5, 0.5)), weedability.LimitsFor(weedability.Calendered), weedability.Options{})
		require.NoError(t, err)
		assert.InEpsilon(t, 2*s.Scale, half.Scale, 0.002)
	}
}

// TestFillCountersLeavesWhatPasses: a counter that is no finding is not filled along with one that is.
func TestFillCountersLeavesWhatPasses(t *testing.T) {
	p := outline.Path{rect(0, 0, 40, 20), outline.Circle(outline.Pt(10, 10), 0.5).Reversed(), rect(30, 5, 31.9997, 15).Reversed()}
	require.Equal(t, 1, inspect(t, p, weedability.Cast).Count(weedability.CounterSmall))
	m, err := weedability.FillCounters(context.Background(), p, weedability.LimitsFor(weedability.Cast), weedability.RemedyOptions{})
	require.NoError(t, err)
	assert.Len(t, m.Changes, 1)
	assert.Len(t, m.Path, 2)
}

// TestSmallestSafeSizeLimits: a design that passes however small says 1/64; the limit of what it names is that of the
// film, whatever limits were tried to find it; one that no size cures says 0.
func TestSmallestSafeSizeLimits(t *testing.T) {
	limits := weedability.LimitsFor(weedability.Cast)
	size := func(p outline.Path) weedability.SafeSize {
		s, err := weedability.SmallestSafeSize(context.Background(), p, limits, weedability.Options{})
		require.NoError(t, err)
		return s
	}
	assert.Equal(t, 1.0/64, size(outline.Path{rect(0, 0, 5000, 5000)}).Scale)
	s := size(dumbbell(8))
	assert.Equal(t, 2.0, s.Limiting.Limit)
	assert.InDelta(t, 8, s.Limiting.Value, 0.01)
	assert.InEpsilon(t, s.Scale, s.Limiting.SafeScale, 0.001)
	assert.Zero(t, size(outline.Path{rect(0, 0, 900, 0.01)}).Scale)
}
