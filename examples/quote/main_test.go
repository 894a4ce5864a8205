package main

import (
	"bytes"
	"context"
	"encoding/json"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func rat(t *testing.T, text string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(text)
	require.True(t, ok, text)
	return r
}

func mul(a *big.Rat, more ...*big.Rat) *big.Rat {
	out := new(big.Rat).Set(a)
	for _, b := range more {
		out.Mul(out, b)
	}
	return out
}

// halfUp rounds to a hundredth, half up; up rounds up to a multiple of step.
func halfUp(r *big.Rat) *big.Rat {
	return floorTo(new(big.Rat).Add(r, big.NewRat(1, 200)), big.NewRat(1, 100))
}

func up(r, step *big.Rat) *big.Rat {
	return new(big.Rat).Neg(floorTo(new(big.Rat).Neg(r), step))
}

func floorTo(r, step *big.Rat) *big.Rat {
	q := new(big.Rat).Quo(r, step)
	n := new(big.Int).Div(q.Num(), q.Denom()) // Euclidean: down, for a positive divisor
	return mul(new(big.Rat).SetInt(n), step)
}

// jsonAnswer is what the program prints, read without its own types.
type jsonAnswer struct {
	Title string
	Quote struct {
		Lines                 []struct{ What, Amount string }
		Cost, Price, Rounding string
		PerDecal              string `json:"per_decal"`
		Packs                 []struct {
			Size      int64
			PerDecal  string `json:"per_decal"`
			Pack      string
			Buyer     string
			ClubKeeps string `json:"club_keeps"`
		}
	}
	Work struct {
		FilmMM  float64 `json:"film_mm"`
		TapeMM  float64 `json:"tape_mm"`
		Minutes float64
	}
	Comparison struct {
		Ways []struct {
			Way     string
			Minutes float64
			Cost    string
		}
		Cheaper, Why string
	}
}

// The quote of the demo order, worked out again in fractions from the film, tape
// and minutes that the program prints with it.
func TestDemoByFractions(t *testing.T) {
	var out, noise bytes.Buffer
	require.NoError(t, run(context.Background(), []string{"-json"}, &out, &noise))
	assert.Empty(t, noise.String())
	var a jsonAnswer
	require.NoError(t, json.Unmarshal(out.Bytes(), &a))
	number := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	metres := func(mm float64) *big.Rat { return mul(number(mm), big.NewRat(1, 1000)) }
	film := mul(rat(t, "5.50"), metres(a.Work.FilmMM))
	tape := mul(rat(t, "1.20"), metres(a.Work.TapeMM))
	labour := mul(rat(t, "26"), number(a.Work.Minutes), big.NewRat(1, 60))
	lost := mul(new(big.Rat).Add(film, new(big.Rat).Add(tape, labour)), rat(t, "0.05"))
	want := map[string]*big.Rat{"film": film, "application tape": tape, "labour": labour, "spoilage": lost, "set-up": rat(t, "15")}
	cost := new(big.Rat)
	for _, l := range a.Quote.Lines {
		require.Contains(t, want, l.What)
		assert.Zero(t, halfUp(want[l.What]).Cmp(rat(t, l.Amount)), "%s is %s, want %s", l.What, l.Amount, want[l.What].FloatString(4))
		cost.Add(cost, rat(t, l.Amount))
	}
	assert.Len(t, a.Quote.Lines, len(want))
	assert.Zero(t, cost.Cmp(rat(t, a.Quote.Cost)), "the lines add up to the cost")
	step, markUp := big.NewRat(1, 20), rat(t, "1.40")
	const decals = 96
	price := up(mul(cost, markUp), step)
	assert.Zero(t, price.Cmp(rat(t, a.Quote.Price)))
	assert.Zero(t, up(mul(price, big.NewRat(1, decals)), step).Cmp(rat(t, a.Quote.PerDecal)))

	running := new(big.Rat).Sub(cost, rat(t, "15"))
	var sizes []int64
	for _, p := range a.Quote.Packs {
		sizes = append(sizes, p.Size)
		each := new(big.Rat).Add(mul(running, big.NewRat(1, decals)), mul(rat(t, "15"), big.NewRat(1, p.Size)))
		each = up(mul(each, markUp), step)
		buyer := up(new(big.Rat).Quo(each, rat(t, "0.6")), step) // the club keeps two fifths
		assert.Zero(t, each.Cmp(rat(t, p.PerDecal)), "a decal of a pack of %d", p.Size)
		assert.Zero(t, mul(each, big.NewRat(p.Size, 1)).Cmp(rat(t, p.Pack)))
		assert.Zero(t, buyer.Cmp(rat(t, p.Buyer)))
		assert.Zero(t, mul(new(big.Rat).Sub(buyer, each), big.NewRat(p.Size, 1)).Cmp(rat(t, p.ClubKeeps)))
	}
	assert.Equal(t, []int64{25, 100, 200}, sizes)

	require.Len(t, a.Comparison.Ways, 2)
	cheaper, dearer := a.Comparison.Ways[0], a.Comparison.Ways[1]
	if rat(t, cheaper.Cost).Cmp(rat(t, dearer.Cost)) > 0 {
		cheaper, dearer = dearer, cheaper
	}
	assert.Equal(t, cheaper.Way, a.Comparison.Cheaper)
	difference := new(big.Rat).Sub(rat(t, dearer.Cost), rat(t, cheaper.Cost))
	assert.Contains(t, a.Comparison.Why, "$"+difference.FloatString(2))
}

func write(t *testing.T, text string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "order.json")
	require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	return name
}

