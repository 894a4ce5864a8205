package hpgl_test

import (
	"fmt"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"io"
	"os"
	"strings"

	"github.com/vinylgeom/vinyl/layout/hpgl"
)

func ExampleRead() {
	file, err := hpgl.Read(strings.NewReader("IN;SP1;PA;PU400,400;PD800,400,800,800,400,800,400,400;PU;ZZ7;SP0;"))
	if err != nil {
		fmt.Println(err)
		return
	}
	b := file.Bounds()
	fmt.Println(len(file.Strokes), "stroke,", b.Width(), "by", b.Height(), "mm")
	for _, w := range file.Warnings {
		fmt.Println(w)
	}
	// Output:
	// 1 stroke, 10 by 10 mm
	// byte 57: ZZ: unknown command passed over
}

// A job for a machine that feeds along its Y axis and wants a word of its own
// first.
func ExampleNewWriter() {
	job := cutpath.Job{Name: "load-01", Strokes: []cutpath.Stroke{{
		Curve: outline.Polyline(outline.Pt(10, 10), outline.Pt(50, 10)),
	}}}
	err := job.Write(hpgl.NewWriter(os.Stdout, hpgl.Options{Mode: hpgl.Relative, Speed: 250 * units.MillimetrePerSecond, Before: "FS12;\n"}))
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// IN;FS12;
	// SP1;VS25;PA;PU0,0;PR;
	// PU400,400;PD1600,0;
	// PU;SP0;
}

// A load beyond the classic range of coordinates is refused, with the place.
func ExampleOptions() {
	job := cutpath.Job{Strokes: []cutpath.Stroke{{ID: "B-07", Curve: outline.Polyline(outline.Pt(10, 10), outline.Pt(900, 10))}}}
	fmt.Println(job.Write(hpgl.NewWriter(io.Discard, hpgl.Options{})))
	fmt.Println(job.Write(hpgl.NewWriter(io.Discard, hpgl.Options{Range: hpgl.Wide})))
	// Output:
	// cutpath: write HP-GL: decal B-07, contour 0, at (900.000, 10.000) mm: a coordinate is beyond what the machine takes: 36000 units of ±32767 (819.175 mm); send it Relative, split the job, or set Range to Wide if the machine takes larger numbers
	// <nil>
}
