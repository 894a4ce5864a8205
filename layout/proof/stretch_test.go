package proof

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Stretches show every column of the film, each half an inch of its neighbours,
// and below the titles the same as the whole picture.
func TestStretches(t *testing.T) {
	sheet := crowded(rand.New(rand.NewPCG(1, 2)))
	opt := Options{PixelsPerMM: 2}
	whole, err := Image(sheet, opt)
	require.NoError(t, err)
	one, err := Stretches(sheet, opt, 1)
	require.NoError(t, err)
	require.Len(t, one, 1)
	assert.Equal(t, whole.Pix, one[0].Pix)

	const n = 3
	parts, err := Stretches(sheet, opt, n)
	require.NoError(t, err)
	require.Len(t, parts, n)
	length := float64(sheet.Length) / n
	title := int((titleBand + border) * opt.PixelsPerMM)
	seen := 0
	for k, part := range parts {
		left := int((border + float64(k)*length - float64(beyond)) * opt.PixelsPerMM) // of the part in the whole
		if k == 0 {
			left = 0
		}
		assert.LessOrEqual(t, left, seen, "no column is left out")
		seen = left + part.Bounds().Dx()
		differ := 0
		for y := title; y < part.Bounds().Dy(); y++ {
			for x := range part.Bounds().Dx() {
				if part.RGBAAt(x, y) != whole.RGBAAt(left+x, y) {
					differ++
				}
			}
		}
		assert.Zero(t, differ, "stretch %d", k)
		written := 0
		for y := range title {
			for x := range part.Bounds().Dx() {
				if part.RGBAAt(x, y).R < 0x80 {
					written++
				}
			}
		}
		assert.Positive(t, written, "every stretch has a title")
	}
	assert.Equal(t, whole.Bounds().Dx(), seen)
	for _, bad := range []int{0, -1, MaxStretches + 1} {
		_, err = Stretches(sheet, opt, bad)
		assert.ErrorIs(t, err, ErrInvalid)
	}
}
