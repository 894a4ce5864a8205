package outline_test

import (
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
)

// Two overlapping squares become one contour.
func ExampleWeld() {
	a := outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(20, 0), outline.Pt(20, 20), outline.Pt(0, 20))}
	b := a.Transform(outline.Translate(outline.Pt(10, 10)))
	film, err := outline.Weld([]outline.Path{a, b}, outline.BooleanOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(film), "contour,", film.Nodes(), "nodes,", film.Area())
	// Output: 1 contour, 8 nodes, 700 mm2
}

// A hole cut out of a plate, to see the backing through it.
func ExampleSubtract() {
	plate := outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(50, 0), outline.Pt(50, 30), outline.Pt(0, 30))}
	window := outline.Path{outline.Polygon(outline.Pt(10, 10), outline.Pt(40, 10), outline.Pt(40, 20), outline.Pt(10, 20))}
	film, err := outline.Subtract(plate, []outline.Path{window}, outline.BooleanOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(film.Area(), "hole:", film[1].Area())
	// Output: 1200 mm2 hole: -300 mm2
}

// A border of 2 mm behind a plate, with square corners.
func ExampleOffset() {
	plate := outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(50, 0), outline.Pt(50, 30), outline.Pt(0, 30))}
	border, err := outline.Offset(plate, 2, outline.OffsetOptions{Corner: outline.CornerMitre})
	if err != nil {
		fmt.Println(err)
		return
	}
	b := border.Bounds()
	fmt.Printf("%g x %g mm, %d nodes\n", b.Width(), b.Height(), border.Nodes())
	// Output: 54 x 34 mm, 4 nodes
}

// What two shapes share, and what only one of them has.
func ExampleIntersect() {
	a := outline.Path{outline.Rectangle(outline.Box{Max: outline.Pt(20, 20)})}
	b := a.Transform(outline.Translate(outline.Pt(10, 10)))
	both, err := outline.Intersect([]outline.Path{a, b}, outline.BooleanOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	one, err := outline.SymmetricDifference([]outline.Path{a, b}, outline.BooleanOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(both.Area(), one.Area())
	// Output: 100 mm2 600 mm2
}

// A pentagram run in one stroke has its middle filled by the non-zero rule and left
// open by the even-odd one; the report counts where it crosses itself.
func ExampleFillRule() {
	p := outline.RegularPolygon(outline.Pt(0, 0), 10, 5, 0)
	var tips []outline.Point
	for i := range 5 {
		tips = append(tips, p.Segments[2*i%5].End)
	}
	star := []outline.Path{{outline.Polygon(tips...)}}
	for _, rule := range []outline.FillRule{outline.NonZero, outline.EvenOdd} {
		var report outline.BooleanReport
		film, err := outline.Weld(star, outline.BooleanOptions{FillRule: rule, Report: &report})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%v: %d contours, %.1f mm2, %d crossings\n", rule, len(film), float64(film.Area()), report.Crossings)
	}
	// Output:
	// non-zero: 1 contours, 112.3 mm2, 5 crossings
	// even-odd: 5 contours, 77.6 mm2, 5 crossings
}
