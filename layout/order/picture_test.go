package order

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/units"
)

// The picture of a load of 60 m fits within a proof's pixels, and a usual one is not coarser for it. Drawing the long one
// takes seconds, so only its size is looked at.
func TestPictureScaleOfALongLoad(t *testing.T) {
	sheet := layout.Sheet{Film: layout.Film{Width: 12 * units.Inch}, Length: 15 * units.Inch}
	assert.Equal(t, jobSheetScale, pictureScale(sheet))
	sheet.Length = 60 * units.Metre
	scale := pictureScale(sheet)
	assert.InDelta(t, proof.MaxPixels/2, 60000*scale*304.8*scale, 1)
	assert.Less(t, scale, jobSheetScale)
}
