package outline

import (
	"fmt"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/units"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// textLine sets text in Go Bold with the given em in millimetres, without
// kerning, each glyph a path of its own; tracking is added to every advance.
func textLine(t testing.TB, text string, em, tracking float64) []Path {
	f, err := sfnt.Parse(gobold.TTF)
	require.NoError(t, err)
	var buf sfnt.Buffer
	upem := float64(f.UnitsPerEm())
	ppem := fixed.I(int(f.UnitsPerEm()))
	k := em / upem / 64
	var paths []Path
	x := 0.0
	for i, r := range text {
		g, err := f.GlyphIndex(&buf, r)
		require.NoError(t, err)
		segments, err := f.LoadGlyph(&buf, g, ppem, nil)
		require.NoError(t, err)
		pt := func(p fixed.Point26_6) Point { return Pt(x+float64(p.X)*k, -float64(p.Y)*k) }
		var p Path
		var c Curve
		flush := func() {
			if len(c.Segments) > 0 {
				p = append(p, c.Closed())
			}
		}
		for _, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				flush()
				c = Curve{Start: pt(s.Args[0])}
			case sfnt.SegmentOpLineTo:
				c.Segments = append(c.Segments, LineTo(pt(s.Args[0])))
			case sfnt.SegmentOpQuadTo:
				c.Segments = append(c.Segments, QuadTo(pt(s.Args[0]), pt(s.Args[1])))
			case sfnt.SegmentOpCubeTo:
				c.Segments = append(c.Segments, CubicTo(pt(s.Args[0]), pt(s.Args[1]), pt(s.Args[2])))
			}
		}
		flush()
		if len(p) > 0 {
			paths = append(paths, p.WithOrigin(int32(i+1)))
		}
		advance, err := f.GlyphAdvance(&buf, g, ppem, font.HintingNone)
		require.NoError(t, err)
		x += float64(advance)*k + tracking
	}
	return paths
}

// textPage is a page of lines, each a path, that overlap: the descenders of each
// reach into the ascenders of the next.
func textPage(t testing.TB, lines int) []Path {
	const text = "Marlow Creek Science Fair 25"
	var page []Path
	for i := range lines {
		shift := Translate(Pt(float64(i%7)*3, float64(-i)*17))
		var line Path
		for _, glyph := range textLine(t, text, 25, 0.2) {
			line = append(line, glyph.Transform(shift)...)
		}
		page = append(page, line)
	}
	return page
}

// weldTolerance makes the page of 100 lines some 117,000 vertices when flattened.
const weldTolerance units.Length = 0.028

// BenchmarkWeld welds a page of text, and for comparison unites the same
// polygons, flattened beforehand, by simplefeatures.
func BenchmarkWeld(b *testing.B) {
	for _, lines := range []int{1, 10, 100} {
		page := textPage(b, lines)
		var all Path
		for _, p := range page {
			all = append(all, p...)
		}
		b.Run(fmt.Sprintf("lines=%d", lines), func(b *testing.B) {
			b.ReportAllocs()
			var report BooleanReport
			for b.Loop() {
				_, err := Weld([]Path{all}, BooleanOptions{Tolerance: weldTolerance, Report: &report})
				require.NoError(b, err)
			}
			b.ReportMetric(float64(report.Crossings), "crossings")
			b.ReportMetric(float64(report.NodesIn), "nodes-in")
			b.ReportMetric(float64(report.NodesOut), "nodes-out")
		})
		b.Run(fmt.Sprintf("paths/lines=%d", lines), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, err := Weld(page, BooleanOptions{Tolerance: weldTolerance})
				require.NoError(b, err)
			}
		})
		b.Run(fmt.Sprintf("simplefeatures/lines=%d", lines), func(b *testing.B) {
			var parts []geom.Geometry
			vertices := 0
			for _, p := range page {
				polygons := p.MultiPolygon(weldTolerance * flatShare)
				for _, polygon := range polygons {
					for _, r := range polygon {
						vertices += len(r) - 1
					}
				}
				parts = append(parts, toGeom(polygons))
			}
			b.ReportAllocs()
			for b.Loop() {
				_, err := geom.UnionMany(parts)
				require.NoError(b, err)
			}
			b.ReportMetric(float64(vertices), "vertices")
		})
	}
}
