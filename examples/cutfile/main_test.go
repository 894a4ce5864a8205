package main

import (
	"bytes"
	"context"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/hpgl"
	"github.com/vinylgeom/vinyl/outline/svg"
)

// flagArt is an F on its page, which shows any mirroring, two overlapping
// bars of which are to be welded, and a ring.
const flagArt = `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 100 60">
<rect x="10" y="10" width="8" height="40"/><rect x="10" y="10" width="30" height="8"/><rect x="10" y="26" width="22" height="8"/>
<circle cx="70" cy="40" r="12" fill="none" stroke="black" stroke-width="4"/>
<text x="5" y="5">no outline</text></svg>`

func artFile(t *testing.T, text string) string {
	name := filepath.Join(t.TempDir(), "art.svg")
	require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	return name
}

func cutfile(args ...string) (stdout, stderr string, err error) {
	var out, errs bytes.Buffer
	err = run(context.Background(), args, &out, &errs)
	return out.String(), errs.String(), err
}

func TestEveryFile(t *testing.T) {
	in := artFile(t, flagArt)
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	_, warnings, err := cutfile("-in", in, "-svg", at("a.svg"), "-hpgl", at("a.plt"), "-dxf", at("a.dxf"), "-png", at("a.png"))
	require.NoError(t, err)
	assert.Contains(t, warnings, "text", "what cannot be cut is named")
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 4, "and nothing passing is left")

	// The bars weld to 8·40 + 22·8 + 14·8 mm²; the ring has π(14² − 10²).
	f, err := os.Open(at("a.svg"))
	require.NoError(t, err)
	defer f.Close()
	drawing, err := svg.Read(f, svg.Options{})
	require.NoError(t, err)
	assert.InDelta(t, 100, float64(drawing.Width), 1e-6)
	assert.InDelta(t, 60, float64(drawing.Height), 1e-6)
	require.Len(t, drawing.Shapes, 1)
	path := drawing.Shapes[0].Path
	assert.Len(t, path, 3)
	assert.InDelta(t, 8*40+22*8+14*8+96*3.14159265, float64(path.Area()), 0.5)
	b := path.Bounds()
	assert.InDelta(t, 10, b.Min.X, 0.01)
	assert.InDelta(t, 84, b.Max.X, 0.01)
	assert.InDelta(t, 6, b.Min.Y, 0.01)
	assert.InDelta(t, 50, b.Max.Y, 0.01)

	// The plotter file has the same box, and the hole of the ring is cut first.
	p, err := os.Open(at("a.plt"))
	require.NoError(t, err)
	defer p.Close()
	plot, err := hpgl.Read(p)
	require.NoError(t, err)
	require.Len(t, plot.Strokes, 3)
	q := plot.Bounds()
	assert.InDelta(t, b.Min.X, q.Min.X, 0.03)
	assert.InDelta(t, b.Max.Y, q.Max.Y, 0.03)
	var widths []float64
	for _, s := range plot.Strokes {
		if c := s.Curve.Bounds(); c.Min.X > 50 {
			widths = append(widths, c.Width())
		}
	}
	require.Len(t, widths, 2)
	assert.InDelta(t, 20, widths[0], 0.05)
	assert.InDelta(t, 28, widths[1], 0.05)

	text, err := os.ReadFile(at("a.dxf"))
	require.NoError(t, err)
	assert.Equal(t, 3, strings.Count(string(text), "\nPOLYLINE\n"))

	img, err := os.Open(at("a.png"))
	require.NoError(t, err)
	defer img.Close()
	picture, err := png.Decode(img)
	require.NoError(t, err)
	size := picture.Bounds()
	assert.InDelta(t, 100.0/60, float64(size.Dx())/float64(size.Dy()), 0.01)
	black := func(x, y float64) bool { // millimetres, y down as in the source
		r, _, _, _ := picture.At(int(x/100*float64(size.Dx())), int(y/60*float64(size.Dy()))).RGBA()
		return r < 0x8000
	}
	assert.True(t, black(14, 45) && black(36, 14) && black(28, 30), "the F stands upright")
	assert.False(t, black(36, 45) || black(70, 40) || black(50, 14))
}

