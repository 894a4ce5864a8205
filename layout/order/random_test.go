package order_test

import (
	"bytes"
	"context"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/hpgl"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// words that the default font can set, and some that it cannot.
var someWords = []string{"MARLOW", "CREEK", "Ångström", "Ελλάδα", "Наука", "O'Neil", "7B", "i", "WAVE", "science fair club", "漢字", "مرحبا", "A\tB", "½ & ½"}

// randomOrder makes an order of one to three items that may or may not make
// sense.
func randomOrder(r *rand.Rand) order.Order {
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	o := order.Order{
		Title:      "random",
		Film:       order.Film{Name: "navy", Colour: "#1d3557", Width: units.Length(200 + 300*r.Float64()), Class: pick("", "cast", "reflective", "heat-transfer")},
		Gap:        units.Length(8 * r.Float64()),
		EdgeMargin: units.Length(15 * r.Float64()),
		Lead:       units.Length(30 * r.Float64()),
		Words:      map[string]string{"upper": pick(someWords...), "lower": pick(someWords...)},
		Gang:       pick("", "irregular", "straight"),
		WeedLines:  r.IntN(2) == 0,
	}
	if r.IntN(2) == 0 {
		o.MaxLoad = units.Length(250 + 300*r.Float64())
	}
	if r.IntN(3) == 0 {
		o.Leftovers = []order.Leftover{{Name: "rest", Length: units.Length(100 + 300*r.Float64()), Width: units.Length(100 + 200*r.Float64())}}
	}
	designs := order.DemoDesigns()
	for range 1 + r.IntN(3) {
		it := order.Item{
			Design: designs[r.IntN(len(designs))], Copies: 1 + r.IntN(3), Spares: r.IntN(2),
			Turn: pick("", "none", "half", "quarter", "any"), InsideGlass: r.IntN(4) == 0, OnVehicle: r.IntN(4) == 0, For: pick("", "Class 4"),
		}
		size := units.Length(40 + 160*r.Float64())
		switch r.IntN(4) {
		case 0:
			it.Width = size
		case 1:
			it.Area = units.Area(float64(size) * float64(size) / 2)
		default:
			it.Height = size
			if r.IntN(3) == 0 {
				it.Border = units.Length(4 * r.Float64())
			}
		}
		if r.IntN(3) == 0 {
			it.Wordings = []order.Wording{{Words: map[string]string{"upper": pick(someWords...)}}, {Words: map[string]string{"lower": pick(someWords...)}, Copies: 2}}
		}
		o.Items = append(o.Items, it)
	}
	return o
}

// Any order either fails with an error or gives a result that keeps every rule:
// nothing overlaps, all is counted, inside, closed and finite, and what the
// cut file holds is read back as so many cuts on the film. More by hand:
// VINYL_RANDOM_ORDERS=10000.
func TestRandomOrders(t *testing.T) {
	count, seed := 25, uint64(1)
	if text := os.Getenv("VINYL_RANDOM_ORDERS"); text != "" {
		var err error
		count, err = strconv.Atoi(text)
		require.NoError(t, err)
		seed = uint64(time.Now().UnixNano())
	}
	t.Logf("seed %d", seed) // to repeat a run that failed
	done := 0
	for i := range count {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		o := randomOrder(r)
		result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
		if err != nil {
			assert.Nil(t, result)
			assert.NotEmpty(t, err.Error())
			continue
		}
		done++
		if !t.Run(strconv.Itoa(i), func(t *testing.T) {
			checkResult(t, result)
			for _, l := range result.Loads {
				var file bytes.Buffer
				options := hpgl.Options{}
				if l.Sheet.Length > 800 { // beyond the classic range of coordinates
					options.Range = hpgl.Wide
				}
				require.NoError(t, l.Job.Write(hpgl.NewWriter(&file, options)))
				cuts, err := hpgl.Read(&file)
				require.NoError(t, err)
				require.Empty(t, cuts.Warnings)
				require.Len(t, cuts.Strokes, len(l.Job.Strokes))
				b := cuts.Bounds()
				const plotterUnit = 0.025
				assert.GreaterOrEqual(t, b.Min.Y, -plotterUnit)
				assert.LessOrEqual(t, b.Max.Y, float64(l.Sheet.Film.Width)+plotterUnit)
			}
		}) {
			t.Fatalf("order %d of seed %d: %+v", i, seed, o)
		}
	}
	t.Logf("%d of %d orders could be cut", done, count)
	assert.Greater(t, done, count/5)
}
