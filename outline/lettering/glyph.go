package lettering

import (
	"fmt"
	"math"
	"slices"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// glyph is a font's drawing of one glyph in font units, y up, outer contours
// counter-clockwise. It is shared and never changed.
type glyph struct {
	path    outline.Path
	nodes   int
	box     outline.Box
	picture bool // no outline, but an image or a drawing in another format
	err     error
}

// glyphTolerance bounds, in ems, how far a weld inside a glyph may move its
// border: 0.004 mm on letters two inches high.
const glyphTolerance = 1.0 / 20_000

// outline returns the drawing of a glyph, which is empty for white space and
// for a glyph that the font does not have. face is the caller's own.
func (f *Font) outline(face *font.Face, id font.GID) *glyph {
	if int(id) >= len(f.outlines) {
		return &glyph{box: outline.EmptyBox()}
	}
	if g := f.outlines[id].Load(); g != nil {
		return g
	}
	g := &glyph{box: outline.EmptyBox()}
	if drawn, ok := face.GlyphDataOutline(id); ok {
		g.path, g.err = f.weld(contours(drawn.Segments))
		g.nodes, g.box = g.path.Nodes(), g.path.Bounds()
	}
	if g.nodes == 0 {
		switch face.GlyphData(id).(type) {
		case font.GlyphBitmap, font.GlyphSVG, font.GlyphColor:
			g.picture = true
		}
	}
	if f.cached.Add(1) > maxCachedOutlines {
		f.cached.Add(-1)
		return g
	}
	f.outlines[id].Store(g)
	return g
}

// weld joins contours that overlap inside one glyph, as those of variable fonts
// and of composed letters do. A glyph without overlaps stays as the font drew
// it, bit for bit.
func (f *Font) weld(p outline.Path) (outline.Path, error) {
	if len(p) == 0 {
		return nil, nil
	}
	if n := p.Nodes(); n > maxGlyphNodes {
		return nil, &FontError{f.name, f.index, ErrTooLarge, fmt.Sprintf("a glyph of %d segments", n), "use another font"}
	}
	if b := p.Bounds(); !b.Min.IsFinite() || !b.Max.IsFinite() {
		return nil, &FontError{f.name, f.index, ErrBadFont, "a glyph that is not finite", "use another font"}
	}
	tolerance := glyphTolerance * f.upem
	welded, err := outline.Weld([]outline.Path{p}, outline.BooleanOptions{Tolerance: units.Length(tolerance)})
	if err != nil {
		return nil, &FontError{f.name, f.index, err, "welding a glyph", "use another font"}
	}
	// Overlaps are counted twice in the signed area, crossings the wrong way
	// round, and contours that only share an edge become one.
	slack := tolerance * perimeter(p)
	if len(welded) == len(p) && math.Abs(float64(welded.Area()-p.Area())) <= slack {
		return p, nil
	}
	return welded, nil
}

// perimeter returns the length of the contours' control polygons, at least
// that of the contours.
func perimeter(p outline.Path) float64 {
	sum := 0.0
	for _, c := range p {
		at := c.Start
		for _, s := range c.Segments {
			switch s.Kind {
			case outline.Quad:
				sum += at.Distance(s.C1) + s.C1.Distance(s.End)
			case outline.Cubic:
				sum += at.Distance(s.C1) + s.C1.Distance(s.C2) + s.C2.Distance(s.End)
			default:
				sum += at.Distance(s.End)
			}
			at = s.End
		}
	}
	return sum
}

// contours turns the drawing orders of a font into closed contours. TrueType
// runs its outer contours clockwise and CFF the other way: the sign of the
// whole area tells which, and clockwise glyphs are run backwards.
func contours(orders []opentype.Segment) outline.Path {
	var (
		path outline.Path
		open outline.Curve
		area float64
	)
	finish := func() {
		if len(open.Segments) > 0 {
			c := open.Closed()
			// A contour without area is a construction mark; nothing to cut.
			if a := float64(c.Area()); a != 0 {
				area += a
				path = append(path, c)
			}
		}
		open = outline.Curve{}
	}
	for _, o := range orders {
		a, b, c := point(o.Args[0]), point(o.Args[1]), point(o.Args[2])
		switch o.Op {
		case opentype.SegmentOpMoveTo:
			finish()
			open.Start = a
		case opentype.SegmentOpLineTo:
			if a != open.End() { // a repeated point is exact in a font file
				open.Segments = append(open.Segments, outline.LineTo(a))
			}
		case opentype.SegmentOpQuadTo:
			open.Segments = append(open.Segments, outline.QuadTo(a, b))
		case opentype.SegmentOpCubeTo:
			open.Segments = append(open.Segments, outline.CubicTo(a, b, c))
		}
	}
	finish()
	if area < 0 {
		for i := range path {
			path[i] = path[i].Reversed()
		}
	}
	return slices.Clip(path)
}

func point(p opentype.SegmentPoint) outline.Point {
	return outline.Pt(float64(p.X), float64(p.Y))
}
