package proof

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/vinylgeom/vinyl/outline"
)

// Usual sheets are drawn at the usual scale, longer ones within the bound.
func TestScaleOfLongSheets(t *testing.T) {
	for length, want := range map[float64]float64{381: 4, 6000: 4, 50_000: 1.46, 1e6: 0.33} {
		view := outline.Box{Max: outline.Pt(length, 315)}
		scale := Options{}.scale(view)
		assert.InDelta(t, want, scale, 0.01, "%v mm", length)
		assert.LessOrEqual(t, view.Width()*view.Height()*scale*scale, float64(MaxPixels))
		assert.InDelta(t, 2.5, Options{PixelsPerMM: 2.5}.scale(view), 0, "as asked for")
	}
}
