package proof

import (
	"image/color"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
)

func canvas(t *testing.T) *Canvas {
	t.Helper()
	c, err := NewCanvas(outline.Box{Max: outline.Pt(10, 10)}, 8)
	require.NoError(t, err)
	return c
}

// Whatever numbers come, drawing neither panics nor runs on: lines of width NaN
// and to places far away once never ended.
func TestDrawingOfAnyNumbers(t *testing.T) {
	values := []float64{math.NaN(), math.Inf(-1), 1e300, -1e9, -1, 0}
	began := time.Now()
	for _, v := range values {
		c := canvas(t)
		for _, curve := range []outline.Curve{
			outline.Polyline(outline.Pt(1, 1), outline.Pt(v, 2), outline.Pt(3, 3)), outline.Polyline(outline.Pt(1, v), outline.Pt(2, -v)),
			outline.Polyline(outline.Pt(v, v)), {Start: outline.Pt(1, 1), Segments: []outline.Segment{outline.QuadTo(outline.Pt(v, 1), outline.Pt(5, 5))}},
		} {
			c.Stroke(curve, 1, color.Black)
			c.Dashed(curve, 1, 1, color.Black)
			c.Fill(outline.Path{curve.Closed()}, color.Black)
		}
		line := outline.Polyline(outline.Pt(1, 1), outline.Pt(9, 9))
		c.Stroke(line, v, nil)
		c.Dashed(line, 1, v, nil)
		assert.NoError(t, c.Text("A", outline.Pt(v, 1), 2, Regular, Start, nil))
		assert.NoError(t, c.Mark(Marker{At: outline.Pt(1, v), Label: "1"}))
		if v == 0 {
			continue
		}
		_, err := Image(layout.Sheet{Film: layout.Film{Width: 40}, Length: 40}, Options{PixelsPerMM: 1, Markers: []Marker{{At: outline.Pt(v, 5), Label: "1"}}})
		assert.NoError(t, err)
	}
	assert.Less(t, time.Since(began), 20*time.Second)
}

// Letters as large as memory are refused, and heights that are none.
func TestTextIsBounded(t *testing.T) {
	c := canvas(t)
	for em, cause := range map[float64]error{
		math.NaN(): ErrInvalid, -1: ErrInvalid, math.Inf(1): ErrInvalid, maxTextPixels/8 + 1: ErrTooLarge, 1e7: ErrTooLarge, 0: nil, 3: nil,
	} {
		err := c.Text("A", outline.Pt(1, 1), em, Bold, Start, color.Black)
		assert.ErrorIs(t, err, cause, em)
		_, err = c.TextWidth("A", em, Bold)
		assert.ErrorIs(t, err, cause, em)
	}
	s := layout.Sheet{Film: layout.Film{Width: 100}, Length: 100, Decals: []layout.PlacedDecal{{ID: "A-01", Path: boxPath(outline.Box{Max: outline.Pt(50, 50)})}}}
	_, err := Image(s, Options{TextHeight: 1e7})
	assert.ErrorIs(t, err, ErrTooLarge)
}

// A line that comes from far outside the picture runs through it where it
// should: the points beyond are cut off, not moved.
func TestLinesFromOutside(t *testing.T) {
	whole, part := canvas(t), canvas(t)
	part.Stroke(outline.Polyline(outline.Pt(-2, -1), outline.Pt(12, 6), outline.Pt(15, 6), outline.Pt(11, 12), outline.Pt(3, -4)), 1, color.Black)
	wide, err := NewCanvas(outline.Box{Min: outline.Pt(-10, -10), Max: outline.Pt(20, 20)}, 8)
	require.NoError(t, err)
	wide.Stroke(outline.Polyline(outline.Pt(-2, -1), outline.Pt(12, 6), outline.Pt(15, 6), outline.Pt(11, 12), outline.Pt(3, -4)), 1, color.Black)
	differ := 0
	for y := 1; y < 79; y++ { // the rasteriser shades pixels on the rim a little otherwise
		for x := 1; x < 79; x++ {
			a, b := part.img.RGBAAt(x, y), wide.img.RGBAAt(x+80, y+80)
			if math.Abs(float64(a.R)-float64(b.R)) > 8 {
				differ++
			}
		}
	}
	assert.Zero(t, differ)
	assert.NotEqual(t, whole.img.Pix, part.img.Pix, "something is drawn")
	far := canvas(t)
	far.Stroke(outline.Polyline(outline.Pt(-1e7, -1e7), outline.Pt(1e7, 1e7)), 1, color.Black)
	assert.Equal(t, uint8(0), far.img.RGBAAt(40, 40).R, "a diagonal from far away meets the middle")
	assert.Equal(t, uint8(255), far.img.RGBAAt(40, 60).R)
}
