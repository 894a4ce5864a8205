package production_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/units"
)

func money(s string) production.Money { return decimal.RequireFromString(s) }

// Worked by hand: 2.5 m of film at 4.00 = 10.00, 2 m of tape at 1.25 = 2.50,
// 90 min at 30.00 an hour = 45.00, spoilage 10 % of 57.50 = 5.75, set-up 15:
// 78.25; with 40 % on top 109.55; 50 decals at 2.20.
func TestPriceByHand(t *testing.T) {
	rates := production.Rates{Currency: "$", FilmPerMetre: money("4"), TapePerMetre: money("1.25"), PerHour: money("30"),
		SetUp: money("15"), Spoilage: money("0.1"), MarkUp: money("0.4"), ClubShare: money("0.5"), Step: money("0.05")}
	q, err := rates.Price(production.Work{Decals: 50, Film: 2.5 * units.Metre, Tape: 2 * units.Metre, Minutes: 90, Packs: []int{25, 100}})
	require.NoError(t, err)
	want := map[string]string{"film": "10", "application tape": "2.5", "labour": "45", "spoilage": "5.75", "set-up": "15"}
	sum := decimal.Zero
	for _, l := range q.Lines {
		assert.True(t, l.Amount.Equal(money(want[l.What])), "%s %s", l.What, l.Amount)
		sum = sum.Add(l.Amount)
	}
	assert.Len(t, q.Lines, len(want))
	assert.True(t, sum.Equal(q.Cost), "the lines add up to the cost")
	assert.Equal(t, "78.25", q.Cost.StringFixed(2))
	assert.Equal(t, "109.55", q.Price.StringFixed(2))
	assert.Equal(t, "2.20", q.PerDecal.StringFixed(2))
	// (63.25/50 + 15/25) x 1.4 = 2.611, up to 2.65; the buyer pays twice that.
	assert.Equal(t, "2.65", q.Packs[0].PerDecal.StringFixed(2))
	assert.Equal(t, "66.25", q.Packs[0].Pack.StringFixed(2))
	assert.Equal(t, "5.30", q.Packs[0].Buyer.StringFixed(2))
	assert.Equal(t, "66.25", q.Packs[0].ClubKeeps.StringFixed(2))
	assert.True(t, q.Packs[1].PerDecal.LessThan(q.Packs[0].PerDecal), "larger packs cost less a decal")
}

// Ten times a tenth is one: what float sums get wrong.
func TestMoneyIsExact(t *testing.T) {
	rates := production.Rates{FilmPerMetre: money("0.1")}
	q, err := rates.Price(production.Work{Decals: 10, Film: 10 * units.Metre})
	require.NoError(t, err)
	assert.True(t, q.Cost.Equal(money("1")))
	assert.True(t, q.PerDecal.Equal(money("0.10")))
	text, err := json.Marshal(q)
	require.NoError(t, err)
	var back production.Quote
	require.NoError(t, json.Unmarshal(text, &back))
	assert.True(t, back.Price.Equal(q.Price))
	assert.Contains(t, string(text), `"price":"1"`)
}

func TestPriceErrors(t *testing.T) {
	good := production.Rates{PerHour: money("30")}
	for _, test := range []struct {
		rates production.Rates
		work  production.Work
	}{
		{production.Rates{}, production.Work{Decals: 1}},
		{production.Rates{PerHour: money("-1")}, production.Work{Decals: 1}},
		{production.Rates{PerHour: money("1"), ClubShare: money("1")}, production.Work{Decals: 1}},
		{good, production.Work{}},
		{good, production.Work{Decals: 1, Minutes: math.NaN()}},
		{good, production.Work{Decals: 1, Film: -1}},
		{good, production.Work{Decals: 1, Packs: []int{0}}},
	} {
		_, err := test.rates.Price(test.work)
		var e *production.Error
		require.ErrorAs(t, err, &e)
		assert.NotEmpty(t, e.Fix)
	}
}

// Amounts of three hundred million digits, ten bytes each in an order file,
// used to be worked out.
func TestAmountsAreBounded(t *testing.T) {
	work := production.Work{Decals: 3, Film: units.Metre, Packs: []int{25}}
	for _, text := range []string{"1e300000000", "1e-300000000", "0e300000000", "-1e300000000", "1000000001", "0.0000000000001"} {
		for _, rates := range []production.Rates{
			{FilmPerMetre: money(text)}, {FilmPerMetre: money("1"), Step: money(text)}, {FilmPerMetre: money("1"), ClubShare: money(text)},
		} {
			_, err := rates.Price(work)
			var e *production.Error
			require.ErrorAs(t, err, &e, text)
			assert.Less(t, len(err.Error()), 300, "an error can be read")
		}
	}
	most := money("1000000000")
	q, err := production.Rates{FilmPerMetre: most, Step: money("0.000000000001")}.Price(work)
	require.NoError(t, err)
	assert.True(t, q.Cost.Equal(most))
}
