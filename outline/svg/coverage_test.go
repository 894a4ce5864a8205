package svg_test

import (
	"image"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"golang.org/x/image/vector"
)

// Filled areas against the coverage that x/image/vector computes, from the
// curves as drawn, by its own non-zero rule and without any welding. Its own
// flattening is too coarse to judge by (a tenth of a pixel), so it gets chords.
func TestAreasAgainstRasterCoverage(t *testing.T) {
	for _, name := range []string{"testdata/leaf.svg", "testdata/commands.svg", "testdata/lineart.svg"} {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		d, err := svg.Read(strings.NewReader(string(text)), svg.Options{})
		require.NoError(t, err)
		for _, s := range d.Shapes {
			if s.ID == "evenodd" || s.Part == svg.StrokeOnly || len(s.Path) == 0 || strings.Contains(s.Class, "pen") || s.ID == "cubic" || s.ID == "quad" || s.ID == "bumps" || s.Element == "rect" {
				continue // strokes, and the rule it does not have
			}
			// The raster's own rounding: some 1/256 of each pixel of the border.
			border := float64(s.Path.Length(0)) * rasterScale
			assert.InDelta(t, coverage(s.Curves, d), float64(s.Path.Area()), (border/256+1)/(rasterScale*rasterScale), "%s line %d", name, s.Line)
		}
	}
}

// rasterScale is the pixels to the millimetre.
const rasterScale = 8

// coverage returns the area of curves in square millimetres.
func coverage(curves []outline.Curve, d *svg.Drawing) float64 {
	w, h := int(math.Ceil(float64(d.Width)*rasterScale)), int(math.Ceil(float64(d.Height)*rasterScale))
	z := vector.NewRasterizer(w, h)
	at := func(p outline.Point) (x, y float32) { return float32(p.X * rasterScale), float32(p.Y * rasterScale) }
	for _, c := range curves {
		for i, p := range c.Flatten(nil, 0.001) {
			if i == 0 {
				z.MoveTo(at(p))
			} else {
				z.LineTo(at(p))
			}
		}
		z.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, w, h))
	z.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	sum := 0
	for _, a := range mask.Pix {
		sum += int(a)
	}
	return float64(sum) / 255 / (rasterScale * rasterScale)
}
