package jobsheet_test

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/vinylgeom/vinyl/layout/jobsheet"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

func Example() {
	job := jobsheet.Job{
		Title: "Marlow Creek Science Fair",
		Films: []jobsheet.Film{{Name: "matt navy", Colour: "#1d3557", Width: 12 * units.Inch, Length: 15 * units.Inch, Loads: 1}},
		Loads: []jobsheet.Load{{Name: "load-01", Length: 15 * units.Inch, Decals: []string{"B-07"}, Counters: 1,
			Picks: []jobsheet.DecalPicks{{ID: "B-07", Picks: []jobsheet.Pick{{Number: 1, What: "the A in MARLOW", Width: 3.4}}}}}},
	}
	var page bytes.Buffer
	if err := jobsheet.Write(&page, job); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Contains(page.String(), "<title>Job sheet: Marlow Creek Science Fair</title>"))
	fmt.Println(strings.Contains(page.String(), `<li value="1">the A in MARLOW, 3.4</li>`))
	// Output:
	// true
	// true
}

func ExampleWriteApproval() {
	ring := outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(40, 0), outline.Pt(40, 30), outline.Pt(0, 30))}
	job := jobsheet.Job{Title: "Marlow Creek Science Fair", Designs: []jobsheet.Design{{
		Letter: "A", Name: "banner", Words: []jobsheet.Words{{Slot: "upper", Text: "MARLOW 7"}}, Copies: 25, Width: 40, Height: 30, Colour: "#1d3557", Path: ring,
	}}}
	var page bytes.Buffer
	if err := jobsheet.WriteApproval(&page, job); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Contains(page.String(), `width="40.00mm" height="30.00mm"`), strings.Contains(page.String(), "M A R L O W ␣ 7"))
	// Output: true true
}

func ExampleWritePDF() {
	var file bytes.Buffer
	if err := jobsheet.WritePDF(&file, jobsheet.Job{Title: "Marlow Creek Science Fair"}, jobsheet.PDFOptions{Paper: jobsheet.A4}); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(bytes.HasPrefix(file.Bytes(), []byte("%PDF-1.")))
	// Output: true
}
