package lettering

import (
	"slices"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"github.com/vinylgeom/vinyl/outline"
)

// glyph is a font's drawing of one glyph in font units, y up, outer contours
// counter-clockwise. It is shared and never changed.
type glyph struct {
	path    outline.Path
	nodes   int
	box     outline.Box
	picture bool // no outline, but an image or a drawing in another format
}

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
		g.path = contours(drawn.Segments)
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
