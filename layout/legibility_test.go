package layout_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/units"
)

// testdata/trade.md, check 17: letters for 60 ft are 6 in at 10 ft per inch, 2
// in at 30, and 2.3 in all in capitals (United States Sign Council, 2006).
func TestLetterHeightCheck17(t *testing.T) {
	distance := 60 * units.Foot
	assert.InDelta(t, 6, layout.LegibleWithEase.LetterHeight(distance, false).Inches(), 0.01)
	assert.InDelta(t, 2, layout.LegibleAtMost.LetterHeight(distance, false).Inches(), 0.01)
	assert.InDelta(t, 2.3, layout.LegibleAtMost.LetterHeight(distance, true).Inches(), 0.01)
	for _, capitals := range []bool{false, true} {
		h := layout.LegibleAtMost.LetterHeight(distance, capitals)
		assert.InDelta(t, float64(distance), float64(layout.LegibleAtMost.ReadingDistance(h, capitals)), 1e-9)
	}
}
