package order_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/units"
)

// What is true of many wordings of an item is said once, and the job sheet's
// table says of each no more than the worst; few are named one by one.
func TestNotesOfARoster(t *testing.T) {
	t.Parallel()
	for _, names := range []int{1, 3, 13} {
		it := order.Item{Design: "telescope", Height: 2 * units.Inch, Copies: 1}
		for n := range names {
			it.Wordings = append(it.Wordings, order.Wording{Words: map[string]string{"upper": "KAY " + "ABCDEFGHIKLMNOPRST"[n:n+1]}})
		}
		o := items(t, it)
		o.Mend = ""
		r := run(t, o, quick)
		var refused []string
		for _, n := range r.Report.Notes {
			if strings.Contains(n, "DO NOT CUT") {
				refused = append(refused, n)
			}
		}
		switch names {
		case 1:
			require.Len(t, refused, 1)
			assert.Contains(t, refused[0], "A telescope: DO NOT CUT as it is")
		case 3:
			require.Len(t, refused, 3)
			assert.Contains(t, refused[1], `A telescope, "KAY B `)
		default:
			require.Len(t, refused, 1)
			assert.Contains(t, refused[0], "A telescope: DO NOT CUT all 13 wordings as they are: up to ")
			assert.Contains(t, refused[0], `on they could be cut, or let the order "mend" them`)
			dir := t.TempDir()
			require.NoError(t, r.Write(dir))
			assert.Contains(t, strings.Join(strings.Fields(readFile(t, dir, "jobsheet.html")), " "), "caution; worst: ")
		}
	}
}

// Somebody hears of what is drawn but not cut so, and of a slip in a roster
// beside the name that it is about.
func TestNotesOfDrawingAndRoster(t *testing.T) {
	t.Parallel()
	const drawing = `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 100 60">
<rect width="100" height="30" fill="#112233"/><circle cx="50" cy="15" r="8" fill="#fff"/>
<text x="10" y="10">lost</text>
<g class="slot" id="upper"><path class="bottom" fill="none" d="M5 58H95"/><path class="top" fill="none" d="M5 40H95"/></g></svg>`
	o := items(t, order.Item{File: "owl.svg", Width: 6 * units.Inch, Copies: 1, Roster: "club.csv"})
	o.Words = nil
	r := run(t, o, order.Options{Budget: quick.Budget, Files: fstest.MapFS{"owl.svg": {Data: []byte(drawing)}, "club.csv": {Data: []byte("upper\nANNA\nbEN\n")}}})
	require.Len(t, r.Designs, 2)
	for i, d := range r.Designs {
		notes := strings.Join(d.Notes, "\n")
		assert.Contains(t, notes, "owl.svg, line 3: text")
		assert.Contains(t, notes, "drawn in 2 colours (#112233, #ffffff)")
		assert.Equal(t, i == 1, strings.Contains(notes, `club.csv, line 3: "bEN": odd capitals`))
	}
}
