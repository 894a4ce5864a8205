package outline_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/units"
)

// Letters bent onto an arc have curves that offsets turn into cusps, and cubics
// fitted to these cross where their chords did not: the result is welded all
// the same.
func TestOffsetsOfBentLettersAreWelded(t *testing.T) {
	text, err := lettering.Set("Packed & sealed", lettering.Options{Height: 20 * units.Millimetre, Weld: true})
	require.NoError(t, err)
	flat := text.Path.Bounds()
	arc, err := outline.BetweenArcs(flat, 25*units.Millimetre, 20*units.Millimetre)
	require.NoError(t, err)
	bent, err := outline.Bend(text.Path, flat, arc, outline.BendOptions{})
	require.NoError(t, err)
	bent, err = outline.Weld([]outline.Path{bent}, outline.BooleanOptions{})
	require.NoError(t, err)
	for d := units.Length(-2.5); d <= 3; d += 0.25 {
		moved, err := outline.Offset(bent, d, outline.OffsetOptions{})
		require.NoError(t, err)
		assert.NoError(t, moved.CheckWelded(0), "moved by %v", d)
	}
}
