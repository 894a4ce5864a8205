package svg_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

// ring is a square with a round hole, welded.
func ring() outline.Path {
	square := outline.Polygon(outline.Pt(10, 20), outline.Pt(50, 20), outline.Pt(50, 60), outline.Pt(10, 60))
	return outline.Path{square, outline.Circle(outline.Pt(30.1, 40.7), 10).Reversed()}
}

func TestWriteReadIsIdentity(t *testing.T) {
	for name, p := range map[string]outline.Path{
		"ring":   ring(),
		"island": append(ring(), outline.Circle(outline.Pt(30.1, 40.7), 5)),
		"quads": {{Start: outline.Pt(1, 1), Segments: []outline.Segment{
			outline.QuadTo(outline.Pt(9, 0.25), outline.Pt(20, 1)), outline.CubicTo(outline.Pt(33, 7), outline.Pt(8, 50), outline.Pt(1, 1)),
		}}},
	} {
		var b strings.Builder
		require.NoError(t, svg.Write(&b, p, svg.WriteOptions{Width: 100, Height: 80}), name)
		d := read(t, b.String())
		assert.Equal(t, 100*units.Millimetre, d.Width)
		assert.Equal(t, 80*units.Millimetre, d.Height)
		assert.Empty(t, d.Warnings)
		require.Len(t, d.Shapes, 1)
		assertSamePath(t, p, d.Shapes[0].Path, 1e-13, name)
		// Once y has been through a subtraction, writing and reading again
		// changes no bit.
		var c strings.Builder
		require.NoError(t, svg.Write(&c, d.Shapes[0].Path, svg.WriteOptions{Width: 100, Height: 80}))
		assertSamePath(t, d.Shapes[0].Path, read(t, c.String()).Shapes[0].Path, 1e-13, name)
	}
}

// assertSamePath checks that paths have the same contours, segment by segment.
func assertSamePath(t *testing.T, want, got outline.Path, within float64, about string) {
	t.Helper()
	require.Equal(t, len(want), len(got), about)
	for i := range want {
		requireNear(t, normal(want[i].Curve()), normal(got[i].Curve()), within, about)
	}
}

func TestWriteIsPlain(t *testing.T) {
	var b strings.Builder
	require.NoError(t, svg.Write(&b, ring()[:1], svg.WriteOptions{Margin: 5, Title: `A & "B" <C>`, Fill: "#1d4ed8"}))
	assert.Equal(t, `<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm" viewBox="0 0 50 50">
<title>A &amp; &quot;B&quot; &lt;C&gt;</title>
<path fill="#1d4ed8" d="M5,45L45,45L45,5L5,5Z"/>
</svg>
`, b.String())
}

func TestWriteLayers(t *testing.T) {
	layers := []svg.Layer{
		{ID: "base", Path: ring(), Fill: "#123456"},
		{ID: "weed", Curves: []outline.Curve{outline.Polyline(outline.Pt(0, 10), outline.Pt(100, 10)), outline.Polyline(outline.Pt(0, 70), outline.Pt(50, 70), outline.Pt(100, 75))}},
	}
	var b strings.Builder
	require.NoError(t, svg.WriteLayers(&b, layers, svg.WriteOptions{Width: 100, Height: 80}))
	d := read(t, b.String())
	require.Len(t, d.Shapes, 2)
	assert.Equal(t, "base", d.Shapes[0].ID)
	assert.Equal(t, "#123456", d.Shapes[0].Fill)
	assert.Equal(t, "weed", d.Shapes[1].ID)
	assert.Equal(t, layers[1].Curves, d.Shapes[1].Curves)
}

func TestWriteDecimals(t *testing.T) {
	p := outline.Path{outline.Polygon(outline.Pt(1.0/3, 0), outline.Pt(2, 0.0001), outline.Pt(2, 2))}
	var b strings.Builder
	require.NoError(t, svg.Write(&b, p, svg.WriteOptions{Width: 3, Height: 2, Decimals: 3}))
	assert.Contains(t, b.String(), `d="M0.333,2L2,2L2,0Z"`)
}

func TestWriteErrors(t *testing.T) {
	var b strings.Builder
	nan := outline.Path{outline.Polygon(outline.Pt(math.NaN(), 0), outline.Pt(1, 0), outline.Pt(1, 1))}
	var fault *outline.PathError
	assert.ErrorAs(t, svg.Write(&b, nan, svg.WriteOptions{}), &fault)
	assert.ErrorIs(t, svg.Write(&b, nil, svg.WriteOptions{}), outline.ErrEmpty)
	assert.ErrorIs(t, svg.WriteLayers(&b, []svg.Layer{{Curves: []outline.Curve{outline.Polyline(outline.Pt(math.Inf(1), 0), outline.Pt(0, 0))}}}, svg.WriteOptions{}), outline.ErrNotFinite)
	for _, opt := range []svg.WriteOptions{
		{Width: -1}, {Height: units.Length(math.NaN())}, {Margin: units.Length(math.Inf(1))}, {Decimals: -1}, {Decimals: 99},
	} {
		var option *svg.OptionError
		assert.ErrorAs(t, svg.Write(&b, ring(), opt), &option)
	}
	assert.Empty(t, b.String(), "nothing is written beside an error")
	assert.NoError(t, svg.Write(&b, nil, svg.WriteOptions{Width: 10, Height: 10}), "an empty page is a page")

	// What XML cannot hold does not spoil the file.
	b.Reset()
	require.NoError(t, svg.WriteLayers(&b, []svg.Layer{{ID: "a\x01b\xff<", Path: ring()}}, svg.WriteOptions{Title: "x\x00\ufffey"}))
	d, err := svg.Read(strings.NewReader(b.String()), svg.Options{})
	require.NoError(t, err)
	assert.Equal(t, "a\ufffdb\ufffd<", d.Shapes[0].ID)
}

// The zero value of every exported type does something sensible.
func TestZeroValues(t *testing.T) {
	assert.Equal(t, "", svg.PathData(nil))
	assert.Equal(t, "M0,0", svg.CurveData(outline.Curve{}))
	assert.Equal(t, "whole", svg.Part(0).String())
	assert.Equal(t, "unknown part", svg.Part(99).String())
	assert.Equal(t, outline.Point{}, svg.Subpath{}.End())
	var d svg.Drawing
	assert.Empty(t, d.Shapes)
	assert.Equal(t, "line 0: : ", svg.Warning{}.String())
}
