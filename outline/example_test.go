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
	fmt.Println(err)
	// Output:
	// outline: bend, at (53.125, 0.000) mm, bent to (53.125, 10.625) mm: the bend turns part of the shape inside out; run both boundary curves from left to right, keep them from crossing, and keep bends wider than the letters are high; or set AllowFolds
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

// Words on top of a circle, bent to it, as on a round badge.
func ExampleCircularBaseline() {
	word := outline.Path{outline.Rectangle(outline.Box{Max: outline.Pt(60, 10)})}
	b := word.Bounds()
	top := units.Turn / 4
	circle, err := outline.CircularBaseline(outline.Pt(0, 0), 40, top, units.Length(b.Width()), units.Length(b.Height()), outline.ReadClockwise)
	if err != nil {
		fmt.Println(err)
		return
	}
	bent, err := outline.Bend(word, b, circle, outline.BendOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("feet on the circle, heads at %.1f mm\n", bent.Bounds().Max.Y)
	// Output: feet on the circle, heads at 50.0 mm
}

// A flag that waves: both sides are the same sine.
func ExampleBetweenSines() {
	flag := outline.Path{outline.Rectangle(outline.Box{Max: outline.Pt(90, 40)})}
	wave := outline.Sine{Amplitude: 6, Periods: 1.5}
	warp, err := outline.BetweenSines(flag.Bounds(), wave, wave)
	if err != nil {
		fmt.Println(err)
		return
	}
	waving, err := outline.Bend(flag, flag.Bounds(), warp, outline.BendOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm high\n", waving.Bounds().Height())
	// Output: 52.0 mm high
}

// Transforms are applied in the order in which they are read.
func ExampleTransform_Then() {
	t := outline.Translate(outline.Pt(10, 0)).Then(outline.Rotate(units.Turn / 4)).Then(outline.MirrorX())
	fmt.Println(t.Apply(outline.Pt(5, 0)), t.Determinant() < 0)
	// Output: {0 15} true
}

// A traced circle of many short lines becomes a few curves.
func ExampleSimplify() {
	traced := outline.Path{outline.RegularPolygon(outline.Pt(0, 0), 20, 360, 0)}
	smooth, err := outline.Simplify(traced, 0.01)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(traced.Nodes(), "nodes, then fewer than ten:", smooth.Nodes() < 10)
	fmt.Printf("radius %.2f mm\n", smooth.Bounds().Width()/2)
	// Output:
	// 360 nodes, then fewer than ten: true
	// radius 20.00 mm
}

func ExampleDropSpecks() {
	p := outline.Path{outline.Circle(outline.Pt(0, 0), 10), outline.Circle(outline.Pt(15, 0), 0.2)}
	kept, dropped := outline.DropSpecks(p, 1*units.SquareMillimetre)
	fmt.Println(len(kept), "kept,", dropped, "dropped")
	// Output: 1 kept, 1 dropped
}

// Digitised points become a curve through them.
func ExampleFit() {
	var points []outline.Point
	for i := range 50 {
		x := float64(i)
		points = append(points, outline.Pt(x, 5*math.Sin(x/8)))
	}
	c, err := outline.Fit(points, 0.05)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(c.Start == points[0], c.End() == points[49], len(c.Segments) < 10)
	// Output: true true true
}

// Shapes go to and come from other Go programs as orb polygons.
func ExamplePath_MultiPolygon() {
	washer := outline.Ring(outline.Pt(0, 0), 20, 8)
	polygons := washer.MultiPolygon(0.1)
	fmt.Println(len(polygons), "polygon with", len(polygons[0])-1, "hole")
	back := outline.FromMultiPolygon(polygons)
	fmt.Println(back.CheckWelded(0), back[0].Area() > 0, back[1].Area() < 0)
	// Output:
	// 1 polygon with 1 hole
	// <nil> true true
}

// Letters know where they came from, also after a weld.
func ExamplePath_ByOrigin() {
	letter := func(x float64, origin int32) outline.Path {
		return outline.Path{outline.Rectangle(outline.Box{Min: outline.Pt(x, 0), Max: outline.Pt(x+5, 10)})}.WithOrigin(origin)
	}
	word, err := outline.Weld([]outline.Path{letter(0, 1), letter(7, 2), letter(14, 3)}, outline.BooleanOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range word.ByOrigin() {
		fmt.Println("letter", l[0].Segments[0].Origin, "starts at", l.Bounds().Min.X)
	}
	// Output:
	// letter 1 starts at 0
	// letter 2 starts at 7
	// letter 3 starts at 14
}

// Where a shape is not fit to be cut, the error says where and what to do.
func ExamplePath_CheckWelded() {
	bow := outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(10, 10), outline.Pt(10, 0), outline.Pt(0, 10))}
	fmt.Println(bow.CheckWelded(0))
	// Output:
	// outline: check: contour 0, node 0, at (5.000, 5.000) mm: the contour crosses itself or another; weld the shape first
}

// The knife enters where it shows least: the contour begins somewhere else.
func ExampleContour_StartAt() {
	square := outline.Rectangle(outline.Box{Max: outline.Pt(20, 20)})
	fmt.Println(square.Start, square.StartAt(30).Start)
	// Output: {0 0} {20 10}
}

// A curve goes to a machine that draws straight lines only: chords that stay within
// a hundredth of a millimetre.
func ExampleCurve_Flatten() {
	arc := outline.Arc(outline.Pt(0, 0), 50, 0, units.Turn/4)
	points := arc.Flatten(nil, 0.01)
	sagitta := 50 - points[0].Lerp(points[1], 0.5).Norm()
	fmt.Println(len(points), "points, within 0.01 mm:", sagitta <= 0.01+float64(outline.ArcTolerance))
	// Output: 41 points, within 0.01 mm: true
}

// A segment doesn't know where it starts: that is where the one before it ends.
func ExampleSegment_Split() {
	start := outline.Pt(0, 0)
	arch := outline.QuadTo(outline.Pt(10, 20), outline.Pt(20, 0))
	first, second := arch.Split(start, 0.5)
	fmt.Println(first.End, second.End, arch.Direction(start, 0.5))
	// Output: {10 10} {20 0} {1 0}
}
