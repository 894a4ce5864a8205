package svg_test

import (
	"fmt"
	"os"
	"strings"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

func Example() {
	const artwork = `<svg xmlns="http://www.w3.org/2000/svg" width="4in" height="2in" viewBox="0 0 40 20">
	<g id="badge" fill="#1d4ed8"><circle cx="10" cy="10" r="8"/></g>
	<text x="20" y="10">Science Fair</text>
</svg>`
	drawing, err := svg.Read(strings.NewReader(artwork), svg.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("page", drawing.Width.InchString(), "by", drawing.Height.InchString())
	for _, s := range drawing.Shapes {
		box := s.Path.Bounds()
		fmt.Printf("%s in #%s, %s: %.2f mm wide, lower edge at %.2f mm\n", s.Element, s.Groups[0].ID, s.Fill, box.Width(), box.Min.Y)
	}
	for _, w := range drawing.Warnings {
		fmt.Println(w)
	}
	// Output:
	// page 4 in by 2 in
	// circle in #badge, #1d4ed8: 40.64 mm wide, lower edge at 5.08 mm
	// line 3: text: text is not cut: convert it to paths, or set it with the lettering package
}

func ExampleWrite() {
	plate := outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(30, 0), outline.Pt(30, 20))}
	if err := svg.Write(os.Stdout, plate, svg.WriteOptions{Width: 40 * units.Millimetre, Height: 25 * units.Millimetre}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// <svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="25mm" viewBox="0 0 40 25">
	// <path fill="#000" d="M0,25L30,25L30,5Z"/>
	// </svg>
}

func ExampleParsePathData() {
	subpaths, err := svg.ParsePathData("M0.6.5h10v-4z m20 0l1e1-2")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range subpaths {
		fmt.Println(svg.CurveData(s.Curve), s.Closed)
	}
	_, err = svg.ParsePathData("M10,10 L20,20,30")
	fmt.Println(err)
	// Output:
	// M0.6,0.5L10.6,0.5L10.6,-3.5L0.6,0.5 true
	// M20.6,0.5L30.6,-1.5 false
	// svg: d="M10,10 L20,20,30" at byte 16: the value does not follow the SVG grammar; give a number there
}

// Path data is a compact way for a path to travel, to the last bit.
func ExampleParsePath() {
	p, err := svg.ParsePath("M0 0H90V50H0Z M20 10V40H30V10Z")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Area(), svg.PathData(p))
	// Output: 4200 mm2 M0,0L90,0L90,50L0,50ZM20,10L20,40L30,40L30,10Z
}

// All that a drawing paints becomes one film; its segments know what drew them.
func ExampleDrawing_Path() {
	drawing, err := svg.Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20">
<rect id="plate" width="20" height="20"/>
<rect x="15" width="20" height="10" fill="red"/></svg>`), svg.Options{MaxNodes: 1000})
	if err != nil {
		fmt.Println(err)
		return
	}
	film, err := drawing.Path(outline.BooleanOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(film.Area(), len(film), "piece of")
	for _, part := range film[0].Segments[:2] {
		fmt.Println(drawing.Describe(part.Origin))
	}
	// Output:
	// 550 mm2 1 piece of
	// plate
	// plate
}

// Two colours in one file, and a line that is no film.
func ExampleWriteLayers() {
	square := func(x float64) outline.Path {
		return outline.Path{outline.Rectangle(outline.Box{Min: outline.Pt(x, 0), Max: outline.Pt(x+10, 10)})}
	}
	err := svg.WriteLayers(os.Stdout, []svg.Layer{
		{ID: "navy", Fill: "#1d3557", Path: square(0)},
		{ID: "red", Fill: "#d62828", Path: square(5), Curves: []outline.Curve{outline.Polyline(outline.Pt(0, 5), outline.Pt(20, 5))}},
	}, svg.WriteOptions{Width: 20, Height: 10})
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// <svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10">
	// <path id="navy" fill="#1d3557" d="M0,10L10,10L10,0L0,0Z"/>
	// <path id="red" fill="#d62828" d="M5,10L15,10L15,0L5,0Z"/>
	// <path fill="none" stroke="#d62828" stroke-width="0.2" d="M0,5L20,5"/>
	// </svg>
}
