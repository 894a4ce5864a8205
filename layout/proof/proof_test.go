package proof_test

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/outline"
)

// letterF is an F: neither it nor its mirror image can be taken for the other.
func letterF() outline.Path {
	return outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(10, 0), outline.Pt(10, 20), outline.Pt(30, 20), outline.Pt(30, 30), outline.Pt(10, 30), outline.Pt(10, 50), outline.Pt(40, 50), outline.Pt(40, 60), outline.Pt(0, 60))}
}

func sheet() layout.Sheet {
	return layout.Sheet{
		Name: "load-01", Film: layout.Film{Name: "red", Colour: "#cc0000", Width: 100}, Length: 120,
		Decals: []layout.PlacedDecal{{ID: "A-01", Path: letterF().Transform(outline.Translate(outline.Pt(30, 20)))}},
	}
}

// The picture shows the sheet the right way up: a point of film is red, its
// mirror images are not.
func TestImageIsTheRightWayUp(t *testing.T) {
	const scale, border, title = 4.0, 5.0, 14.0
	img, err := proof.Image(sheet(), proof.Options{NoIDs: true})
	require.NoError(t, err)
	assert.Equal(t, int(scale*(120+2*border)), img.Bounds().Dx())
	assert.Equal(t, int(scale*(100+2*border+title)), img.Bounds().Dy())
	at := func(x, y float64) color.RGBA {
		return img.RGBAAt(int((x+border)*scale), int((100+border+title-y)*scale))
	}
	red := color.RGBA{0xcc, 0, 0, 0xff}
	assert.Equal(t, red, at(35, 22), "foot of the F")
	assert.Equal(t, red, at(68, 75), "end of its upper arm")
	assert.NotEqual(t, red, at(68, 22), "right of its foot")
	assert.NotEqual(t, red, at(55, 60), "between its arms")
}

// The share of dark pixels of a circle agrees with its area.
func TestFillCoverage(t *testing.T) {
	const r, k = 20.0, 0.5522847498
	circle := outline.Path{{Start: outline.Pt(r, 0), Segments: []outline.Segment{
		outline.CubicTo(outline.Pt(r, k*r), outline.Pt(k*r, r), outline.Pt(0, r)),
		outline.CubicTo(outline.Pt(-k*r, r), outline.Pt(-r, k*r), outline.Pt(-r, 0)),
		outline.CubicTo(outline.Pt(-r, -k*r), outline.Pt(-k*r, -r), outline.Pt(0, -r)),
		outline.CubicTo(outline.Pt(k*r, -r), outline.Pt(r, -k*r), outline.Pt(r, 0)),
	}}}
	img, err := proof.Shape(circle, "#000000", proof.Options{PixelsPerMM: 10})
	require.NoError(t, err)
	var dark float64
	for i := 0; i < len(img.Pix); i += 4 {
		dark += 1 - float64(img.Pix[i])/255
	}
	assert.InEpsilon(t, math.Pi*r*r, dark/100, 0.002)
}

func TestWritePNG(t *testing.T) {
	var b bytes.Buffer
	s := sheet()
	s.WeedBorder = letterF()
	s.WeedLines = []outline.Curve{outline.Polyline(outline.Pt(0, 0), outline.Pt(100, 90))}
	s.TrimLines = []outline.Curve{outline.Polyline(outline.Pt(110, 0), outline.Pt(110, 100))}
	s.Marks = s.WeedLines
	markers := []proof.Marker{{At: outline.Pt(10, 10), Label: "1"}, {At: outline.Pt(20, 10), Label: "2", Shape: proof.Square},
		{At: outline.Pt(30, 10), Label: "3", Shape: proof.Triangle}, {At: outline.Pt(40, 10), Label: "4", Shape: proof.Diamond}}
	require.NoError(t, proof.WritePNG(&b, s, proof.Options{Markers: markers}))
	first := bytes.Clone(b.Bytes())
	_, err := png.Decode(&b)
	require.NoError(t, err)
	b.Reset()
	require.NoError(t, proof.WritePNG(&b, s, proof.Options{Markers: markers}))
	assert.Equal(t, first, b.Bytes(), "the same sheet gives the same bytes")
}

// Lines along curves of every kind are drawn: a ring of 2 mm has the area of
// its film.
func TestStrokeOfCurves(t *testing.T) {
	c, err := proof.NewCanvas(outline.Box{Min: outline.Pt(-30, -30), Max: outline.Pt(30, 30)}, 10)
	require.NoError(t, err)
	const r, k = 20.0, 0.5522847498
	c.Stroke(outline.Curve{Start: outline.Pt(r, 0), Segments: []outline.Segment{
		outline.CubicTo(outline.Pt(r, k*r), outline.Pt(k*r, r), outline.Pt(0, r)),
		outline.CubicTo(outline.Pt(-k*r, r), outline.Pt(-r, k*r), outline.Pt(-r, 0)),
	}}, 2, color.Black)
	var dark float64
	for i := 0; i < len(c.Image().Pix); i += 4 {
		dark += 1 - float64(c.Image().Pix[i])/255
	}
	assert.InEpsilon(t, math.Pi*r*2+math.Pi, dark/100, 0.01, "half a ring and its two round ends")
	c.Stroke(outline.Curve{Segments: []outline.Segment{outline.QuadTo(outline.Pt(5, 5), outline.Pt(10, 0))}}, 1, color.Black)
	c.Stroke(outline.Curve{}, 1, color.Black)
}

func TestErrors(t *testing.T) {
	_, err := proof.Image(layout.Sheet{}, proof.Options{})
	assert.ErrorIs(t, err, proof.ErrEmpty)
	s := sheet()
	s.Film.Colour = "bluish"
	_, err = proof.Image(s, proof.Options{})
	assert.ErrorIs(t, err, proof.ErrInvalid)
	_, err = proof.Image(sheet(), proof.Options{PixelsPerMM: 1e4})
	assert.ErrorIs(t, err, proof.ErrTooLarge)
	_, err = proof.Image(sheet(), proof.Options{PixelsPerMM: -1})
	assert.ErrorIs(t, err, proof.ErrInvalid)
	_, err = proof.Shape(nil, "", proof.Options{})
	assert.ErrorIs(t, err, proof.ErrEmpty)
}

func TestColour(t *testing.T) {
	for text, want := range map[string]color.RGBA{
		"": {A: 255}, "#fff": {255, 255, 255, 255}, "#1d3557": {0x1d, 0x35, 0x57, 255}, "Teal": {0, 128, 128, 255},
	} {
		got, err := proof.Colour(text)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	for _, bad := range []string{"#12345", "123456", "url(#x)", "#gggggg"} {
		_, err := proof.Colour(bad)
		assert.ErrorIs(t, err, proof.ErrInvalid, bad)
	}
}
