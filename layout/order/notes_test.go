package order_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/units"
)

// What is true of many wordings of an item is said once, and the job sheet's
// table says of each no more than the worst; few are named one by one.
func TestNotesOfARoster(t *testing.T) {
	t.Parallel()
	for _, names := range []int{1, 3, 16} {
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
		dir := t.TempDir()
		require.NoError(t, r.Write(dir))
		sheet := strings.Join(strings.Fields(readFile(t, dir, "jobsheet.html")), " ")
		switch names {
		case 1:
			require.Len(t, refused, 1)
			assert.Contains(t, refused[0], "A telescope: DO NOT CUT as it is")
		case 3:
			require.Len(t, refused, 3)
			assert.Contains(t, refused[1], `A telescope, "KAY B `)
		default:
			require.Len(t, refused, 1)
			assert.Contains(t, refused[0], "A telescope: DO NOT CUT all 16 wordings as they are: up to ")
			assert.Contains(t, refused[0], `on they could be cut, or let the order "mend" them`)
		}
		assert.Equal(t, names > 12, strings.Contains(sheet, "caution; worst: "), "%d names", names)
	}
}
