package svg

import (
	"math"
	"strconv"

	"github.com/vinylgeom/vinyl/outline"
)

// Subpath is one run of path data, from one moveto to the next. Closed tells a
// run that ends in closepath (its last segment then ends at Start, bit for
// bit) from one that merely ends where it starts: a stroke joins the ends of
// the one and caps the other's.
type Subpath struct {
	outline.Curve
	Closed bool
}

// ParsePathData reads the value of a path's d attribute by the whole grammar
// of SVG 2, chapter 9.3. Coordinates are taken as they stand, so y runs the
// way the data means it (down, in a drawing). Arcs become cubics within
// [outline.DefaultTolerance] of them.
//
// A fault is a [*ReadError] with the byte where it lies. Unlike a browser,
// which shows the path up to the fault, nothing is returned beside an error.
func ParsePathData(d string) ([]Subpath, error) {
	p := pathParser{scanner: scanner{text: d}, tolerance: float64(outline.DefaultTolerance), budget: MaxNodes}
	if err := p.parse(); err != nil {
		return nil, attributeError("d", d, err)
	}
	return p.subpaths, nil
}

// pathParser carries the state of SVG 2, 9.3: the current point, the start of
// the subpath, and the control point that a smooth command reflects.
type pathParser struct {
	scanner
	tolerance float64
	budget    int // segments that may still be made

	subpaths []Subpath
	open     bool // whether the last of subpaths is still being drawn
	start    outline.Point
	at       outline.Point
	control  outline.Point
	last     byte // the command before, upper case
}

func (p *pathParser) parse() error {
	p.spaces()
	for !p.done() {
		c := p.peek()
		upper := c &^ 0x20
		switch upper {
		case 'M', 'L', 'H', 'V', 'C', 'S', 'Q', 'T', 'A', 'Z':
		default:
			return p.fail("one of the commands M L H V C S Q T A Z")
		}
		if p.last == 0 && upper != 'M' {
			return p.fail("M or m first")
		}
		p.scanner.at++
		p.spaces()
		relative := c != upper
		if upper == 'Z' {
			if err := p.close(); err != nil {
				return err
			}
			p.last = 'Z'
			p.spaces()
			continue
		}
		for first := true; ; first = false {
			if err := p.command(upper, relative); err != nil {
				return err
			}
			p.last = upper
			if upper == 'M' && first {
				// Further pairs after a moveto are linetos.
				upper = 'L'
			}
			before := p.scanner.at
			comma := p.separator()
			if !startsNumber(p.peek()) {
				if comma {
					p.scanner.at = before
					return p.fail("a number after the comma, or a command")
				}
				break
			}
		}
	}
	return nil
}

// command reads one set of a command's arguments and draws it.
func (p *pathParser) command(c byte, relative bool) error {
	origin := outline.Point{}
	if relative {
		origin = p.at
	}
	var pts [3]outline.Point
	switch c {
	case 'M':
		if err := p.points(pts[:1], origin); err != nil {
			return err
		}
		p.open = false
		p.start, p.at = pts[0], pts[0]
	case 'L':
		if err := p.points(pts[:1], origin); err != nil {
			return err
		}
		return p.draw(outline.LineTo(pts[0]))
	case 'H', 'V':
		v, err := p.number()
		if err != nil {
			return err
		}
		end := p.at
		if c == 'H' {
			end.X = origin.X + v
		} else {
			end.Y = origin.Y + v
		}
		return p.draw(outline.LineTo(end))
	case 'C':
		if err := p.points(pts[:3], origin); err != nil {
			return err
		}
		p.control = pts[1]
		return p.draw(outline.CubicTo(pts[0], pts[1], pts[2]))
	case 'S':
		if err := p.points(pts[:2], origin); err != nil {
			return err
		}
		c1 := p.at
		if p.last == 'C' || p.last == 'S' {
			c1 = p.at.Mul(2).Sub(p.control)
		}
		p.control = pts[0]
		return p.draw(outline.CubicTo(c1, pts[0], pts[1]))
	case 'Q':
		if err := p.points(pts[:2], origin); err != nil {
			return err
		}
		p.control = pts[0]
		return p.draw(outline.QuadTo(pts[0], pts[1]))
	case 'T':
		if err := p.points(pts[:1], origin); err != nil {
			return err
		}
		c1 := p.at
		if p.last == 'Q' || p.last == 'T' {
			c1 = p.at.Mul(2).Sub(p.control)
		}
		p.control = c1
		return p.draw(outline.QuadTo(c1, pts[0]))
	case 'A':
		return p.arc(origin)
	}
	return nil
}

// points reads coordinate pairs, each relative to origin.
func (p *pathParser) points(pts []outline.Point, origin outline.Point) error {
	for i := range pts {
		if i > 0 {
			p.separator()
		}
		x, err := p.number()
		if err != nil {
			return err
		}
		p.separator()
		y, err := p.number()
		if err != nil {
			return err
		}
		pts[i] = outline.Pt(origin.X+x, origin.Y+y)
	}
	return nil
}

