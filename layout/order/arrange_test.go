package order_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/units"
)

// Loads are numbered in the order in which they are cut, every roll and
// leftover is loaded once, and the sheet says where to change in that order.
func TestLoadsAreInTheOrderOfCutting(t *testing.T) {
	t.Parallel()
	o := items(t,
		order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 7},
		order.Item{Design: "beaker", Height: 3 * units.Inch, Copies: 5, Film: "gold"})
	o.Films = []order.Film{{Name: "gold", Colour: "#d4a017", Width: 15 * units.Inch}}
	o.Film.Rolls = []units.Length{400, 5000}
	o.Leftovers = []order.Leftover{{Name: "shelf A", Length: 320, Width: 200}}
	r := run(t, o, quick)
	var from []string
	for i, l := range r.Loads {
		assert.True(t, strings.HasSuffix(l.Sheet.Name, string(rune('1'+i))), l.Sheet.Name)
		assert.Equal(t, l.Sheet.Name, l.Job.Name)
		what := l.Sheet.Film.Name + l.Leftover + string(rune('0'+l.Roll))
		if len(from) == 0 || from[len(from)-1] != what {
			assert.NotContains(t, from, what, "it is loaded twice")
			from = append(from, what)
		}
	}
	assert.GreaterOrEqual(t, len(from), 3, "a leftover, a roll or two and another film")
	plan, err := r.Plan(context.Background())
	require.NoError(t, err)
	for i, task := range plan.Tasks {
		assert.Equal(t, i/len(plan.Stages), task.Load)
	}
	dir := t.TempDir()
	require.NoError(t, r.Write(dir))
	page := readFile(t, dir, "jobsheet.html")
	assert.Contains(t, page, "load-01: begin with ")
	last := 0
	for i, l := range r.Loads[1:] {
		before := r.Loads[i]
		if before.Leftover == l.Leftover && before.Roll == l.Roll && before.Sheet.Film.Name == l.Sheet.Film.Name {
			continue
		}
		at := strings.Index(page, "before "+l.Sheet.Name+": change to ")
		assert.Greater(t, at, last, l.Sheet.Name)
		last = at
	}
}

// With one film the order of the loads is as good as the best of all orders.
func TestArrangedAsWellAsAnyOrder(t *testing.T) {
	o := items(t, order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 4}, order.Item{Design: "magnet", Height: 4.5 * units.Inch, Copies: 3}, order.Item{Design: "bulb", Height: 5 * units.Inch, Copies: 2})
	o.MaxLoad = 8 * units.Inch
	r := run(t, o, quick)
	require.GreaterOrEqual(t, len(r.Loads), 3)
	require.LessOrEqual(t, len(r.Loads), 6)
	plan, err := r.Plan(context.Background())
	require.NoError(t, err)
	least := plan.Span
	var try func(k int)
	try = func(k int) {
		if k == len(r.Loads) {
			p, err := r.Plan(context.Background())
			require.NoError(t, err)
			least = min(least, p.Span)
			return
		}
		for i := k; i < len(r.Loads); i++ {
			r.Loads[k], r.Loads[i] = r.Loads[i], r.Loads[k]
			try(k + 1)
			r.Loads[k], r.Loads[i] = r.Loads[i], r.Loads[k]
		}
	}
	try(0)
	assert.InDelta(t, least, plan.Span, 1e-9)
}
