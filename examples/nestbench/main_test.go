package main

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Our own small instances: two L-shapes that make a rectangle, and rectangles of a perfect packing.
const (
	shapesJSON = `{"name":"two L","strip_width":2,"items":[{"id":"L","count":2,"rotations_deg":[0,180],
 "outline":[[0,0],[3,0],[3,1],[1,1],[1,2],[0,2]]}]}`
	boxesJSON = `{"name":"boxes","strip_width":6,"optimal_length":6,"items":[{"id":"a","count":2,"w":4,"h":2},
 {"id":"b","count":2,"w":2,"h":4},{"id":"c","count":1,"w":2,"h":2}]}`
	shapesXML = `<?xml version="1.0"?><nesting><name>XML L</name><problem><boards><piece id="b" quantity="1">
<component idPolygon="board" type="0" xOffset="0" yOffset="0"/></piece></boards><lot><piece id="L" quantity="2"><orientation>
<enumeration angle="0"/><enumeration angle="180"/></orientation><component idPolygon="l" type="0" xOffset="0" yOffset="0"/></piece></lot></problem>
<polygons><polygon id="board"><lines><segment x0=" 0" y0="0"/><segment x0="9" y0="0"/><segment x0="9" y0="2"/><segment x0="0" y0="2"/></lines></polygon>
<polygon id="l"><lines><segment x0=" 0.0" y0="0"/><segment x0="3" y0="0"/><segment x0="3" y0="1"/><segment x0="1" y0="1"/><segment x0="1" y0="2"/>
<segment x0="0" y0="2"/></lines></polygon></polygons></nesting>`
)

func folder(t *testing.T) string {
	dir := t.TempDir()
	for name, text := range map[string]string{"shapes.json": shapesJSON, "boxes.json": boxesJSON, "shapes.xml": shapesXML} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	return dir
}

func TestReport(t *testing.T) {
	dir := folder(t)
	for file, length := range map[string]float64{"shapes.json": 4, "boxes.json": 6, "shapes.xml": 4} {
		var out bytes.Buffer
		require.NoError(t, run([]string{"-in", filepath.Join(dir, file), "-iterations", "200", "-seed", "3",
			"-svg", filepath.Join(dir, "out.svg"), "-png", filepath.Join(dir, "out.png")}, &out))
		var r map[string]any
		require.NoError(t, json.Unmarshal(out.Bytes(), &r))
		for _, name := range []string{"name", "strip_width", "length", "density_percent", "smallest_gap", "seconds", "first_seconds",
			"first_density_percent", "seed", "iterations", "placements"} {
			assert.Contains(t, r, name)
		}
		assert.InDelta(t, length, r["length"], 1e-4, file)
		assert.InDelta(t, 3.0, r["seed"], 0)
		p := r["placements"].([]any)[0].(map[string]any)
		for _, name := range []string{"id", "copy", "rotation_deg", "x", "y"} {
			assert.Contains(t, p, name)
		}
		svg, err := os.ReadFile(filepath.Join(dir, "out.svg"))
		require.NoError(t, err)
		assert.NoError(t, xml.Unmarshal(svg, new(struct{})))
		picture, err := os.Open(filepath.Join(dir, "out.png"))
		require.NoError(t, err)
		img, err := png.Decode(picture)
		require.NoError(t, err)
		picture.Close()
		// A pixel in the middle of the lower left piece is not background.
		red, green, blue, _ := img.At(60, img.Bounds().Max.Y-60).RGBA()
		assert.NotEqual(t, [3]uint32{0xf4f4, 0xf4f4, 0xf0f0}, [3]uint32{red, green, blue})
	}
}

func TestGapAndMargin(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run([]string{"-in", filepath.Join(folder(t), "boxes.json"), "-iterations", "20", "-gap", "0.25", "-margin", "0.5"}, &out))
	var r report
	require.NoError(t, json.Unmarshal(out.Bytes(), &r))
	require.NotNil(t, r.SmallestGap)
	assert.GreaterOrEqual(t, *r.SmallestGap, 0.25)
	for _, p := range r.Placements {
		assert.GreaterOrEqual(t, p.Copy, 1)
	}
}

