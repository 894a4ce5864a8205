package order

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
)

// What random orders left at times: a contour of a fiftieth of a millimetre,
// which no file holds, and a border that crosses itself at a needle's foot.
func TestClean(t *testing.T) {
	square := outline.Polygon(outline.Pt(0, 0), outline.Pt(50, 0), outline.Pt(50, 50), outline.Pt(0, 50))
	dot := outline.Circle(outline.Pt(20, 20), 0.01).Reversed()
	assert.Equal(t, outline.Path{square}, clean(outline.Path{square, dot}))

	crossed := outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(50, 0), outline.Pt(30.02, 30), outline.Pt(40, 50), outline.Pt(30, 40), outline.Pt(30.05, 30), outline.Pt(0, 50))}
	require.ErrorIs(t, crossed.CheckWelded(0), outline.ErrCrossing)
	mended := clean(crossed)
	require.NoError(t, mended.CheckWelded(0))
	assert.InDelta(t, float64(crossed.Area()), float64(mended.Area()), 0.5)

	whole := outline.Path{square, outline.Circle(outline.Pt(20, 20), 5).Reversed()}
	assert.Equal(t, whole, clean(whole))
}