func TestReport(t *testing.T) {
	in := artFile(t, flagArt)
	number := func(text, name string) float64 {
		m := regexp.MustCompile(name + ` +([0-9.]+)`).FindStringSubmatch(text)
		require.Len(t, m, 2, "%s in %s", name, text)
		v, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		return v
	}
	plain, _, err := cutfile("-in", in, "-report")
	require.NoError(t, err)
	// The F's edges, and the ring's two circles.
	f := 8.0 + 40 + 30 + 8 + 22 + 8 + 14 + 8 + 14 + 16 // once round
	assert.InDelta(t, f+48*3.14159265, number(plain, "cut length"), 0.2)
	assert.Equal(t, 3.0, number(plain, "lifts"))
	assert.Contains(t, plain, "% above the lower bound of")
	over, _, err := cutfile("-in", in, "-report", "-overcut", "0.5mm")
	require.NoError(t, err)
	assert.InDelta(t, number(plain, "cut length")+1.5, number(over, "cut length"), 0.11)
	slow, _, err := cutfile("-in", in, "-report", "-speed", "20")
	require.NoError(t, err)
	assert.Greater(t, number(slow, "seconds"), 2*number(plain, "seconds"))
	assert.Greater(t, number(slow, "seconds"), number(plain, "cut length")/20)
}

func TestKnifeOffsetOnlyChangesThePlot(t *testing.T) {
	in := artFile(t, flagArt)
	dir := t.TempDir()
	read := func(name string, more ...string) string {
		out := filepath.Join(dir, name)
		kind := strings.TrimPrefix(filepath.Ext(name), ".")
		if kind == "plt" {
			kind = "hpgl"
		}
		_, _, err := cutfile(append([]string{"-in", in, "-" + kind, out}, more...)...)
		require.NoError(t, err)
		data, err := os.ReadFile(out)
		require.NoError(t, err)
		return string(data)
	}
	assert.Equal(t, read("a.svg"), read("b.svg", "-knife-offset", "0.25mm"))
	assert.Equal(t, read("a.dxf"), read("b.dxf", "-knife-offset", "0.25mm", "-overcut", "0.01in"))
	assert.NotEqual(t, read("a.plt"), read("b.plt", "-knife-offset", "0.25mm"))
	assert.Equal(t, read("a.plt"), read("c.plt"), "the same to the byte")
	assert.Contains(t, read("d.plt", "-speed", "300mm/s"), "VS30;")
}

func TestRefusals(t *testing.T) {
	good := artFile(t, flagArt)
	dir := t.TempDir()
	out := filepath.Join(dir, "out.svg")
	for _, c := range []struct {
		name, text string
		args       []string
	}{
		{"no input", "-in", []string{"-svg", out}},
		{"nothing to do", "nothing to do", []string{"-in", good}},
		{"no such file", "no such file", []string{"-in", filepath.Join(dir, "missing.svg"), "-svg", out}},
		{"stray word", "all settings are flags", []string{"-in", good, "-svg", out, "more"}},
		{"same file twice", "same file", []string{"-in", good, "-svg", out, "-dxf", out}},
		{"over the artwork", "same file", []string{"-in", good, "-svg", good}},
		{"not SVG", "the outermost element is not svg", []string{"-in", artFile(t, "IN;SP1;"), "-svg", out}},
		{"nothing filled", "nothing is filled", []string{"-in", artFile(t, `<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"/>`), "-svg", out}},
		{"no such folder", "cannot be written", []string{"-in", good, "-svg", filepath.Join(dir, "none", "a.svg")}},
		{"a folder", "it is a folder", []string{"-in", good, "-svg", dir}},
		{"negative offset", "knife-offset", []string{"-in", good, "-svg", out, "-knife-offset", "-1mm"}},
		{"bad overcut", "overcut", []string{"-in", good, "-svg", out, "-overcut", "wide"}},
		{"no speed", "speed", []string{"-in", good, "-svg", out, "-speed", "0"}},
		{"offset above the artwork", "smaller than the knife can follow", []string{"-in", artFile(t, `<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><rect width="9mm" height="9mm"/></svg>`), "-hpgl", out, "-knife-offset", "5mm"}},
		{"offset of no blade", "Knife.Offset is 40 mm", []string{"-in", good, "-hpgl", out, "-knife-offset", "40mm"}},
	} {
		_, _, err := cutfile(c.args...)
		require.Error(t, err, c.name)
		assert.ErrorContains(t, err, c.text, c.name)
	}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, entries, "nothing is written where anything fails")
}

func TestLargePageAsksForALargerRange(t *testing.T) {
	in := artFile(t, `<svg xmlns="http://www.w3.org/2000/svg" width="1200mm" height="300mm" viewBox="0 0 1200 300"><rect x="10" y="10" width="1100" height="200"/></svg>`)
	out := filepath.Join(t.TempDir(), "a.plt")
	_, warnings, err := cutfile("-in", in, "-hpgl", out)
	require.NoError(t, err)
	assert.Contains(t, warnings, "32767")
	data, err := os.ReadFile(out)
	require.NoError(t, err)
	assert.Contains(t, string(data), "44400,")
}
