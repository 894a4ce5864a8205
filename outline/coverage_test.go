package outline

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/vector"
)

// raster draws p, k pixels to the millimetre, by x/image/vector, which fills by
// the non-zero rule.
func raster(p Path, box Box, k float64) *image.Alpha {
	w, h := int(box.Width()*k)+1, int(box.Height()*k)+1
	z := vector.NewRasterizer(w, h)
	at := func(q Point) (float32, float32) {
		return float32((q.X - box.Min.X) * k), float32((box.Max.Y - q.Y) * k)
	}
	for _, c := range p {
		z.MoveTo(at(c.Start))
		for _, s := range c.Segments {
			x1, y1 := at(s.C1)
			x2, y2 := at(s.C2)
			x, y := at(s.End)
			switch s.Kind {
			case Line:
				z.LineTo(x, y)
			case Quad:
				z.QuadTo(x1, y1, x, y)
			case Cubic:
				z.CubeTo(x1, y1, x2, y2, x, y)
			}
		}
		z.ClosePath()
	}
	img := image.NewAlpha(image.Rect(0, 0, w, h))
	z.Draw(img, img.Bounds(), image.NewUniform(color.Opaque), image.Point{})
	return img
}

func coverage(img *image.Alpha, k float64) float64 {
	sum := 0
	for _, v := range img.Pix {
		sum += int(v)
	}
	return float64(sum) / 255 / (k * k)
}

// The pixels that overlapping letters cover, as drawn by x/image/vector, are
// those that their weld covers, and make up its area.
func TestWeldAgainstCoverage(t *testing.T) {
	text, film, report := weldedText(t, "Magnet & Gear")
	const k = 20
	box := text.Bounds().Grow(3)
	before, after := raster(text, box, k), raster(film, box, k)
	assert.InEpsilon(t, float64(film.Area()), coverage(after, k), 2e-3)
	off := 0
	for i, v := range before.Pix {
		// Pixels on an inner border are drawn lighter where shapes overlap unwelded.
		if d := int(v) - int(after.Pix[i]); d > 32 {
			off++
		}
	}
	// At crossings both shapes count in one pixel.
	assert.LessOrEqual(t, off, 4*report.Crossings, "pixels darker before welding")
	assert.InEpsilon(t, coverage(after, k), coverage(before, k), 5e-3)
	border, err := Offset(film, 1.5, OffsetOptions{})
	require.NoError(t, err)
	inline, err := Offset(film, -0.6, OffsetOptions{})
	require.NoError(t, err)
	assert.InEpsilon(t, float64(border.Area()), coverage(raster(border, box, k), k), 2e-3)
	if name := os.Getenv("VINYL_OUTLINE_PNG"); name != "" {
		out := image.NewRGBA(before.Bounds())
		a, b, c := raster(border, box, k), after, raster(inline, box, k)
		for i := range a.Pix {
			out.Pix[4*i], out.Pix[4*i+1], out.Pix[4*i+2], out.Pix[4*i+3] = 255-a.Pix[i]/3, 255-b.Pix[i], 255-c.Pix[i], 255
		}
		f, err := os.Create(name)
		require.NoError(t, err)
		require.NoError(t, png.Encode(f, out))
		require.NoError(t, f.Close())
	}
}
