package order_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline"
)

// walk is the length of a walk from the film's upper left corner over the picks.
func walk(l order.Load, picks []order.Pick) float64 {
	at, sum := outline.Pt(0, float64(l.Sheet.Film.Width)), 0.0
	for _, p := range picks {
		sum += at.Distance(p.At)
		at = p.At
	}
	return sum
}

// Picks are the counters of all decals, each in a hole of its own decal, also
// of decals that are turned or mirrored; their walk is no longer than one
// through the decals as they were placed.
func TestPicks(t *testing.T) {
	t.Parallel()
	o := items(t,
		order.Item{Design: "gear", Height: 80, Copies: 2, Turn: "any"},
		order.Item{Design: "rocket", Height: 80, Copies: 2, InsideGlass: true},
		order.Item{Design: "planet", Height: 70, Copies: 2, Turn: "quarter"})
	r := run(t, o, order.Options{Iterations: 5})
	total := 0
	for i, l := range r.Loads {
		picks := r.Picks(i)
		total += len(picks)
		var naive []order.Pick
		for k, p := range l.Placed {
			assert.Equal(t, len(r.Designs[p.Design].Report.Counters), count(picks, k))
			for _, q := range picks {
				if q.Decal == k {
					naive = append(naive, q)
				}
			}
		}
		assert.LessOrEqual(t, walk(l, picks), walk(l, naive)*1.0001)
		for n, p := range picks {
			assert.Equal(t, n+1, p.Number)
			path := l.Sheet.Decals[p.Decal].Path
			assert.False(t, path.Contains(p.At), "pick %d of %s lies on film", p.Number, l.Sheet.Name)
			assert.True(t, path.Bounds().Contains(p.At))
			// The counter's largest circle touches film at its own radius.
			assert.InDelta(t, p.Counter.Width/2, float64(path.Nearest(p.At).Distance), 0.02)
		}
	}
	assert.Equal(t, r.Report.Counters, total)
	assert.Nil(t, r.Picks(-1))
	assert.Nil(t, r.Picks(len(r.Loads)))
}

func count(picks []order.Pick, decal int) int {
	n := 0
	for _, p := range picks {
		if p.Decal == decal {
			n++
		}
	}
	return n
}

// The job sheet lists every pick under its number; a load with decals at the
// same places refers to the first.
func TestPicksOnTheJobSheet(t *testing.T) {
	t.Parallel()
	o := items(t, order.Item{Design: "gear", Height: 120, Copies: 4})
	o.MaxLoad = 190
	r := run(t, o, order.Options{Budget: nest.FirstLayoutOnly})
	require.Equal(t, 2, len(r.Loads))
	dir := t.TempDir()
	require.NoError(t, r.Write(dir))
	page, err := os.ReadFile(filepath.Join(dir, "jobsheet.html"))
	require.NoError(t, err)
	for _, p := range r.Report.Loads[0].Picks {
		assert.Contains(t, string(page), fmt.Sprintf(`<li value="%d">%s, %.1f`, p.Number, p.Of, p.WidthMM))
	}
	assert.Equal(t, r.Report.Loads[0].Counters, strings.Count(string(page), "<li value="))
	assert.Contains(t, string(page), "the same numbers as in load-01")
	assert.True(t, bytes.Contains(page, []byte("the M in MARLOW")))
}
