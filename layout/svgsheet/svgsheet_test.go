package svgsheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/internal/writertest"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// sheet holds two decals, an F, which shows any mirroring, and a leaf of
// another colour, with a border and a line.
func sheet() layout.Sheet {
	return layout.Sheet{Name: "load <1>", Film: layout.Film{Name: "blue", Colour: "#1d4ed8", Width: 70}, Length: 80,
		Decals: []layout.PlacedDecal{
			{ID: "A-01", Design: "flag", Path: outline.Path{writertest.F(), writertest.Polygon(22, 50, 24, 50, 24, 52, 22, 52)}},
			{ID: "B-01", Design: "leaf & stem", Colour: "#2f9e44", Path: outline.Path{writertest.Leaf()}}},
		WeedBorder: outline.Path{writertest.Polygon(15, 15, 65, 15, 65, 60, 15, 60)},
		TrimLines:  []outline.Curve{outline.Polyline(outline.Pt(75, 0), outline.Pt(75, 70))}}
}

func write(t testing.TB, job cutpath.Job, opt Options) string {
	var b bytes.Buffer
	require.NoError(t, job.Write(NewWriter(&b, opt)))
	return b.String()
}

func TestGolden(t *testing.T) {
	got := write(t, writertest.Plan(t, sheet()), Options{})
	assert.Equal(t, got, write(t, writertest.Plan(t, sheet()), Options{}), "the same to the byte")
	writertest.Golden(t, "sheet.svg.golden", got)
}

// element is what the standard library's XML reader makes of the file.
type element struct {
	XMLName xml.Name
	Attrs   []xml.Attr `xml:",any,attr"`
	Text    string     `xml:",chardata"`
	Inner   []element  `xml:",any"`
}

func (e element) attr(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func parse(t *testing.T, text string) element {
	var root element
	require.NoError(t, xml.Unmarshal([]byte(text), &root))
	return root
}

func TestStructure(t *testing.T) {
	text := write(t, writertest.Plan(t, sheet()), Options{})
	root := parse(t, text)
	assert.Equal(t, "80mm", root.attr("width"))
	assert.Equal(t, "70mm", root.attr("height"))
	assert.Equal(t, "0 0 80 70", root.attr("viewBox"))
	assert.Equal(t, "load <1>", root.Inner[0].Text)
	assert.Equal(t, "desc", root.Inner[1].XMLName.Local)
	body := root.Inner[2]
	type group struct{ film, decal, design, class string }
	var got []group
	paths := 0
	for _, film := range body.Inner {
		for _, g := range film.Inner {
			got = append(got, group{film.attr("stroke"), g.attr("data-id"), g.attr("data-design"), g.attr("class")})
			for _, p := range g.Inner {
				assert.Equal(t, "path", p.XMLName.Local)
				assert.Empty(t, p.attr("transform"))
				paths++
			}
		}
	}
	assert.ElementsMatch(t, []group{{"#1d4ed8", "A-01", "flag", "decal"}, {"#2f9e44", "B-01", "leaf & stem", "decal"},
		{"#1d4ed8", "", "", "weed-border"}, {"#1d4ed8", "", "", "trim-line"}}, got, "one group per film and decal")
	assert.Equal(t, 5, paths)
	// Exact curves, y down: 70 - 20 = 50.
	assert.Contains(t, text, `d="M50 50C62 46 60 30 52 20Q44 32 50 50Z"`)
	assert.Contains(t, text, `d="M75 70L75 0"`, "an open line stays open")
}

// TestSize: reference/trade.md, check 12 (W3C CSS Values): 127 mm are 480 px,
// 1 mm is 3.779528 px; the file says millimetres, so the unit of the viewBox is
// one.
func TestSize(t *testing.T) {
	job := cutpath.Job{Length: 127, Film: layout.Film{Width: 25.4}, Strokes: []cutpath.Stroke{{Curve: outline.Polyline(outline.Pt(0, 0), outline.Pt(127, 25.4))}}}
	root := parse(t, write(t, job, Options{}))
	width, err := units.Parse(root.attr("width"))
	require.NoError(t, err)
	assert.InDelta(t, 480, float64(width/units.Pixel), 1e-6)
	assert.InDelta(t, 3.779528, float64(units.Millimetre/units.Pixel), 1e-6)
	assert.Equal(t, "0 0 127 25.4", root.attr("viewBox"))
}

func TestPageFromTheCuts(t *testing.T) {
	job := cutpath.Job{Strokes: []cutpath.Stroke{{Curve: writertest.Polygon(5, 5, 30, 5, 30, 20).Curve(), Closed: true}}}
	root := parse(t, write(t, job, Options{}))
	assert.Equal(t, "0 0 30 20", root.attr("viewBox"))
	assert.Equal(t, "0 0 100 50", parse(t, write(t, job, Options{Width: 100, Height: 50})).attr("viewBox"))
	assert.Equal(t, "black", parse(t, write(t, job, Options{})).Inner[2].Inner[0].attr("stroke"))
}

func TestNumbers(t *testing.T) {
	w := NewWriter(io.Discard, Options{Decimals: 4})
	w.scale = 1e4
	for v, want := range map[float64]string{0: "0", -0.00001: "0", 10: "10", 100: "100", 1.5: "1.5", -2.25: "-2.25", 0.12345: "0.1235", 1e-3: "0.001"} {
		assert.Equal(t, want, w.number(v))
	}
}

func TestRefuses(t *testing.T) {
	job := writertest.Plan(t, sheet())
	for name, o := range map[string]Options{"LineWidth": {LineWidth: -1}, "Decimals": {Decimals: 12}, "page": {Width: units.Length(math.NaN())}} {
		err := job.Write(NewWriter(io.Discard, o))
		require.ErrorIs(t, err, cutpath.ErrInvalidOption)
		assert.ErrorContains(t, err, name)
	}
	assert.ErrorIs(t, cutpath.Job{}.Write(NewWriter(io.Discard, Options{})), ErrNoSize)
	bad := cutpath.Job{Length: 5, Film: layout.Film{Width: 5}, Strokes: []cutpath.Stroke{{Curve: outline.Polyline(outline.Pt(0, 0), outline.Pt(math.NaN(), 0))}}}
	assert.ErrorIs(t, bad.Write(NewWriter(io.Discard, Options{})), cutpath.ErrNotFinite)
	broken := errors.New("the disk is full")
	assert.ErrorIs(t, job.Write(NewWriter(writertest.Failing{Err: broken}, Options{})), broken)
}

func TestStreaming(t *testing.T) {
	var n writertest.Counter
	w := NewWriter(&n, Options{Width: 100, Height: 100})
	require.NoError(t, w.Begin(cutpath.Header{}))
	s := cutpath.Stroke{Curve: sheet().Decals[1].Path[0].Curve(), Closed: true}
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	for n < 10<<20 {
		s.Decal++
		require.NoError(t, w.Stroke(s))
	}
	require.NoError(t, w.End())
	runtime.GC()
	runtime.ReadMemStats(&after)
	assert.Less(t, int64(after.HeapAlloc)-int64(before.HeapAlloc), int64(1<<19), "10 MB of output leave less than half a megabyte behind")
}
