package order_test

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/units"
)

// What many rows have wrong is told once, with every line; what single rows
// have wrong stands beside it, all at once.
func TestRosterFaultsAreGathered(t *testing.T) {
	roster := "lower\nAnna\nBob\n漢\nCleo\n漢\n" + strings.Repeat("Dora and a name as long as a train of many cars\n", 3)
	o := items(t, order.Item{Design: "gear", Height: 3 * units.Inch, Copies: 1, Roster: "names.csv"})
	o.Words = map[string]string{"upper": "MARLOW"}
	opt := quick
	opt.Files = fstest.MapFS{"names.csv": {Data: []byte(roster)}}
	_, err := order.Run(context.Background(), o, opt)
	require.Error(t, err)
	lines := strings.Split(err.Error(), "\n")
	require.Len(t, lines, 2, err.Error())
	assert.Contains(t, lines[0], "names.csv, lines 4, 6: items[0] (gear)")
	assert.Contains(t, lines[1], "names.csv, lines 7 to 9: items[0] (gear)")
	var typed *order.Error
	assert.ErrorAs(t, err, &typed)
}

// Headings are matched to slots whatever their capitals; order words that the
// roster leaves out stay.
func TestRosterHeadings(t *testing.T) {
	o := items(t, order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 1, Roster: "names.csv"})
	opt := quick
	opt.Files = fstest.MapFS{"names.csv": {Data: []byte("LOWER,Copies\nAnna,2\n")}}
	r := run(t, o, opt)
	require.Len(t, r.Report.Designs, 1)
	assert.Equal(t, map[string]string{"upper": "MARLOW", "lower": "Anna"}, r.Report.Designs[0].Words)
	assert.Equal(t, 2, r.Report.Designs[0].Copies)
	opt.Files = fstest.MapFS{"names.csv": {Data: []byte("LOWER,Lower\nAnna,Bob\n")}}
	_, err := order.Run(context.Background(), o, opt)
	assert.ErrorContains(t, err, "slot Lower", "two columns for one slot")
}
