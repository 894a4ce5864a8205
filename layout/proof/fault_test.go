package proof_test

import (
	"bytes"
	"errors"
	"image/png"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

func box(w, h float64) outline.Path {
	return outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(w, 0), outline.Pt(w, h), outline.Pt(0, h))}
}

// What would take all memory is refused at once, by a limit that the error names.
func TestPicturesBeyondTheLimit(t *testing.T) {
	sheet := func(length, width float64) layout.Sheet {
		return layout.Sheet{Name: "load-01", Film: layout.Film{Name: "navy", Width: units.Length(width)}, Length: units.Length(length),
			Decals: []layout.PlacedDecal{{ID: "A-1", Path: box(10, 10)}}}
	}
	for name, draw := range map[string]func() error{
		"scale":        func() error { _, err := proof.Image(sheet(400, 300), proof.Options{PixelsPerMM: 1000}); return err },
		"scale beyond": func() error { _, err := proof.Image(sheet(400, 300), proof.Options{PixelsPerMM: 1e300}); return err },
		"length":       func() error { _, err := proof.Image(sheet(1e9, 300), proof.Options{}); return err },
		"length, asked for": func() error {
			_, err := proof.Image(sheet(1e6, 300), proof.Options{PixelsPerMM: 4})
			return err
		},
		"length without end": func() error { _, err := proof.Image(sheet(math.Inf(1), 300), proof.Options{}); return err },
		"shape": func() error {
			_, err := proof.Shape(box(1e5, 1e5), "#000000", proof.Options{PixelsPerMM: 1})
			return err
		},
		"canvas": func() error { _, err := proof.NewCanvas(outline.Box{Max: outline.Pt(1e6, 1e6)}, 1); return err },
	} {
		t.Run(name, func(t *testing.T) {
			begun := time.Now()
			err := draw()
			var typed *proof.Error
			require.ErrorAs(t, err, &typed)
			if !errors.Is(err, proof.ErrEmpty) { // what has no end has no size either
				assert.ErrorIs(t, err, proof.ErrTooLarge)
				assert.Contains(t, err.Error(), strconv.Itoa(proof.MaxPixels))
			}
			assert.Less(t, time.Since(begun), time.Second)
		})
	}
}

// A load as long as a roll is drawn coarser rather than refused: without a
// greatest length of loads an order is one. Half a minute with the race
// detector, so by hand: VINYL_LONG_PICTURE=1.
func TestLongSheetIsDrawnCoarser(t *testing.T) {
	s := layout.Sheet{Name: "load-01", Film: layout.Film{Name: "navy", Width: 610}, Length: 50 * units.Metre,
		Decals: []layout.PlacedDecal{{ID: "A-1", Path: box(10, 10)}}}
	var picture bytes.Buffer
	if os.Getenv("VINYL_LONG_PICTURE") == "" {
		t.Skip("33 million pixels: by hand")
	}
	require.NoError(t, proof.WritePNG(&picture, s, proof.Options{}))
	size, err := png.DecodeConfig(&picture)
	require.NoError(t, err)
	assert.LessOrEqual(t, size.Width*size.Height, proof.MaxPixels)
	assert.Greater(t, size.Width, 30_000)
}
