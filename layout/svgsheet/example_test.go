package svgsheet_test

import (
	"fmt"
	"os"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/svgsheet"
	"github.com/vinylgeom/vinyl/outline"
)

func Example() {
	job := cutpath.Job{Name: "load-01", Film: layout.Film{Name: "red", Width: 20}, Length: 30, Strokes: []cutpath.Stroke{{
		ID: "A-01", Colour: "#c1121f", Closed: true,
		Curve: outline.Polygon(outline.Pt(5, 5), outline.Pt(25, 5), outline.Pt(5, 15)).Curve(),
	}}}
	if err := job.Write(svgsheet.NewWriter(os.Stdout, svgsheet.Options{})); err != nil {
		fmt.Println(err)
	}
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="20mm" viewBox="0 0 30 20">
	// <title>load-01</title>
	// <desc>Cut lines in millimetres, for red; x along the film.</desc>
	// <g fill="none" stroke-width="0.25" stroke-linejoin="round" stroke-linecap="round">
	// <g class="film" stroke="#c1121f">
	// <g class="decal" data-id="A-01">
	// <path d="M5 15L25 15L5 5Z"/>
	// </g>
	// </g>
	// </g>
	// </svg>
}
