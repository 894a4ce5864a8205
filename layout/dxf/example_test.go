package dxf_test

import (
	"fmt"
	"strings"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/dxf"
	"github.com/vinylgeom/vinyl/outline"
)

func Example() {
	job := cutpath.Job{Film: layout.Film{Name: "red"}, Strokes: []cutpath.Stroke{{
		Closed: true,
		Curve:  outline.Polygon(outline.Pt(0, 0), outline.Pt(10, 0), outline.Pt(0, 10)).Curve(),
	}}}
	var file strings.Builder
	if err := job.Write(dxf.NewWriter(&file, dxf.Options{})); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Count(file.String(), "VERTEX"), "vertices")
	// Output: 3 vertices
}