const small = `{"title": "Two packs", "film": {"name": "navy", "colour": "#1d3557", "width": "12 in"}, "gap": "1/4 in", "edge_margin": "10 mm",
  "words": {"upper": "MARLOW", "lower": "CREEK"}, "shop": {"rates": {"currency": "€", "per_hour": "30"}, "packs": [25]},
  "items": [{"design": "gear", "height": "5 in", "pack_size": 2, "packs": 2}]}`

func TestOrderFileAsText(t *testing.T) {
	var out, noise bytes.Buffer
	require.NoError(t, run(context.Background(), []string{"-order", write(t, small)}, &out, &noise))
	assert.Empty(t, noise.String())
	for _, part := range []string{"Two packs: ", "labour", "€", "pack of", "irregular", "straight", "cheaper: ", "Rounding: ", "common practice"} {
		assert.Contains(t, out.String(), part)
	}
	assert.NotContains(t, out.String(), "application tape", "no rate is given for it")
}

func TestErrors(t *testing.T) {
	for name, test := range map[string]struct {
		args []string
		says string
	}{
		"no such file":     {[]string{"-order", "nowhere.json"}, "check the path of the order file"},
		"no order":         {[]string{"-order", write(t, "decals please")}, "not a JSON order"},
		"no rates":         {[]string{"-order", write(t, strings.Replace(small, `"per_hour": "30"`, `"per_hour": "0"`, 1))}, "shop.rates"},
		"negative rate":    {[]string{"-order", write(t, strings.Replace(small, `"30"`, `"-30"`, 1))}, "per_hour"},
		"club takes all":   {[]string{"-order", write(t, strings.Replace(small, `"30"`, `"30", "club_share": "1"`, 1))}, "club_share"},
		"rate in words":    {[]string{"-order", write(t, strings.Replace(small, `"30"`, `"dear"`, 1))}, "dear"},
		"fits nothing":     {[]string{"-order", write(t, strings.Replace(small, `"5 in"`, `"25 in"`, 1))}, "items[0]"},
		"unknown flag":     {[]string{"-price"}, "price"},
		"unknown argument": {[]string{"order.json"}, "order.json"},
	} {
		t.Run(name, func(t *testing.T) {
			var out, noise bytes.Buffer
			err := run(context.Background(), test.args, &out, &noise)
			require.Error(t, err)
			assert.Contains(t, err.Error()+noise.String(), test.says)
			assert.Empty(t, out.String(), "nothing half printed")
		})
	}
}
