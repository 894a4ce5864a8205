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
