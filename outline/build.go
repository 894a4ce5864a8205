package outline

import (
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// ArcTolerance bounds how far a circular or elliptic arc made of cubics here
// may lie from the true one: a tenth of [DefaultTolerance].
const ArcTolerance = DefaultTolerance / 10

// Rectangle returns the border of b, counter-clockwise from its lower left
// corner. An empty box gives the zero Contour.
func Rectangle(b Box) Contour {
	if b.IsEmpty() {
		return Contour{}
	}
	return Polygon(b.Min, Point{b.Max.X, b.Min.Y}, b.Max, Point{b.Min.X, b.Max.Y})
}

// RoundedRectangle returns the border of b with corners rounded to radius,
// counter-clockwise. As in SVG 2 (the rect element), a radius of more than half
// a side is cut down to half that side; here to half the shorter one, so that
// corners stay circular. A radius of zero or less gives the plain rectangle.
func RoundedRectangle(b Box, radius units.Length) Contour {
	r := math.Min(float64(radius), math.Min(b.Width(), b.Height())/2)
	if !(r > 0) {
		return Rectangle(b)
	}
	c := Curve{Start: Point{b.Min.X + r, b.Min.Y}}
	corner := func(centre Point, from float64) {
		start := Point{centre.X + r*cosQuarter(from), centre.Y + r*sinQuarter(from)}
		if start.Distance(c.End()) > float64(ArcTolerance) { // less is rounding, or no side at all
			c.Segments = append(c.Segments, LineTo(start))
		}
		c.Segments = appendArc(c.Segments, centre, r, r, from*math.Pi/2, math.Pi/2)
		// Meet the sides without a rounding error.
		c.Segments[len(c.Segments)-1].End = Point{centre.X + r*cosQuarter(from+1), centre.Y + r*sinQuarter(from+1)}
	}
	corner(Point{b.Max.X - r, b.Min.Y + r}, 3)
	corner(Point{b.Max.X - r, b.Max.Y - r}, 0)
	corner(Point{b.Min.X + r, b.Max.Y - r}, 1)
	corner(Point{b.Min.X + r, b.Min.Y + r}, 2)
	if n := len(c.Segments) - 1; c.Segments[n].End.Distance(c.Start) < float64(ArcTolerance) {
		c.Segments[n].End = c.Start
	}
	return c.Closed()
}

// cosQuarter and sinQuarter are exact at whole quarter turns.
func cosQuarter(quarters float64) float64 { return sinQuarter(quarters + 1) }

func sinQuarter(quarters float64) float64 {
	return [4]float64{0, 1, 0, -1}[int(quarters)&3]
}

// Circle returns the circle about centre, counter-clockwise from its rightmost
// point, within [ArcTolerance]. It has at least four nodes, at its extremes. A
// radius of zero gives a contour that encloses nothing; its sign does not matter.
func Circle(centre Point, radius units.Length) Contour { return Ellipse(centre, radius, radius) }

// Ellipse returns the ellipse with radius rx along x and ry along y,
// counter-clockwise from its rightmost point, within [ArcTolerance]; see [Circle].
func Ellipse(centre Point, rx, ry units.Length) Contour {
	x, y := math.Abs(float64(rx)), math.Abs(float64(ry))
	c := Contour{Start: Point{centre.X + x, centre.Y}}
	if x == 0 || y == 0 {
		return c
	}
	for q := range 4 {
		c.Segments = appendArc(c.Segments, centre, x, y, float64(q)*math.Pi/2, math.Pi/2)
		next := float64(q + 1)
		c.Segments[len(c.Segments)-1].End = Point{centre.X + x*cosQuarter(next), centre.Y + y*sinQuarter(next)}
	}
	return c
}

// Ring returns the area between two circles about centre: the outer one
// counter-clockwise, the inner one clockwise. The order of the radii does not
// matter; an inner radius of zero gives the whole disc.
func Ring(centre Point, outer, inner units.Length) Path {
	outer, inner = max(outer.Abs(), inner.Abs()), min(outer.Abs(), inner.Abs())
	p := Path{Circle(centre, outer)}
	if inner != 0 {
		p = append(p, Circle(centre, inner).Reversed())
	}
	return p
}

// maxTurns is how often an [Arc] may run over itself.
const maxTurns = 100

// Arc returns the circular arc about centre that starts in direction from and
// turns by sweep, counter-clockwise where sweep is positive, within
// [ArcTolerance]. A sweep of more than a turn runs over itself; more than a
// hundred turns are cut down to what is left beyond whole ones. A negative radius
// starts on the other side; one of zero stays at the centre.
func Arc(centre Point, radius units.Length, from, sweep units.Angle) Curve {
	if math.Abs(float64(sweep)) > float64(maxTurns*units.Turn) {
		sweep = units.Angle(math.Mod(float64(sweep), float64(units.Turn)))
	}
	r := float64(radius)
	sin, cos := math.Sincos(from.Radians())
	c := Curve{Start: Point{centre.X + r*cos, centre.Y + r*sin}}
	c.Segments = appendArc(nil, centre, r, r, from.Radians(), sweep.Radians())
	return c
}

// maxArcPieces bounds the cubics of one arc: enough for [maxTurns] turns up to a
// radius of 10¹³ mm.
const maxArcPieces = 1 << 16

// arcPieces returns into how many equal cubics an arc is to be cut. A cubic with
// handles of 4/3 tan(θ/4) radii deviates from its circle by
// 2/27 sin⁶(θ/4)/cos²(θ/4) radii (Dokken, Dæhlen, Lyche and Mørken, "Good
// approximation of circles by curvature-continuous Bézier curves", 1990).
func arcPieces(radius, sweep float64) int {
	sweep = math.Abs(sweep)
	if math.IsNaN(sweep + radius) {
		return 1
	}
	n := int(math.Min(maxArcPieces, math.Max(1, math.Ceil(sweep/(math.Pi/2)-quarterTurnSlack))))
	for ; n < maxArcPieces; n++ {
		sin, cos := math.Sincos(sweep / float64(n) / 4)
		if s := sin * sin * sin; 2.0/27*s*s/(cos*cos)*radius <= float64(ArcTolerance) {
			break
		}
	}
	return n
}

// appendArc appends an elliptic arc from angle from, in radians of the
// parameter.
func appendArc(segments []Segment, centre Point, rx, ry, from, sweep float64) []Segment {
	if sweep == 0 {
		return segments
	}
	n := arcPieces(math.Max(math.Abs(rx), math.Abs(ry)), sweep)
	step := sweep / float64(n)
	handle := 4.0 / 3 * math.Tan(step/4)
	sin0, cos0 := math.Sincos(from)
	for i := 1; i <= n; i++ {
		sin1, cos1 := math.Sincos(from + step*float64(i))
		segments = append(segments, CubicTo(
			Point{centre.X + rx*(cos0-handle*sin0), centre.Y + ry*(sin0+handle*cos0)},
			Point{centre.X + rx*(cos1+handle*sin1), centre.Y + ry*(sin1-handle*cos1)},
			Point{centre.X + rx*cos1, centre.Y + ry*sin1},
		))
		sin0, cos0 = sin1, cos1
	}
	return segments
}

// maxSides bounds the sides of a [RegularPolygon] and the tips of a [Star]: with
// as many, a circle of 1 km radius is within 0.002 mm.
const maxSides = 1 << 16

// RegularPolygon returns the polygon with sides equal sides whose corners lie
// on the circle of the given radius, the first of them in direction first, the
// rest counter-clockwise. Fewer than three sides give a contour that encloses
// nothing, more than 65,536 give that many.
func RegularPolygon(centre Point, radius units.Length, sides int, first units.Angle) Contour {
	sides = min(sides, maxSides)
	if sides < 3 {
		return Contour{Start: centre}
	}
	points := make([]Point, sides)
	for i := range points {
		points[i] = polar(centre, float64(radius), first.Radians()+2*math.Pi*float64(i)/float64(sides))
	}
	return Polygon(points...)
}

// Star returns the star with the given number of tips on the outer circle and
// as many notches on the inner one, the first tip in direction first, the rest
// counter-clockwise. Fewer than two tips give a contour that encloses nothing,
// more than 65,536 give that many.
func Star(centre Point, outer, inner units.Length, tips int, first units.Angle) Contour {
	tips = min(tips, maxSides)
	if tips < 2 {
		return Contour{Start: centre}
	}
	points := make([]Point, 2*tips)
	for i := range points {
		r := outer
		if i%2 == 1 {
			r = inner
		}
		points[i] = polar(centre, float64(r), first.Radians()+math.Pi*float64(i)/float64(tips))
	}
	return Polygon(points...)
}

func polar(centre Point, radius, angle float64) Point {
	sin, cos := math.Sincos(angle)
	return Point{centre.X + radius*cos, centre.Y + radius*sin}
}