func TestKeepsItsBudget(t *testing.T) {
	start := time.Now()
	var out bytes.Buffer
	require.NoError(t, run([]string{"-in", filepath.Join(folder(t), "shapes.json"), "-budget", "700ms", "-gap", "0.01"}, &out))
	assert.Less(t, time.Since(start), 4*time.Second) // 5 % and what a busy machine adds
}

func TestTable(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run([]string{"-table", folder(t), "-iterations", "20", "-seeds", "2"}, &out))
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	assert.Len(t, lines, 7, out.String())
	assert.Contains(t, out.String(), "mean length over 1 rectangle sets: 1.0000 of the optimum")
}

func TestFaultyArguments(t *testing.T) {
	dir := folder(t)
	bad := filepath.Join(dir, "bad.json")
	require.NoError(t, os.WriteFile(bad, []byte(`{"strip_width": 5}`), 0o600))
	for _, args := range [][]string{
		{}, {"-in", "a", "-table", "b"}, {"-in", filepath.Join(dir, "none.json")}, {"-in", bad}, {"-budget", "-1s", "-in", bad},
		{"-in", filepath.Join(dir, "boxes.json"), "-gap", "NaN"}, {"-in", filepath.Join(dir, "boxes.json"), "-margin", "3"},
		{"-in", filepath.Join(dir, "boxes.json"), "-method", "other"}, {"-table", filepath.Join(dir, "none")}, {"x", "y"},
		{"-in", filepath.Join(dir, "boxes.json"), "-budget", "0", "-svg", filepath.Join(dir, "none", "x.svg")},
	} {
		var out bytes.Buffer
		assert.Error(t, run(args, &out), "%v", args)
		assert.Empty(t, out.String(), "%v", args)
	}
	assert.NoFileExists(t, filepath.Join(dir, "none", "x.svg"))
}

// FuzzRead checks that no file, JSON or XML, brings the reader down.
func FuzzRead(f *testing.F) {
	f.Add([]byte(shapesJSON))
	f.Add([]byte(boxesJSON))
	f.Add([]byte(shapesXML))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, read := range []func([]byte) (instance, error){fromJSON, fromXML} {
			if in, err := read(data); err == nil {
				require.NotEmpty(t, in.pieces)
			}
		}
	})
}

// The published sets (ESICUP; papers cited in table.go) are not ours to copy: they are read from the reference folder, or the
// one in VINYL_NESTING_DATA. Every layout is verified by run itself.
func TestPublishedInstances(t *testing.T) {
	dir := os.Getenv("VINYL_NESTING_DATA")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "reference", "nesting")
	}
	files, _ := filepath.Glob(filepath.Join(dir, "*.json"))
	if len(files) == 0 {
		t.Skip("no instances in " + dir + "; set VINYL_NESTING_DATA to a folder with the published sets")
	}
	for _, file := range files {
		var out bytes.Buffer
		require.NoError(t, run([]string{"-in", file, "-budget", "0"}, &out), file)
		var r report
		require.NoError(t, json.Unmarshal(out.Bytes(), &r))
		assert.Greater(t, r.Density, 45.0, file)
		assert.LessOrEqual(t, r.Density, 100.0, file)
		assert.Less(t, r.FirstSeconds, 1.0, file)
	}
	// The XML form of a set is the same set.
	if forms, _ := filepath.Glob(filepath.Join(dir, "*.xml")); len(forms) > 0 {
		fromXML, err := read(forms[0])
		require.NoError(t, err)
		fromJSON, err := read(strings.TrimSuffix(forms[0], ".xml") + ".json")
		require.NoError(t, err)
		assert.Equal(t, fromJSON.stripWidth, fromXML.stripWidth)
		require.Len(t, fromXML.pieces, len(fromJSON.pieces))
		area := func(in instance) (sum float64) {
			for _, p := range in.pieces {
				sum += float64(p.Count) * planar.Area(p.Outline)
			}
			return sum
		}
		assert.InEpsilon(t, area(fromJSON), area(fromXML), 1e-9)
	}
}
