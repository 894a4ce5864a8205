package dxf

import (
	"bytes"
	"errors"
	"io"
	"math"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/internal/writertest"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

func circle(x, y, r float64) outline.Contour {
	const k = 0.5522847498307936
	at := func(u, v float64) outline.Point { return outline.Pt(x+u*r, y+v*r) }
	return outline.Contour{Start: at(1, 0), Segments: []outline.Segment{
		outline.CubicTo(at(1, k), at(k, 1), at(0, 1)), outline.CubicTo(at(-k, 1), at(-1, k), at(-1, 0)),
		outline.CubicTo(at(-1, -k), at(-k, -1), at(0, -1)), outline.CubicTo(at(k, -1), at(1, -k), at(1, 0)),
	}}
}

// sheet holds an F, which shows any mirroring, with a round dot and a leaf.
func sheet() layout.Sheet {
	return layout.Sheet{Name: "load-01", Film: layout.Film{Name: "deep blue", Colour: "#1d4ed8", Width: 70}, Length: 80,
		Decals:     []layout.PlacedDecal{{ID: "A-01", Design: "flag", Path: outline.Path{writertest.F(), circle(34, 25, 4), writertest.Leaf()}}},
		WeedBorder: outline.Path{writertest.Polygon(15, 15, 65, 15, 65, 60, 15, 60)},
		TrimLines:  []outline.Curve{outline.Polyline(outline.Pt(75, 0), outline.Pt(75, 70))}}
}

func write(t testing.TB, job cutpath.Job, opt Options) string {
	var b bytes.Buffer
	require.NoError(t, job.Write(NewWriter(&b, opt)))
	return b.String()
}

func TestGolden(t *testing.T) {
	for name, opt := range map[string]Options{"film": {}, "colour-chords": {Layers: ByColour, Chords: true, Tolerance: 0.05, Decimals: 2}} {
		s := sheet()
		if opt.Chords {
			// Straight edges only: how curves are flattened is package outline's.
			s.Decals[0].Path = s.Decals[0].Path[:1]
		}
		job := writertest.Plan(t, s)
		got := write(t, job, opt)
		assert.Equal(t, got, write(t, job, opt), "the same to the byte")
		writertest.Golden(t, name+".dxf.golden", got)
	}
}

// polyline is a POLYLINE as a reader sees it.
type polyline struct {
	layer    string
	closed   bool
	vertices []vertex
}

// read is a small reader of the subset, by the group codes alone.
func read(t testing.TB, text string) (lines []polyline, header map[string]string) {
	t.Helper()
	rows := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	require.Zero(t, len(rows)%2, "codes and values come in pairs")
	header = map[string]string{}
	var entity, variable string
	for i := 0; i < len(rows); i += 2 {
		code, err := strconv.Atoi(strings.TrimSpace(rows[i]))
		require.NoError(t, err)
		value := rows[i+1]
		number := func() float64 {
			v, err := strconv.ParseFloat(value, 64)
			require.NoError(t, err)
			return v
		}
		switch {
		case code == 0:
			entity = value
			switch value {
			case "POLYLINE":
				lines = append(lines, polyline{})
			case "VERTEX":
				l := &lines[len(lines)-1]
				l.vertices = append(l.vertices, vertex{})
			}
		case code == 9:
			variable = value
		case code == 1 && variable == "$ACADVER":
			header[variable] = value
		case entity == "POLYLINE" && code == 8:
			lines[len(lines)-1].layer = value
		case entity == "POLYLINE" && code == 70:
			lines[len(lines)-1].closed = value == "1"
		case entity == "VERTEX":
			l := &lines[len(lines)-1]
			v := &l.vertices[len(l.vertices)-1]
			switch code {
			case 10:
				v.at.X = number()
			case 20:
				v.at.Y = number()
			case 42:
				v.bulge = number()
			}
		}
	}
	return lines, header
}

// pointsWithin is how near points keeps to the arcs in millimetres.
const pointsWithin = 1e-4

// points turns a polyline's lines and bulges into points, from the definition:
// the bulge is the tangent of a quarter of the included angle.
func (l polyline) points() []outline.Point {
	var out []outline.Point
	n := len(l.vertices)
	last := n
	if !l.closed {
		last--
	}
	for i := range last {
		a, b := l.vertices[i].at, l.vertices[(i+1)%n].at
		out = append(out, a)
		theta := 4 * math.Atan(l.vertices[i].bulge)
		if theta == 0 {
			continue
		}
		chord := b.Sub(a)
		r := chord.Norm() / 2 / math.Sin(theta/2) // signed
		mid := a.Lerp(b, 0.5)
		c := mid.Add(chord.Perp().Mul(r * math.Cos(theta/2) / chord.Norm()))
		n := int(math.Ceil(math.Abs(theta)/math.Sqrt(8*pointsWithin/math.Abs(r)))) + 1
		for k := 1; k < n; k++ {
			sin, cos := math.Sincos(theta * float64(k) / float64(n))
			v := a.Sub(c)
			out = append(out, c.Add(outline.Pt(v.X*cos-v.Y*sin, v.X*sin+v.Y*cos)))
		}
	}
	return append(out, l.vertices[last%n].at)
}

// farthest returns the greatest distance from one of the points to the line;
// both run along the same curve, so the search goes on from the last find.
func farthest(points, line []outline.Point) float64 {
	const reach = 400
	worst, at := 0.0, 1
	for _, p := range points {
		best, where := math.Inf(1), at
		search := func(from, to int) {
			for i := max(1, from); i < min(len(line), to); i++ {
				if d := p.DistanceToLine(line[i-1], line[i]); d < best {
					best, where = d, i
				}
			}
		}
		if search(at-reach, at+reach); best > worst {
			search(1, len(line))
		}
		at = where
		worst = max(worst, best)
	}
	return worst
}

// TestBulge: reference/trade.md, check 11 (Autodesk DXF Reference): a
// semicircle has bulge 1, a quarter 0.414214, clockwise negative; a circle is
// two vertices with bulge 1 and the closed flag.
func TestBulge(t *testing.T) {
	lines, _ := read(t, write(t, cutpath.Job{Strokes: []cutpath.Stroke{{Curve: circle(0, 0, 5).Curve(), Closed: true}}}, Options{}))
	require.Len(t, lines, 1)
	assert.True(t, lines[0].closed)
	require.Len(t, lines[0].vertices, 2)
	for _, v := range lines[0].vertices {
		assert.InDelta(t, 1, v.bulge, 1e-6)
	}
	// Clockwise.
	lines, _ = read(t, write(t, cutpath.Job{Strokes: []cutpath.Stroke{{Curve: circle(0, 0, 5).Reversed().Curve(), Closed: true}}}, Options{}))
	require.Len(t, lines[0].vertices, 2)
	assert.InDelta(t, -1, lines[0].vertices[0].bulge, 1e-6)
	// A quarter, and a half.
	q := circle(0, 0, 5).Curve()
	q.Segments = q.Segments[:1]
	lines, _ = read(t, write(t, cutpath.Job{Strokes: []cutpath.Stroke{{Curve: q}}}, Options{}))
	assert.False(t, lines[0].closed)
	require.Len(t, lines[0].vertices, 2)
	assert.InDelta(t, 0.414214, lines[0].vertices[0].bulge, 1e-6)
	assert.InDelta(t, math.Tan(math.Pi/8), lines[0].vertices[0].bulge, 1e-6)
}

// TestDeviation: the arcs stay within the tolerance of the curves and pass all
// of them, for many shapes and tolerances, with fewer vertices than chords.
func TestDeviation(t *testing.T) {
	at := outline.Pt
	curves := map[string]outline.Curve{
		"circle":              circle(10, 10, 40).Curve(),
		"leaf":                sheet().Decals[0].Path[2].Curve(),
		"wave":                {Start: at(0, 0), Segments: []outline.Segment{outline.CubicTo(at(30, 40), at(10, -40), at(40, 0))}},
		"loop":                {Start: at(0, 0), Segments: []outline.Segment{outline.CubicTo(at(60, 40), at(-20, 40), at(40, 0))}},
		"cusp":                {Start: at(0, 0), Segments: []outline.Segment{outline.CubicTo(at(40, 40), at(0, 40), at(40, 0))}},
		"straight":            {Start: at(0, 0), Segments: []outline.Segment{outline.CubicTo(at(10, 5), at(20, 10), at(40, 20))}},
		"there and back":      {Start: at(0, 0), Segments: []outline.Segment{outline.CubicTo(at(40, 0), at(40, 0), at(0, 0))}},
		"handles at the ends": {Start: at(0, 0), Segments: []outline.Segment{outline.CubicTo(at(0, 0), at(40, 30), at(40, 30))}},
		"parabola":            {Start: at(0, 0), Segments: []outline.Segment{outline.QuadTo(at(5, 60), at(40, 0))}},
		"closed drop":         {Start: at(0, 0), Segments: []outline.Segment{outline.CubicTo(at(50, 50), at(-50, 50), at(0, 0))}},
	}
	for name, c := range curves {
		for _, tol := range []units.Length{0.05, 0.002} {
			lines, _ := read(t, write(t, cutpath.Job{Strokes: []cutpath.Stroke{{Curve: c}}}, Options{Tolerance: tol, Decimals: 7}))
			require.Len(t, lines, 1)
			got := lines[0].points()
			fine := c.Flatten(nil, pointsWithin)
			assert.LessOrEqual(t, farthest(fine, got), float64(tol)*1.02+2*pointsWithin, "%s %v: the curve is missed", name, tol)
			assert.LessOrEqual(t, farthest(got, fine), float64(tol)*1.02+2*pointsWithin, "%s %v: the arcs stray", name, tol)
			assert.Equal(t, c.Start, got[0])
			assert.Equal(t, c.End(), got[len(got)-1])
			chords := len(c.Flatten(nil, tol))
			if tol < 0.05 && name != "straight" && name != "there and back" && name != "cusp" && name != "handles at the ends" {
				assert.Less(t, len(lines[0].vertices), chords/2, "%s %v", name, tol)
			}
		}
	}
}

func TestStructure(t *testing.T) {
	s := sheet()
	text := write(t, writertest.Plan(t, s), Options{})
	lines, header := read(t, text)
	assert.Equal(t, "AC1009", header["$ACADVER"])
	require.Len(t, lines, 5)
	assert.Contains(t, text, "999\nunits: millimetres")
	assert.True(t, strings.HasSuffix(text, "  0\nENDSEC\n  0\nEOF\n"))
	b := outline.EmptyBox()
	for _, l := range lines {
		if l.closed {
			first, last := l.vertices[0].at, l.vertices[len(l.vertices)-1].at
			assert.NotEqual(t, first, last, "the flag closes it, the first vertex is not repeated")
		}
		for _, p := range l.points() {
			b = b.Extend(p)
		}
	}
	want := s.Bounds()
	for _, d := range []float64{b.Min.X - want.Min.X, b.Min.Y - want.Min.Y, b.Max.X - want.Max.X, b.Max.Y - want.Max.Y} {
		assert.InDelta(t, 0, d, 0.006)
	}
	assert.Equal(t, "DEEP_BLUE", lines[0].layer)
	assert.Equal(t, "DEEP_BLUE_WEED_BORDER", lines[3].layer)
	assert.Equal(t, "DEEP_BLUE_TRIM_LINE", lines[4].layer)
	coloured, _ := read(t, write(t, writertest.Plan(t, s), Options{Layers: ByColour}))
	assert.Equal(t, "C_1D4ED8", coloured[0].layer)
	// Every layer used is in the table.
	for _, l := range lines {
		assert.Contains(t, text, "  0\nLAYER\n  2\n"+l.layer+"\n")
	}
}

func TestLayerNames(t *testing.T) {
	w := NewWriter(io.Discard, Options{})
	w.header.Film.Name = "Rot glänzend, 1a; very long name of a film"
	assert.Equal(t, "ROT_GL_NZEND__1A__VERY_LONG_NAM", w.layer("", cutpath.Decal))
	assert.LessOrEqual(t, len(w.layer("", cutpath.WeedBorder)), maxLayerName)
	w.header.Film.Name = ""
	assert.Equal(t, "FILM", w.layer("", cutpath.Decal))
}

func TestRefuses(t *testing.T) {
	job := writertest.Plan(t, sheet())
	for name, o := range map[string]Options{"Layers": {Layers: 7}, "Tolerance": {Tolerance: units.Length(math.NaN())}, "Decimals": {Decimals: 12}} {
		err := job.Write(NewWriter(io.Discard, o))
		require.ErrorIs(t, err, cutpath.ErrInvalidOption)
		assert.ErrorContains(t, err, name)
	}
	assert.ErrorIs(t, job.Write(NewWriter(io.Discard, Options{Tolerance: 1e-300})), cutpath.ErrInvalidOption, "a curve became 90 MB")
	bad := cutpath.Job{Strokes: []cutpath.Stroke{{Curve: outline.Polyline(outline.Pt(0, 0), outline.Pt(math.NaN(), 0))}}}
	assert.ErrorIs(t, bad.Write(NewWriter(io.Discard, Options{})), cutpath.ErrNotFinite)
	broken := errors.New("the disk is full")
	assert.ErrorIs(t, job.Write(NewWriter(writertest.Failing{Err: broken}, Options{})), broken)
}

func TestStreaming(t *testing.T) {
	var n writertest.Counter
	w := NewWriter(&n, Options{})
	require.NoError(t, w.Begin(cutpath.Header{}))
	s := cutpath.Stroke{Curve: sheet().Decals[0].Path[2].Curve(), Closed: true}
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	for n < 4<<20 {
		require.NoError(t, w.Stroke(s))
	}
	require.NoError(t, w.End())
	runtime.GC()
	runtime.ReadMemStats(&after)
	assert.Less(t, int64(after.HeapAlloc)-int64(before.HeapAlloc), int64(1<<19), "4 MB of output leave less than half a megabyte behind")
}

func BenchmarkWriter(b *testing.B) {
	s := cutpath.Stroke{Curve: sheet().Decals[0].Path[2].Curve(), Closed: true}
	var n writertest.Counter
	w := NewWriter(&n, Options{})
	require.NoError(b, w.Begin(cutpath.Header{}))
	b.ReportAllocs()
	for b.Loop() {
		if err := w.Stroke(s); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(n)/1e6/b.Elapsed().Seconds(), "MB/s")
}
