package svg_test

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/srwiley/oksvg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"golang.org/x/image/math/fixed"
)

// collector gathers what github.com/srwiley/oksvg, a general SVG reader, makes
// of path data. It works in 26.6 fixed point.
type collector struct{ curves []outline.Curve }

func point(p fixed.Point26_6) outline.Point {
	return outline.Pt(float64(p.X)/64, float64(p.Y)/64)
}

func (c *collector) add(s outline.Segment) {
	last := &c.curves[len(c.curves)-1]
	last.Segments = append(last.Segments, s)
}
func (c *collector) Start(a fixed.Point26_6) {
	c.curves = append(c.curves, outline.Curve{Start: point(a)})
}
func (c *collector) Line(b fixed.Point26_6) { c.add(outline.LineTo(point(b))) }
func (c *collector) QuadBezier(b, d fixed.Point26_6) {
	c.add(outline.QuadTo(point(b), point(d)))
}
func (c *collector) CubeBezier(b, d, e fixed.Point26_6) {
	c.add(outline.CubicTo(point(b), point(d), point(e)))
}
func (c *collector) Stop(bool) {}

// Both readers see the same runs, ends, boxes and areas, to the other's
// rounding.
func TestPathDataAgainstAnotherReader(t *testing.T) {
	data := []string{
		"M100 100L300 100L200 300Z", // W3C SVG 2, 9.3.4 and following
		"M100,200 C100,100 250,100 250,200 S400,300 400,200 Z",
		"M200,300 Q400,50 600,300 T1000,300 Z",
		"M300,200 h-150 a150,150 0 1,0 150,-150 z",
		"m10 10h80v80h-80zm200 0l50-50 50 50z",
		"M10-20L.5.5 30.25-7e1 1e2,5Z",
		"M60 60 a25,60 -30 0,1 50,-25 l50,-25 z",
	}
	files, err := filepath.Glob("../../layout/order/demo/*.svg")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	attribute := regexp.MustCompile(`\sd="([^"]+)"`)
	for _, name := range files {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, m := range attribute.FindAllSubmatch(text, -1) {
			data = append(data, string(m[1]))
		}
	}
	require.Greater(t, len(data), 50)
	const rounding = 0.05 // mm: some 26.6 steps of 1/64, which add up in relative data
	for _, d := range data {
		ours, err := svg.ParsePathData(d)
		require.NoError(t, err, d)
		var cursor oksvg.PathCursor
		require.NoError(t, cursor.CompilePath(d), d)
		var theirs collector
		cursor.Path.AddTo(&theirs)
		require.Len(t, ours, len(theirs.curves), d)
		for i := range ours {
			a, b := ours[i].Curve, theirs.curves[i]
			slack := rounding * (1 + float64(len(a.Segments))/20)
			assert.LessOrEqual(t, a.Start.Distance(b.Start), slack, d)
			assert.LessOrEqual(t, a.Bounds().Min.Distance(b.Bounds().Min), 2*slack, d)
			assert.LessOrEqual(t, a.Bounds().Max.Distance(b.Bounds().Max), 2*slack, d)
			if !ours[i].Closed {
				assert.LessOrEqual(t, a.End().Distance(b.End()), slack, d)
				continue
			}
			length := float64(a.Closed().Length(0))
			assert.InDelta(t, float64(a.Closed().Area()), float64(b.Closed().Area()), math.Max(slack*length, 0.001*math.Abs(float64(a.Closed().Area()))), d)
		}
	}
}