func (p *pathParser) arc(origin outline.Point) error {
	var v [3]float64
	for i := range v {
		n, err := p.number()
		if err != nil {
			return err
		}
		v[i] = n
		p.separator()
	}
	large, err := p.flag()
	if err != nil {
		return err
	}
	p.separator()
	sweep, err := p.flag()
	if err != nil {
		return err
	}
	p.separator()
	var end [1]outline.Point
	if err := p.points(end[:], origin); err != nil {
		return err
	}
	var buffer [4]outline.Segment
	for _, s := range arcTo(buffer[:0], p.at, v[0], v[1], v[2], large, sweep, end[0], p.tolerance) {
		if err := p.draw(s); err != nil {
			return err
		}
	}
	return nil
}

// draw adds one segment to the subpath, beginning one if none is open.
func (p *pathParser) draw(s outline.Segment) error {
	if !(math.Abs(s.End.X) <= maxRelative && math.Abs(s.End.Y) <= maxRelative) {
		return &syntaxError{offset: p.scanner.at, want: "relative commands that stay within 1e9", cause: ErrTooFar}
	}
	if err := p.spend(); err != nil {
		return err
	}
	if !p.open {
		p.subpaths = append(p.subpaths, Subpath{Curve: outline.Curve{Start: p.at}})
		p.start, p.open = p.at, true
	}
	c := &p.subpaths[len(p.subpaths)-1]
	c.Segments = append(c.Segments, s)
	p.at = s.End
	return nil
}

// maxRelative bounds where a chain of relative commands may lead.
const maxRelative = 1e9

// close ends the subpath at its start. Drawing may go on from there, in a new
// subpath.
func (p *pathParser) close() error {
	switch {
	case p.open:
		c := &p.subpaths[len(p.subpaths)-1]
		if c.End() != c.Start {
			c.Segments = append(c.Segments, outline.LineTo(c.Start))
		}
		c.Closed = true
	case p.last == 'M':
		// A point: nothing to fill, a dot if stroked with round caps.
		if err := p.spend(); err != nil {
			return err
		}
		p.subpaths = append(p.subpaths, Subpath{Curve: outline.Curve{Start: p.at}, Closed: true})
	}
	p.open = false
	p.at = p.start
	return nil
}

// spend takes one node from the budget.
func (p *pathParser) spend() error {
	if p.budget--; p.budget < 0 {
		return &syntaxError{offset: p.scanner.at, want: "fewer nodes", cause: ErrTooLarge}
	}
	return nil
}

// PathData returns p as the value of a d attribute: absolute commands, one
// closed subpath for every contour, numbers that read back to the same
// float64. The y axis is left as it is; [Write] turns it. p must be finite, as
// [outline.Path.Check] tells; the empty path gives "".
func PathData(p outline.Path) string {
	var b []byte
	for _, c := range p {
		b = appendContour(b, c, exact)
	}
	return string(b)
}

// ParsePath reads what [PathData] writes, and any other value of a d
// attribute, as contours: runs that are left open are closed by a straight
// segment. The y axis is left as it is. Segments have no Origin. The error is a
// [*ReadError], as by [ParsePathData].
func ParsePath(d string) (outline.Path, error) {
	subpaths, err := ParsePathData(d)
	if err != nil {
		return nil, err
	}
	var p outline.Path
	for _, s := range subpaths {
		p = append(p, s.Curve.Closed())
	}
	return p, nil
}

// CurveData returns c as the value of a d attribute, left open; see [PathData].
func CurveData(c outline.Curve) string { return string(appendCurve(nil, c, exact)) }

// exact is the number of decimals that means: as many as it takes.
const exact = -1

func appendContour(b []byte, c outline.Contour, decimals int) []byte {
	curve := c.Curve()
	// closepath draws a straight closing segment itself.
	if n := len(curve.Segments); n > 1 && curve.Segments[n-1].Kind == outline.Line && curve.End() == curve.Start {
		curve.Segments = curve.Segments[:n-1]
	}
	b = appendCurve(b, curve, decimals)
	return append(b, 'Z')
}

func appendCurve(b []byte, c outline.Curve, decimals int) []byte {
	b = appendPoint(append(b, 'M'), c.Start, decimals)
	for _, s := range c.Segments {
		switch s.Kind {
		case outline.Quad:
			b = appendPoint(append(b, 'Q'), s.C1, decimals)
			b = append(b, ' ')
		case outline.Cubic:
			b = appendPoint(append(b, 'C'), s.C1, decimals)
			b = appendPoint(append(b, ' '), s.C2, decimals)
			b = append(b, ' ')
		default:
			b = append(b, 'L')
		}
		b = appendPoint(b, s.End, decimals)
	}
	return b
}

func appendPoint(b []byte, p outline.Point, decimals int) []byte {
	b = appendNumber(b, p.X, decimals)
	return appendNumber(append(b, ','), p.Y, decimals)
}

// appendNumber writes v without exponent, rounded to decimals (exact: the
// shortest text that reads back as v) and without trailing zeros.
func appendNumber(b []byte, v float64, decimals int) []byte {
	if v == 0 {
		return append(b, '0') // also -0
	}
	n := len(b)
	b = strconv.AppendFloat(b, v, 'f', decimals, 64)
	if decimals > 0 {
		for b[len(b)-1] == '0' {
			b = b[:len(b)-1]
		}
		if b[len(b)-1] == '.' {
			b = b[:len(b)-1]
		}
		if string(b[n:]) == "-0" {
			b = append(b[:n], '0')
		}
	}
	return b
}
