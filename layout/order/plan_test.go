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

// Straight trims part what lies on a rectangular leftover, too; what lies on
// another one is cut out by hand, and the time for it is charged.
func TestStraightGangOnLeftovers(t *testing.T) {
	t.Parallel()
	minutes := map[bool]float64{}
	for _, rectangle := range []bool{true, false} {
		o := items(t, order.Item{Design: "gear", Height: 3 * units.Inch, Copies: 12})
		o.Gang, o.WeedBorder, o.WeedLines = order.Straight, "none", false
		o.Shop.Times.CutOut, o.Shop.Times.TrimCut = 10, 0.5
		l := order.Leftover{Name: "end", Length: 14 * units.Inch, Width: 8 * units.Inch}
		if !rectangle { // without a corner
			l = order.Leftover{Name: "end", Path: "M0 0H355.6V150L300 203.2H0Z"}
		}
		o.Leftovers = []order.Leftover{l}
		r := run(t, o, quick)
		checkResult(t, r)
		require.Equal(t, 2, len(r.Loads))
		require.Equal(t, "end", r.Loads[0].Leftover)
		require.Greater(t, len(r.Loads[0].Placed), 1)
		w, err := r.Work()
		require.NoError(t, err)
		byHand := 0
		if rectangle {
			assert.Positive(t, len(r.Loads[0].Sheet.TrimLines))
		} else {
			assert.Zero(t, len(r.Loads[0].Sheet.TrimLines))
			byHand = len(r.Loads[0].Placed)
		}
		bare := o
		bare.Shop.Times.CutOut, bare.Shop.Times.TrimCut = 20, 0.5
		again, err := run(t, bare, quick).Work()
		require.NoError(t, err)
		assert.InDelta(t, 10*float64(byHand), again.Minutes-w.Minutes, 1e-3)
		minutes[rectangle] = w.Minutes
	}
	assert.Less(t, minutes[true], minutes[false])
}

// The cheaper way is the one that the comparison names.
func TestCheaperWay(t *testing.T) {
	t.Parallel()
	for _, byHand := range []float64{0.01, 10} { // minutes to cut a decal out
		o := priced(items(t, order.Item{Design: "gear", Height: 3 * units.Inch, Copies: 8}))
		o.Shop.Times.CutOut = byHand
		c, err := order.Compare(context.Background(), o, quick)
		require.NoError(t, err)
		o.Gang = order.Cheaper
		r := run(t, o, quick)
		checkResult(t, r)
		assert.Equal(t, c.Cheaper, r.Order.Gang)
		assert.Equal(t, byHand == 10, r.Order.Gang == order.Straight)
		require.NotEmpty(t, r.Report.Notes)
		assert.Contains(t, r.Report.Notes[0], c.Why)
	}
	o := items(t, order.Item{Design: "gear", Height: 3 * units.Inch, Copies: 1})
	o.Gang = "cheapest"
	assert.ErrorIs(t, o.Check(), order.ErrInvalid)
}
