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

// same is how far results may differ that are equal but for rounding, in mm.
const same = 1e-9

// page wraps elements in a page of 100 by 80 mm, one user unit to the
// millimetre.
func page(elements string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100mm" height="80mm" viewBox="0 0 100 80">` + elements + `</svg>`
}

func read(t *testing.T, text string) *svg.Drawing {
	t.Helper()
	d, err := svg.Read(strings.NewReader(text), svg.Options{})
	require.NoError(t, err)
	return d
}

func assertBox(t *testing.T, minX, minY, maxX, maxY float64, b outline.Box) {
	t.Helper()
	assert.InDelta(t, minX, b.Min.X, same, "left")
	assert.InDelta(t, minY, b.Min.Y, same, "bottom")
	assert.InDelta(t, maxX, b.Max.X, same, "right")
	assert.InDelta(t, maxY, b.Max.Y, same, "top")
}

func TestReadPlacesShapesOnPage(t *testing.T) {
	d := read(t, page(`<rect x="10" y="20" width="30" height="5"/>`))
	assert.Equal(t, 100*units.Millimetre, d.Width)
	assert.Equal(t, 80*units.Millimetre, d.Height)
	require.Len(t, d.Shapes, 1)
	// y runs up from the page's lower edge: 20 mm from the top is 60 mm up.
	assertBox(t, 10, 55, 40, 60, d.Shapes[0].Path.Bounds())
	assert.InDelta(t, 150, float64(d.Shapes[0].Path.Area()), same)
}

func TestReadSlot(t *testing.T) {
	d := read(t, page(`<g class="slot" id="upper" data-mode="weld" fill="none">
		<path class="bottom" d="M10,40 Q50,30 90,40"/><path class="top" d="M10,20 L90,20"/></g>`))
	require.Len(t, d.Shapes, 2)
	bottom, top := d.Shapes[0], d.Shapes[1]
	assert.Equal(t, "bottom", bottom.Class)
	assert.Equal(t, "top", top.Class)
	assert.Empty(t, bottom.Fill)
	assert.Empty(t, bottom.Path)
	require.Len(t, bottom.Groups, 1)
	assert.Equal(t, svg.Group{ID: "upper", Class: "slot", Data: map[string]string{"mode": "weld"}}, bottom.Groups[0])
	require.Len(t, bottom.Curves, 1)
	assert.Equal(t, outline.Curve{Start: outline.Pt(10, 40), Segments: []outline.Segment{outline.QuadTo(outline.Pt(50, 50), outline.Pt(90, 40))}}, bottom.Curves[0])
	assert.Equal(t, outline.Polyline(outline.Pt(10, 60), outline.Pt(90, 60)), top.Curves[0])
	assert.Empty(t, d.Warnings)
}

func TestHolesByBothRules(t *testing.T) {
	for _, d := range []string{
		`<path fill-rule="evenodd" d="M0,0H20V20H0ZM5,5H15V15H5Z"/>`,
		`<path d="M0,0H20V20H0ZM5,5V15H15V5Z"/>`,
	} {
		p := read(t, page(d)).Shapes[0].Path
		require.Len(t, p, 2)
		assert.InDelta(t, 300, float64(p.Area()), same)
		assert.Positive(t, float64(p[0].Area()))
		assert.Negative(t, float64(p[1].Area()))
	}
	// The same direction twice: one area by the non-zero rule.
	p := read(t, page(`<path d="M0,0H20V20H0ZM5,5H15V15H5Z"/>`)).Shapes[0].Path
	require.Len(t, p, 1)
	assert.InDelta(t, 400, float64(p.Area()), same)
}

// What a drawing paints is one film, and each segment knows who drew it.
func TestDrawingPath(t *testing.T) {
	d := read(t, page(`<circle id="disc" cx="20" cy="20" r="5"/><rect width="10" height="10"/><path d="M0 0L5 5" fill="none"/><rect x="5" width="10" height="10" fill="red"/>`))
	p, err := d.Path(outline.BooleanOptions{})
	require.NoError(t, err)
	require.NoError(t, p.CheckWelded(0))
	require.Len(t, p, 2)
	assert.InDelta(t, 150+25*math.Pi, float64(p.Area()), 10*math.Pi*float64(outline.DefaultTolerance))
	assert.Equal(t, "disc", d.Describe(p[0].Segments[0].Origin))
	for _, s := range p[1].Segments {
		assert.Contains(t, []int32{2, 4}, s.Origin)
		assert.Regexp(t, `^the rect of line \d+$`, d.Describe(s.Origin))
	}
	assert.Equal(t, "an unknown shape", d.Describe(0))
	assert.Equal(t, "an unknown shape", d.Describe(9))

	empty, err := new(svg.Drawing).Path(outline.BooleanOptions{})
	require.NoError(t, err)
	assert.Empty(t, empty)
}

// A service can ask for less than the reader's own limit.
func TestMaxNodesOption(t *testing.T) {
	text := page(`<rect width="10" height="10"/><path d="M0 0L5 5L5 0Z"/>`) // 4 and 3 segments
	_, err := svg.Read(strings.NewReader(text), svg.Options{MaxNodes: 7})
	require.NoError(t, err)
	_, err = svg.Read(strings.NewReader(text), svg.Options{MaxNodes: 6})
	require.ErrorIs(t, err, svg.ErrTooLarge)
	for _, n := range []int{-1, svg.MaxNodes + 1} {
		_, err = svg.Read(strings.NewReader(text), svg.Options{MaxNodes: n})
		require.ErrorIs(t, err, svg.ErrInvalidOption)
	}
}
