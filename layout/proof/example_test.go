package proof_test

import (
	"bytes"
	"fmt"
	"image/png"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/outline"
)

func ExampleWritePNG() {
	sheet := layout.Sheet{
		Name: "load-01", Film: layout.Film{Name: "matt navy", Colour: "#1d3557", Width: 100}, Length: 150,
		Decals: []layout.PlacedDecal{{ID: "A-01", Path: outline.Path{outline.Polygon(outline.Pt(30, 20), outline.Pt(90, 20), outline.Pt(60, 80))}}},
	}
	var picture bytes.Buffer
	if err := proof.WritePNG(&picture, sheet, proof.Options{PixelsPerMM: 2}); err != nil {
		fmt.Println(err)
		return
	}
	config, err := png.DecodeConfig(&picture)
	fmt.Println(config.Width, "x", config.Height, err)
	// Output: 320 x 248 <nil>
}

// A marker stands beside its place, where it covers no edge of film, with a
// line that leads to the place.
func ExampleImage() {
	frame := outline.Path{
		outline.Polygon(outline.Pt(30, 20), outline.Pt(90, 20), outline.Pt(90, 80), outline.Pt(30, 80)),
		outline.Polygon(outline.Pt(58, 48), outline.Pt(58, 52), outline.Pt(62, 52), outline.Pt(62, 48)), // a counter of 4 mm
	}
	sheet := layout.Sheet{
		Name: "load-01", Film: layout.Film{Name: "matt navy", Colour: "#1d3557", Width: 100}, Length: 150,
		Decals: []layout.PlacedDecal{{ID: "A-01", Path: frame}},
	}
	img, err := proof.Image(sheet, proof.Options{PixelsPerMM: 2, Markers: []proof.Marker{{At: outline.Pt(60, 50), Label: "1"}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(img.Bounds().Dx(), "x", img.Bounds().Dy())
	// Output: 320 x 248
}

// A picture of one's own: a plan of the shelf, a millimetre to four pixels.
func ExampleNewCanvas() {
	c, err := proof.NewCanvas(outline.Box{Max: outline.Pt(60, 20)}, 4)
	if err != nil {
		fmt.Println(err)
		return
	}
	navy, err := proof.Colour("#1d3557")
	if err != nil {
		fmt.Println(err)
		return
	}
	c.Fill(outline.Path{outline.Rectangle(outline.Box{Min: outline.Pt(5, 5), Max: outline.Pt(35, 15)})}, navy)
	c.Stroke(outline.Polyline(outline.Pt(40, 5), outline.Pt(40, 15)), 0.5, nil)
	if err := c.Text("rest of load-03", outline.Pt(50, 9), 2.5, proof.Regular, proof.Middle, nil); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(c.Image().Bounds().Size(), c.Image().RGBAAt(80, 40))
	// Output: (240,80) {29 53 87 255}
}
