package order_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// The tape of a load covers its decals with the border to spare, in the
// narrowest width on the shelf; by the boxes of the report.
func TestTapeOfALoad(t *testing.T) {
	t.Parallel()
	o := items(t, order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 3})
	r := run(t, o, order.Options{Budget: nest.FirstLayoutOnly})
	for _, l := range r.Report.Loads {
		x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for _, d := range l.Decals {
			x0, x1 = min(x0, d.XMM), max(x1, d.XMM+d.WidthMM)
			y0, y1 = min(y0, d.YMM), max(y1, d.YMM+d.HeightMM)
		}
		require.Len(t, l.Tape, 1, "an irregular load is taped as a whole")
		need, width := y1-y0+25.4, 0.0
		for _, w := range []float64{24, 18, 12, 6} { // common practice, no source
			if w*25.4 >= need {
				width = w * 25.4
			}
		}
		assert.InDelta(t, width, l.Tape[0].WidthMM, 1e-6)
		assert.InDelta(t, x1-x0+25.4, l.Tape[0].LengthMM, 1e-4)
		assert.InDelta(t, width*(x1-x0+25.4)-(x1-x0)*(y1-y0), l.Tape[0].WasteMM2, 0.1)
	}
}

// A decal wider than any tape is taped in lanes that overlap: it can be cut all
// the same.
func TestTapeInLanes(t *testing.T) {
	o := items(t, order.Item{Design: "gear", Height: 10 * units.Inch, Copies: 1})
	o.Shop.Tapes = []units.Length{6 * units.Inch}
	r := run(t, o, order.Options{Budget: nest.FirstLayoutOnly})
	tape := r.Report.Loads[0].Tape
	d := r.Report.Loads[0].Decals[0]
	require.GreaterOrEqual(t, len(tape), 2)
	covered := -10 * float64(len(tape)-1) // they overlap by 10 mm
	for _, p := range tape {
		assert.InDelta(t, 6*25.4, p.WidthMM, 1e-9)
		assert.InDelta(t, max(d.WidthMM, d.HeightMM)+25.4, p.LengthMM, 1e-4)
		covered += p.WidthMM - 25.4
	}
	side := min(d.WidthMM, d.HeightMM)
	assert.GreaterOrEqual(t, covered, side)
	assert.Less(t, covered-(6*25.4-25.4-10), side, "no lane too many")
	_, err := r.Work()
	assert.NoError(t, err)

	o.Shop.Tapes = []units.Length{units.Inch}
	assert.ErrorContains(t, o.Check(), "shop.tapes")
}

// A line of 1 in is read from 30 ft at most and from 10 ft with ease, a line
// all in capitals 15 % less far (testdata/trade.md, check 17: 2 in letters, 2.3
// in capitals for 60 ft).
func TestReadingDistances(t *testing.T) {
	t.Parallel()
	o := items(t,
		order.Item{Design: "gear", CapHeight: 2 * units.Inch, Copies: 1, Words: map[string]string{"upper": "Club"}},
		order.Item{Design: "gear", CapHeight: 2.3 * units.Inch, Copies: 1, Words: map[string]string{"upper": "CLUB"}})
	o.Film.Width, o.MaxLoad = 48*units.Inch, 0
	r := run(t, o, order.Options{Budget: nest.FirstLayoutOnly})
	for _, d := range r.Report.Designs {
		assert.InDelta(t, 60*0.3048, d.Reading["upper"].AtMostM, 1e-5, d.Words)
		assert.InDelta(t, 20*0.3048, d.Reading["upper"].WithEaseM, 1e-5, d.Words)
	}
	dir := t.TempDir()
	require.NoError(t, r.Write(dir))
	assert.Contains(t, readFile(t, dir, "jobsheet.html"), "to 18 m")
	assert.Contains(t, strings.Join(strings.Fields(readFile(t, dir, "jobsheet.html")), " "), "Tape: ")
}

// How many go across each film of the order, and what one more saves: by hand
// for a square of 5 in with a weed border round the load.
func TestAcrossInTheReport(t *testing.T) {
	t.Parallel()
	o := items(t, order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 10})
	o.Films = []order.Film{{Name: "wide", Width: 24 * units.Inch}}
	r := run(t, o, order.Options{Budget: nest.FirstLayoutOnly})
	d := r.Report.Designs[0]
	require.Len(t, d.Across, 2)
	gap, margin := float64(o.Gap), float64(o.EdgeMargin+o.Gap) // the border's clearance is the gap
	for i, film := range []float64{float64(o.Film.Width), 24 * 25.4} {
		a := d.Across[i]
		usable := film - 2*margin
		n := math.Floor((usable + gap) / (127 + gap))
		assert.Equal(t, int(n), a.Across)
		assert.InDelta(t, (d.WidthMM+gap)/n, a.FilmPerDecalMM, 1e-5)
		more := (usable - n*gap) / (n + 1)
		assert.InDelta(t, more, a.OneMoreHeightMM, 1e-5)
		assert.InDelta(t, more*d.WidthMM/127, a.OneMoreWidthMM, 1e-5)
		assert.InDelta(t, 10*(a.FilmPerDecalMM-(a.OneMoreWidthMM+gap)/(n+1)), a.OneMoreSavesMM, 1e-4)
	}
}
