package main

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/goregular"

	"github.com/vinylgeom/vinyl/outline/svg"
)

// runHere runs the program in an empty folder.
func runHere(t *testing.T, args ...string) (stdout string, err error) {
	t.Helper()
	t.Chdir(t.TempDir())
	var out bytes.Buffer
	err = run(args, &out, io.Discard)
	return out.String(), err
}

func readBack(t *testing.T, name string) *svg.Drawing {
	t.Helper()
	f, err := os.Open(name)
	require.NoError(t, err)
	defer f.Close()
	d, err := svg.Read(f, svg.Options{})
	require.NoError(t, err)
	require.Empty(t, d.Warnings)
	require.Len(t, d.Shapes, 1)
	return d
}

// Two inch letters: an H is 50.8 mm high in the file, which has its size in
// millimetres and no transform.
func TestCapHeight(t *testing.T) {
	out, err := runHere(t, "-text", "H", "-height", "2in", "-svg", "h.svg", "-png", "h.png")
	require.NoError(t, err)
	assert.Contains(t, out, "cap height 50.80 mm")
	d := readBack(t, "h.svg")
	assert.InDelta(t, 50.8, float64(d.Height), 1e-9)
	assert.InDelta(t, 50.8, d.Shapes[0].Path.Bounds().Height(), 1e-9)
	assert.InDelta(t, float64(d.Width), d.Shapes[0].Path.Bounds().Width(), 1e-9)

	data, err := os.ReadFile("h.svg")
	require.NoError(t, err)
	var root struct {
		Width   string `xml:"width,attr"`
		ViewBox string `xml:"viewBox,attr"`
		Path    []struct {
			Transform string `xml:"transform,attr"`
			D         string `xml:"d,attr"`
		} `xml:"path"`
	}
	require.NoError(t, xml.Unmarshal(data, &root))
	assert.True(t, strings.HasSuffix(root.Width, "mm"))
	assert.NotEmpty(t, root.ViewBox)
	require.NotEmpty(t, root.Path)
	for _, p := range root.Path {
		assert.Empty(t, p.Transform)
		assert.NotEmpty(t, p.D)
	}
	assert.NotContains(t, string(data), "transform")

	f, err := os.Open("h.png")
	require.NoError(t, err)
	defer f.Close()
	img, err := png.Decode(f)
	require.NoError(t, err)
	b := img.Bounds()
	r, _, _, _ := img.At(b.Min.X, b.Min.Y).RGBA()
	assert.EqualValues(t, 0xffff, r, "white paper")
	r, _, _, _ = img.At(b.Dx()/2, b.Dy()/2).RGBA()
	assert.EqualValues(t, 0, r, "the bar of the H")
}

func TestBetween(t *testing.T) {
	for _, name := range []string{"arc", "sine", "trapezoid"} {
		_, err := runHere(t, "-text", "FAIR", "-height", "30mm", "-between", name, "-rise", "20mm", "-weld", "-svg", "a.svg")
		require.NoError(t, err, name)
		bent := readBack(t, "a.svg")
		_, err = runHere(t, "-text", "FAIR", "-height", "30mm", "-svg", "a.svg")
		require.NoError(t, err)
		plain := readBack(t, "a.svg")
		assert.Len(t, bent.Shapes[0].Path, len(plain.Shapes[0].Path), name)
		if name == "trapezoid" {
			assert.Less(t, float64(bent.Shapes[0].Path.Area()), float64(plain.Shapes[0].Path.Area()))
		} else {
			assert.Greater(t, float64(bent.Height), float64(plain.Height)+5, name)
		}
	}
}

func TestSettings(t *testing.T) {
	font := filepath.Join(t.TempDir(), "regular.ttf")
	require.NoError(t, os.WriteFile(font, goregular.TTF, 0o600))
	_, err := runHere(t, "-text", `MARLOW\nCREEK`, "-font", font, "-height", "1 1/2 in", "-align", "centre", "-leading", "3in",
		"-tracking", "1mm", "-slant", "10deg", "-heavier", "0.5mm", "-maxwidth", "8in", "-svg", "a.svg")
	require.NoError(t, err)
	d := readBack(t, "a.svg")
	assert.InDelta(t, 203.2, float64(d.Width), 0.001)
	assert.Greater(t, float64(d.Height), 76.2+38)
}

// Every mistake is an error that says what to give, and leaves no file.
func TestErrorsLeaveNothing(t *testing.T) {
	for want, args := range map[string][]string{
		"-text":                  {"-height", "2in", "-svg", "a.svg"},
		"-height":                {"-text", "A", "-svg", "a.svg"},
		"-svg FILE":              {"-text", "A", "-height", "2in"},
		"unit":                   {"-text", "A", "-height", "2", "-svg", "a.svg"},
		"height above zero":      {"-text", "A", "-height", "-2in", "-svg", "a.svg"},
		"U+8336":                 {"-text", "茶", "-height", "2in", "-svg", "a.svg", "-png", "a.png"},
		"no such file":           {"-text", "A", "-font", "missing.ttf", "-height", "2in", "-svg", "a.svg"},
		"missing/a.svg":          {"-text", "A", "-height", "2in", "-svg", "missing/a.svg", "-png", "a.png"},
		"missing/a.png":          {"-text", "A", "-height", "2in", "-svg", "a.svg", "-png", "missing/a.png"},
		"same file":              {"-text", "A", "-height", "2in", "-svg", "a.svg", "-png", "a.svg"},
		"nothing to cut":         {"-text", "  ", "-height", "2in", "-svg", "a.svg"},
		"arc, sine or trapezoid": {"-text", "A", "-height", "2in", "-between", "star", "-svg", "a.svg"},
		"unexpected argument":    {"-text", "A", "-height", "2in", "-svg", "a.svg", "B"},
		"give -font":             {"-text", "A", "-height", "2in", "-svg", "a.svg", "-axes", "wght=700"},
		"wght=700":               {"-text", "A", "-height", "2in", "-svg", "a.svg", "-axes", "wght"},
	} {
		_, err := runHere(t, args...)
		if assert.Error(t, err, want) {
			assert.Contains(t, strings.ToLower(err.Error()), strings.ToLower(want))
		}
		left, err := os.ReadDir(".")
		require.NoError(t, err)
		assert.Empty(t, left, want)
	}
}
