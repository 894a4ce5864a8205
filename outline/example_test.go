package outline_test

import (
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// A washer of film, 40 mm across: how much film, and how much to cut.
func Example() {
	washer := outline.Ring(outline.Pt(0, 0), 20, 8)
	fmt.Printf("film %.1f mm2\n", float64(washer.Area()))
	fmt.Printf("knife %.1f mm\n", float64(washer.Length(0.001)))
	fmt.Println("hole at its middle:", !washer.Contains(outline.Pt(0, 0)))
	// Output:
	// film 1055.6 mm2
	// knife 175.9 mm
	// hole at its middle: true
}

// The word's box is bent into an arch: both sides are arcs that rise by 20 mm.
func ExampleBend() {
	word := outline.Path{outline.Rectangle(outline.Box{Min: outline.Pt(0, 0), Max: outline.Pt(100, 25)})}
	arch, err := outline.BetweenArcs(word.Bounds(), 20, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	var report outline.BendReport
	bent, err := outline.Bend(word, word.Bounds(), arch, outline.BendOptions{Report: &report})
	if err != nil {
		fmt.Println(err)
		return
	}
	b := bent.Bounds()
	fmt.Printf("%.1f by %.1f mm\n", b.Width(), b.Height())
	fmt.Printf("%d nodes, within 0.005 mm: %t\n", report.NodesAfter, report.Deviation <= 0.005)
	for _, s := range bent[0].Segments {
		fmt.Print(s.Kind, " ")
	}
	fmt.Println()
	// Output:
	// 100.0 by 45.0 mm
	// 6 nodes, within 0.005 mm: true
	// cubic cubic line cubic cubic line
}

// Boundary curves that cross turn part of the word inside out; the error says
// where.
func ExampleBend_folded() {
	word := outline.Path{outline.Rectangle(outline.Box{Min: outline.Pt(0, 0), Max: outline.Pt(100, 20)})}
	w, err := outline.Quadrilateral(outline.Pt(0, 0), outline.Pt(100, 20), outline.Pt(100, 0), outline.Pt(0, 20))
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = outline.Bend(word, word.Bounds(), w, outline.BendOptions{})
	fmt.Println(err != nil)
	// Output: true
}

func ExampleBetween() {
	bottom := outline.Polyline(outline.Pt(0, 0), outline.Pt(100, 0))
	top := outline.Curve{Start: outline.Pt(0, 20), Segments: []outline.Segment{outline.QuadTo(outline.Pt(50, 60), outline.Pt(100, 20))}}
	w, err := outline.Between(bottom, top)
	if err != nil {
		fmt.Println(err)
		return
	}
	p := w.Map(0.5, 1)
	fmt.Printf("(%.2f, %.2f)\n", p.X, p.Y)
	// Output: (50.00, 40.00)
}

// Two letters on top of a circle, each turned to it but not bent.
func ExampleAlongCurve() {
	letter := func(x float64) outline.Path {
		return outline.Path{outline.Rectangle(outline.Box{Min: outline.Pt(x, 0), Max: outline.Pt(x+8, 12)})}
	}
	top := outline.Arc(outline.Pt(0, 0), 50, units.Turn/2, -units.Turn/2)
	middle := top.Length(0) / 2
	set, err := outline.AlongCurve([]outline.Path{letter(-24), letter(16)}, top, outline.AlongOptions{Start: middle})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range set {
		c := p.Bounds().Centre()
		fmt.Printf("(%.1f, %.1f) ", c.X, c.Y)
	}
	fmt.Println()
	// Output: (-21.8, 51.6) (21.8, 51.6)
}

func ExamplePath_Tree() {
	target := outline.Path{
		outline.Circle(outline.Pt(0, 0), 10),
		outline.Circle(outline.Pt(0, 0), 30),
		outline.Circle(outline.Pt(0, 0), 20),
	}
	for i, n := range target.Tree() {
		fmt.Printf("contour %d: depth %d, inside %d\n", i, n.Depth, n.Parent)
	}
	// Output:
	// contour 0: depth 2, inside 2
	// contour 1: depth 0, inside -1
	// contour 2: depth 1, inside 1
}

func ExamplePath_Nearest() {
	p := outline.Path{outline.Circle(outline.Pt(0, 0), 10), outline.Circle(outline.Pt(50, 0), 10)}
	n := p.Nearest(outline.Pt(30, 0))
	fmt.Printf("contour %d, %.2f mm away at (%.1f, %.1f)\n", n.Contour, float64(n.Distance), n.Point.X, math.Abs(n.Point.Y))
	// Output: contour 1, 10.00 mm away at (40.0, 0.0)
}

func ExampleRuler() {
	r := outline.NewRuler(outline.Arc(outline.Pt(0, 0), 100, 0, units.Turn/4))
	p, d := r.PointAt(r.Length()/2), r.TangentAt(r.Length()/2)
	fmt.Printf("%.2f mm long, middle (%.2f, %.2f), going (%.3f, %.3f)\n", float64(r.Length()), p.X, p.Y, d.X, d.Y)
	// Output: 157.08 mm long, middle (70.71, 70.71), going (-0.707, 0.707)
}

func ExampleCurve_SplitAt() {
	line := outline.Polyline(outline.Pt(0, 0), outline.Pt(30, 0), outline.Pt(30, 40))
	first, second := line.SplitAt(50)
	fmt.Println(first.Length(0), second.Length(0), second.Start)
	// Output: 50 mm 20 mm {30 20}
}

func ExamplePath_Centroid() {
	c, ok := outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(9, 0), outline.Pt(0, 6))}.Centroid()
	fmt.Println(c, ok)
	// Output: {3 2} true
}

func ExampleStar() {
	star := outline.Star(outline.Pt(0, 0), 10, 4, 5, units.Turn/4)
	fmt.Printf("%d nodes, %.1f mm2\n", len(star.Segments), float64(star.Area()))
	// Output: 10 nodes, 117.6 mm2
}
