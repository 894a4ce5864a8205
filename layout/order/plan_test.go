package order_test

import (
	"context"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/units"
)

func priced(o order.Order) order.Order {
	money := decimal.RequireFromString
	o.Shop.Rates = production.Rates{Currency: "$", FilmPerMetre: money("6"), TapePerMetre: money("1.5"), PerHour: money("28"), SetUp: money("15"), MarkUp: money("0.5"), Step: money("0.05")}
	o.Shop.Packs = []int{25, 100}
	return o
}

func TestPlanAndQuote(t *testing.T) {
	o := priced(items(t,
		order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 6},
		order.Item{Design: "leaf", Height: 5 * units.Inch, Copies: 6}))
	r := run(t, o, quick)
	plan, err := r.Plan(context.Background())
	require.NoError(t, err)
	require.Len(t, plan.Tasks, 4*len(r.Loads))
	work := 0.0
	longest := 0.0
	for stage := range plan.Stages {
		sum := 0.0
		for _, l := range plan.Loads {
			sum += l.Minutes[stage]
		}
		work += sum
		longest = max(longest, sum)
	}
	assert.GreaterOrEqual(t, plan.Span, longest, "not before the busiest stage is done")
	assert.Less(t, plan.Span, work, "stages overlap")

	quote, err := r.Quote()
	require.NoError(t, err)
	sum := decimal.Zero
	for _, l := range quote.Lines {
		sum = sum.Add(l.Amount)
		if l.What == "film" {
			want := decimal.NewFromFloat(6 * r.FilmUsed().Metres()).Round(2)
			assert.True(t, l.Amount.Equal(want), "%s, want %s", l.Amount, want)
		}
	}
	assert.True(t, sum.Equal(quote.Cost))
	assert.Len(t, quote.Packs, 2)
	_, err = run(t, items(t, order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 1}), quick).Quote()
	assert.ErrorIs(t, err, production.ErrInvalid, "rates of zero price nothing")
}

func TestRollEndsAreCharged(t *testing.T) {
	o := priced(items(t, order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 4}))
	r := run(t, o, quick)
	o.Film.Rolls = []units.Length{r.FilmUsed() + 50}
	quote, err := run(t, o, quick).Quote()
	require.NoError(t, err)
	charged := false
	for _, l := range quote.Lines {
		charged = charged || l.What == "roll ends" && l.Amount.Equal(decimal.RequireFromString("0.30"))
	}
	assert.True(t, charged, "50 mm at 6 a metre: %v", quote.Lines)
}

func TestCompareWays(t *testing.T) {
	t.Parallel()
	o := items(t,
		order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 4},
		order.Item{Design: "leaf", Height: 5 * units.Inch, Copies: 4})
	c, err := order.Compare(context.Background(), o, quick)
	require.NoError(t, err)
	require.Len(t, c.Ways, 2)
	irregular, straight := c.Ways[0], c.Ways[1]
	assert.Zero(t, irregular.TrimCuts)
	assert.Positive(t, straight.TrimCuts)
	assert.Positive(t, straight.TrimLengthMM)
	assert.InDelta(t, irregular.WeedMinutes, straight.WeedMinutes, 1e-5, "the same decals are weeded")
	assert.Nil(t, irregular.Cost)
	c, err = order.Compare(context.Background(), priced(o), quick)
	require.NoError(t, err)
	cheaper, dearer := c.Ways[0], c.Ways[1]
	if c.Cheaper == dearer.Way {
		cheaper, dearer = dearer, cheaper
	}
	assert.True(t, cheaper.Cost.LessThanOrEqual(*dearer.Cost))

	o.Gang = order.Straight
	r := run(t, o, quick)
	checkResult(t, r)
	trims := 0
	for _, l := range r.Loads {
		trims += len(l.Sheet.TrimLines) - 1
	}
	assert.Equal(t, straight.TrimCuts, trims)
}

// Common practice, no source: four decals 4.8 in wide and 5.4 in high make two
// columns, each covered by 6 in tape.
func TestTapeOfAStraightGang(t *testing.T) {
	o := items(t, order.Item{Design: "gear", Width: 4.8 * units.Inch, Copies: 4, Turn: "quarter"})
	o.Gang = order.Straight
	o.MaxLoad = 15 * units.Inch
	w, err := run(t, o, quick).Work()
	require.NoError(t, err)
	assert.Equal(t, 1, w.Loads)
	assert.InDelta(t, 2*13, units.Length(w.TapeMM).Inches(), 3, "two strips about 12 in long with tape to spare")
}

func TestCompareLengths(t *testing.T) {
	t.Parallel()
	o := items(t, order.Item{Design: "gear", Height: 3 * units.Inch, Copies: 18})
	plans, err := order.CompareLengths(context.Background(), o, []units.Length{10 * units.Inch, 40 * units.Inch}, quick)
	require.NoError(t, err)
	require.Len(t, plans, 2)
	assert.Greater(t, plans[0].Loads, plans[1].Loads)
	assert.Greater(t, plans[0].FilmMM, plans[1].FilmMM, "ends of loads waste film")
	_, err = order.CompareLengths(context.Background(), o, []units.Length{units.Inch}, quick)
	assert.Error(t, err)
}
