package hpgl

import (
	"bytes"
	"errors"
	"io"
	"math"
	"runtime"
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

// flag shape: an F, which shows any mirroring, with a round dot.
func sheet() layout.Sheet {
	dot := outline.Contour{Start: outline.Pt(38, 24), Segments: []outline.Segment{
		outline.QuadTo(outline.Pt(38, 28), outline.Pt(34, 28)), outline.QuadTo(outline.Pt(30, 28), outline.Pt(30, 24)),
		outline.QuadTo(outline.Pt(30, 20), outline.Pt(34, 20)), outline.QuadTo(outline.Pt(38, 20), outline.Pt(38, 24))}}
	return layout.Sheet{Name: "load-01", Film: layout.Film{Name: "blue", Colour: "#1d4ed8", Width: 70}, Length: 60,
		Decals:     []layout.PlacedDecal{{ID: "A-01", Design: "flag", Path: outline.Path{writertest.F(), dot}}},
		WeedBorder: outline.Path{writertest.Polygon(15, 15, 45, 15, 45, 60, 15, 60)},
		TrimLines:  []outline.Curve{outline.Polyline(outline.Pt(55, 0), outline.Pt(55, 70))}}
}

func write(t testing.TB, job cutpath.Job, opt Options) string {
	var b bytes.Buffer
	require.NoError(t, job.Write(NewWriter(&b, opt)))
	return b.String()
}

func TestGolden(t *testing.T) {
	// Straight edges only: how curves are flattened is package outline's.
	straight := sheet()
	straight.Decals[0].Path[1] = writertest.Polygon(38, 24, 36.828, 26.828, 34, 28, 31.172, 26.828, 30, 24, 31.172, 21.172, 34, 20, 36.828, 21.172)
	job := writertest.Plan(t, straight)
	for name, opt := range map[string]Options{
		"absolute": {},
		"relative": {Mode: Relative, MaxPairs: 3},
		"turned":   {Axes: FeedAlongY, Pen: 2, Speed: 300 * units.MillimetrePerSecond, Force: 3, Before: "ZA1;", After: "ZB;"},
	} {
		got := write(t, job, opt)
		assert.Equal(t, got, write(t, job, opt), "the same to the byte")
		writertest.Golden(t, name+".plt.golden", got)
	}
}

// TestUnits: reference/trade.md, checks 8 and 10 (HP 7470A manual; HP-GL/2
// reference guide, 1996): 127 mm and 5 in are 5080 units, 12 in 12192, 0.25 mm
// 10; a factor of 1000 to the inch would be 2 mm short on 5 in.
func TestUnits(t *testing.T) {
	for _, c := range []struct {
		length units.Length
		want   string
	}{{127, "PD5080,0;"}, {5 * units.Inch, "PD5080,0;"}, {12 * units.Inch, "PD12192,0;"}, {0.25, "PD10,0;"}} {
		job := cutpath.Job{Strokes: []cutpath.Stroke{{Curve: outline.Polyline(outline.Pt(0, 0), outline.Pt(float64(c.length), 0))}}}
		assert.Contains(t, write(t, job, Options{}), c.want)
	}
	f, err := Read(strings.NewReader("IN;PU0,0;PD5080,0;PU;"))
	require.NoError(t, err)
	assert.InDelta(t, 127, f.Bounds().Width(), 1e-9)
	f, err = Read(strings.NewReader("IN;PU0,0;PD5000,0;PU;"))
	require.NoError(t, err)
	assert.Greater(t, math.Abs(f.Bounds().Width()-127), 0.1, "the wrong factor is seen")
	assert.InDelta(t, 125, f.Bounds().Width(), 1e-9)
}

// TestRange: reference/trade.md, check 9 (HP 7470A): ±32767 units are
// 819.175 mm; a 900 mm strip is refused, split or sent relative.
func TestRange(t *testing.T) {
	assert.InDelta(t, 819.175, ClassicLimit*float64(Unit), 1e-9)
	line := func(x0, x1 float64) cutpath.Job {
		return cutpath.Job{Name: "load-01", Strokes: []cutpath.Stroke{{Role: cutpath.TrimLine, Curve: outline.Polyline(outline.Pt(x0, 0), outline.Pt(x1, 0))}}}
	}
	assert.Contains(t, write(t, line(0, 819.175), Options{}), "PD32767,0;")
	var e *cutpath.Error
	err := line(0, 900).Write(NewWriter(io.Discard, Options{}))
	require.ErrorAs(t, err, &e)
	assert.ErrorIs(t, err, cutpath.ErrRange)
	assert.Equal(t, outline.Pt(900, 0), e.At)
	assert.ErrorContains(t, err, "36000 units of ±32767 (819.175 mm)")
	assert.NotEmpty(t, e.Fix)
	assert.ErrorContains(t, err, "trim line, contour 0, at (900.000, 0.000) mm")
	assert.Contains(t, write(t, line(0, 900), Options{Range: Wide}), "PD36000,0;")
	// Relative: steps below the limit may lead anywhere, one above is refused.
	steps := cutpath.Job{Strokes: []cutpath.Stroke{{Curve: outline.Polyline(outline.Pt(0, 0), outline.Pt(450, 0), outline.Pt(900, 0))}}}
	out := write(t, steps, Options{Mode: Relative})
	f, err := Read(strings.NewReader(out))
	require.NoError(t, err)
	assert.InDelta(t, 900, f.Bounds().Width(), 1e-9)
	require.ErrorIs(t, line(0, 900).Write(NewWriter(io.Discard, Options{Mode: Relative})), cutpath.ErrRange)
	// Split into two jobs, each within range.
	parts, err := line(0, 900).Split(800)
	require.NoError(t, err)
	require.Len(t, parts, 2)
	total := 0.0
	for _, p := range parts {
		f, err := Read(strings.NewReader(write(t, p, Options{})))
		require.NoError(t, err)
		total += f.Bounds().Width()
	}
	assert.InDelta(t, 900, total, 1e-9)
	for _, x := range []float64{math.NaN(), math.Inf(1), -1e12} {
		require.ErrorIs(t, line(0, x).Write(NewWriter(io.Discard, Options{Range: Wide})), cutpath.ErrRange)
	}
}

// TestRoundTrip: what is read back lies within half a unit of what was cut, on
// either axis, in every mode.
func TestRoundTrip(t *testing.T) {
	job := writertest.Plan(t, sheet())
	for _, opt := range []Options{{}, {Mode: Relative}, {MaxPairs: 1}, {Mode: Relative, MaxPairs: 2}, {Axes: FeedAlongY}} {
		f, err := Read(strings.NewReader(write(t, job, opt)))
		require.NoError(t, err)
		assert.Empty(t, f.Warnings)
		require.Len(t, f.Strokes, len(job.Strokes))
		for i, s := range job.Strokes {
			want := s.Curve
			if opt.Axes == FeedAlongY {
				// A turn, not a mirror image: (x, y) -> (width - y, x).
				want = want.Transform(outline.Transform{XY: -1, X0: 70, YX: 1})
			}
			a, b := want.Bounds(), f.Strokes[i].Curve.Bounds()
			for _, d := range []float64{a.Min.X - b.Min.X, a.Min.Y - b.Min.Y, a.Max.X - b.Max.X, a.Max.Y - b.Max.Y} {
				assert.LessOrEqual(t, math.Abs(d), float64(Unit)/2*2+1e-9) // rounding and chords
			}
			got := f.Strokes[i].Curve
			if s.Closed {
				assert.Equal(t, got.Start, got.End(), "closed stays closed")
				// The direction of turning tells a mirror image.
				assert.Equal(t, want.Closed().Area() > 0, got.Closed().Area() > 0)
				assert.InDelta(t, float64(want.Closed().Area()), float64(got.Closed().Area()), 3)
			}
		}
	}
}

// TestNoDrift: 10,000 steps of a third of a unit end where they should, in
// both modes.
func TestNoDrift(t *testing.T) {
	c := outline.Curve{}
	for i := range 10000 {
		c.Segments = append(c.Segments, outline.LineTo(outline.Pt(float64(i+1)*0.025/3, 0)))
	}
	job := cutpath.Job{Strokes: []cutpath.Stroke{{Curve: c}}}
	for _, m := range []Mode{Absolute, Relative} {
		f, err := Read(strings.NewReader(write(t, job, Options{Mode: m})))
		require.NoError(t, err)
		assert.InDelta(t, 10000*0.025/3, f.Bounds().Max.X, 0.0125+1e-9)
	}
}

func TestCommandsStayShort(t *testing.T) {
	out := write(t, writertest.Plan(t, sheet()), Options{})
	for _, c := range strings.Split(out, ";") {
		assert.Less(t, len(c), 250)
		assert.LessOrEqual(t, strings.Count(c, ","), 2*DefaultMaxPairs)
	}
	assert.NotContains(t, out, "VS")
	assert.NotContains(t, out, "FS")
}

func TestReturnHome(t *testing.T) {
	job := writertest.Plan(t, sheet())
	job.Home, job.Return = outline.Pt(5, 2), true
	assert.True(t, strings.HasSuffix(write(t, job, Options{}), "PU200,80;SP0;\n"))
}

func TestOptionsRefused(t *testing.T) {
	job := writertest.Plan(t, sheet())
	for _, c := range []struct {
		name string
		opt  Options
	}{
		{"Mode", Options{Mode: 5}}, {"Range", Options{Range: 5}}, {"Axes", Options{Axes: 5}}, {"Pen", Options{Pen: -1}}, {"Pen", Options{Pen: ClassicLimit + 1}},
		{"Speed", Options{Speed: units.Speed(math.NaN())}}, {"Speed", Options{Speed: 1e300}}, {"Speed", Options{Speed: -1}},
		{"Force", Options{Force: -1}}, {"Force", Options{Force: ClassicLimit + 1}}, {"Tolerance", Options{Tolerance: -1}}, {"MaxPairs", Options{MaxPairs: -1}},
	} {
		var b bytes.Buffer
		err := job.Write(NewWriter(&b, c.opt))
		require.ErrorIs(t, err, cutpath.ErrInvalidOption, c.name)
		assert.ErrorContains(t, err, c.name+" is ")
		var e *cutpath.Error
		require.ErrorAs(t, err, &e)
		assert.NotEmpty(t, e.Fix)
		assert.Zero(t, b.Len(), "nothing is written")
	}
}

// TestReadCommands: commands as the HP 7470A manual describes them.
func TestReadCommands(t *testing.T) {
	for _, c := range []struct {
		name, in string
		strokes  int
		w, h     float64 // units
		warnings int
	}{
		{"lower case, no separators", "in;sp1;pa0 0;pd400 0 400 400;pu", 1, 400, 400, 0},
		{"letters end a command", "INSP2PA0,0PD100,0PU", 1, 100, 0, 0},
		{"relative in between", "PA10,10;PD;PR10,0,0,10;PA0,0;", 1, 20, 20, 0},
		{"PA draws while down", "PU0,0;PD;PA40,0;PA40,40;", 1, 40, 40, 0},
		{"unpaired number", "PU0,0;PD40,0,80;PU;", 1, 40, 0, 1},
		{"circle", "PU100,100;CI40;", 1, 80, 80, 0},
		{"arc", "PU40,0;PD;AA0,0,90;PU", 1, 40, 40, 0},
		{"relative arc", "PU40,0;PD;AR-40,0,180,5;PU", 1, 80, 40, 0},
		{"rectangles", "PU0,0;EA40,20;ER10,10;", 2, 40, 20, 0},
		{"label", "PU0,0;LBPD900,900;\x03PD10,0;", 1, 10, 0, 1},
		{"label with its own end", "DT#;LBabc#PU0,0;PD10,0;", 1, 10, 0, 1},
		{"device control", "\x1b.(\x1b.I81;;17:IN;PU0,0;PD10,0;", 1, 10, 0, 2},
		{"unknown", "QQ1,2,3;PU0,0;PD10,0;", 1, 10, 0, 1},
		{"scaling is reported", "SC0,100,0,100;PU0,0;PD10,0;", 1, 10, 0, 1},
		{"encoded", "PE<=abc;PU0,0;PD10,0;", 1, 10, 0, 1},
		{"pen change lifts", "PU0,0;PD10,0;SP2;PD10,10;PU", 2, 10, 10, 0},
		{"fractions", "PU0.5,0;PD10.5,-.5;", 1, 10, 0.5, 0},
		{"nothing drawn", "IN;SP0;", 0, 0, 0, 0},
		{"empty", "", 0, 0, 0, 0},
	} {
		f, err := Read(strings.NewReader(c.in))
		require.NoError(t, err, c.name)
		assert.Len(t, f.Strokes, c.strokes, c.name)
		assert.Len(t, f.Warnings, c.warnings, "%s: %v", c.name, f.Warnings)
		assert.InDelta(t, c.w*0.025, f.Bounds().Width(), 0.005, c.name)
		assert.InDelta(t, c.h*0.025, f.Bounds().Height(), 0.005, c.name)
	}
}

func TestReadRefuses(t *testing.T) {
	for in, cause := range map[string]error{
		"<svg/>":                        ErrSyntax,
		"I":                             ErrSyntax,
		"I9;":                           ErrSyntax,
		"PU1..2,3;":                     ErrSyntax,
		"PU-,3;":                        ErrSyntax,
		"PU\x01":                        ErrSyntax,
		"PU1e9,2;":                      ErrSyntax, // HP-GL has no exponents
		"PU99999999999,0;":              ErrTooLarge,
		"\n\n\n":                        ErrSyntax,
		"PU1" + strings.Repeat("0", 90): ErrSyntax,
		"PR900000000,0;PR900000000,0;":  ErrTooLarge,
	} {
		_, err := Read(strings.NewReader(in))
		require.ErrorIs(t, err, cause, "%q", in)
		var e *ReadError
		require.ErrorAs(t, err, &e)
		assert.ErrorContains(t, err, "byte ")
	}
	broken := errors.New("the disk is gone")
	_, err := Read(io.MultiReader(strings.NewReader("IN;PU"), writertest.Failing{Err: broken}))
	assert.ErrorIs(t, err, broken)
}

// What a hostile file may cost is bounded by the numbers that are named, to the
// very point and parameter.
func TestReadIsBounded(t *testing.T) {
	numbers := func(n int) io.Reader {
		return io.MultiReader(strings.NewReader("PU"), strings.NewReader(strings.Repeat("1,", n)), strings.NewReader(";PD1,1;"))
	}
	f, err := Read(numbers(MaxParameters))
	require.NoError(t, err)
	assert.Len(t, f.Strokes, 1)
	_, err = Read(numbers(MaxParameters + 1))
	require.ErrorIs(t, err, ErrTooLarge)
	assert.ErrorContains(t, err, "byte 0: PU")
	assert.ErrorContains(t, err, "write it as several")

	// Points: the count is set near its end, for 20 million take a while.
	for name, c := range map[string]struct {
		in     string
		points int
	}{
		"lines":     {"PD1,1,2,2,3,3;", 3},
		"strokes":   {"PD1,1;PU;PD2,2;", 2},
		"circle":    {"CI40;", 72},
		"fine":      {"CI40,0.36;", 1000},
		"too fine":  {"CI40,0.0001;", 72}, // the usual step instead
		"arc":       {"PU40,0;PD;AA0,0,90;", 18},
		"turns":     {"PU40,0;PD;AA0,0,100000000;", 72}, // one round draws them all
		"rectangle": {"EA40,20;", 4},
		"lifted":    {"PU1,1,2,2,3,3;", 0},
	} {
		p := newParser(strings.NewReader(c.in))
		p.count = MaxPoints - c.points
		_, err := p.read()
		require.NoError(t, err, name)
		if c.points == 0 {
			continue
		}
		p = newParser(strings.NewReader(c.in))
		p.count = MaxPoints - c.points + 1
		f, err := p.read()
		require.ErrorIs(t, err, ErrTooLarge, name)
		assert.Nil(t, f)
		var e *ReadError
		require.ErrorAs(t, err, &e)
		assert.Contains(t, e.Detail, "in parts")
	}
}

func TestWriteErrorsComeBack(t *testing.T) {
	broken := errors.New("the disk is full")
	assert.ErrorIs(t, writertest.Plan(t, sheet()).Write(NewWriter(writertest.Failing{Err: broken}, Options{})), broken)
}

// TestStreaming: 20 MB of output leave the writer's memory as it was; 1 GB
// was written by hand the same way, see BenchmarkWriter.
func TestStreaming(t *testing.T) {
	var n writertest.Counter
	w := NewWriter(&n, Options{})
	require.NoError(t, w.Begin(cutpath.Header{}))
	s := cutpath.Stroke{Curve: outline.Curve{}}
	for i := range 2000 {
		s.Curve.Segments = append(s.Curve.Segments, outline.LineTo(outline.Pt(float64(i%800)+0.5, float64(i%7)*100)))
	}
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	for n < 20<<20 {
		require.NoError(t, w.Stroke(s))
	}
	require.NoError(t, w.End())
	runtime.ReadMemStats(&after)
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(1<<20), "20 MB of output, less than 1 MB of memory ever asked for")
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{"IN;SP1;PU400,400;PD800,400;PU;SP0;", "PR1,1;PD;CI40,1;AA1,2,3;", "LBx\x03;DT#;\x1b.I81;;17:", "ER1,1;EA5,5", "PE;;PU.1.,"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Read(bytes.NewReader(data))
		if err != nil {
			if file != nil {
				t.Fatal("a file together with an error")
			}
			return
		}
		// Whatever was read can be written and reads back the same, to the unit.
		job := cutpath.Job{}
		for _, s := range file.Strokes {
			if b := s.Curve.Bounds(); !(b.Width() < 1e5 && b.Height() < 1e5 && math.Abs(b.Min.X) < 1e5 && math.Abs(b.Min.Y) < 1e5) {
				return
			}
			job.Strokes = append(job.Strokes, cutpath.Stroke{Curve: s.Curve})
		}
		var b bytes.Buffer
		if err := job.Write(NewWriter(&b, Options{Range: Wide})); err != nil {
			t.Fatal(err)
		}
		again, err := Read(&b)
		if err != nil {
			t.Fatal(err)
		}
		old, now := file.Bounds(), again.Bounds()
		if len(again.Strokes) > len(file.Strokes) || (len(again.Strokes) == len(file.Strokes) && !old.IsEmpty() &&
			(math.Abs(old.Min.X-now.Min.X) > 0.0126 || math.Abs(old.Max.Y-now.Max.Y) > 0.0126)) {
			t.Fatalf("%v became %v", old, now)
		}
	})
}

func BenchmarkWriter(b *testing.B) {
	s := cutpath.Stroke{}
	for i := range 10000 {
		s.Curve.Segments = append(s.Curve.Segments, outline.LineTo(outline.Pt(float64(i%800)+0.5, float64(i%7)*100)))
	}
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

// TestTipSurvivesRounding: a compensated way, written in whole plotter units and
// read back, still leads the tip (integrated as a tractrix, in steps of 2 µm)
// within 0.02 mm of the artwork.
func TestTipSurvivesRounding(t *testing.T) {
	const offset = 0.25
	job := writertest.Plan(t, sheet())
	cut, err := job.For(cutpath.Device{Knife: cutpath.Knife{Offset: offset, Overcut: 0.5}})
	require.NoError(t, err)
	f, err := Read(strings.NewReader(write(t, cut, Options{})))
	require.NoError(t, err)
	require.Len(t, f.Strokes, len(job.Strokes))
	heading := outline.Pt(1, 0)
	worst := 0.0
	for i, s := range f.Strokes {
		flat := job.Strokes[i].Curve.Flatten(nil, 0.001)
		axis := s.Curve.Flatten(nil, 0)
		tip := axis[0].Sub(heading.Mul(offset))
		for k := 1; k < len(axis); k++ {
			n := int(axis[k].Distance(axis[k-1])/0.002) + 1
			for m := 1; m <= n; m++ {
				p := axis[k-1].Lerp(axis[k], float64(m)/float64(n))
				v := p.Sub(tip)
				heading = v.Mul(1 / v.Norm())
				tip = p.Sub(heading.Mul(offset))
				if m%50 != 0 {
					continue
				}
				best := math.Inf(1)
				for j := 1; j < len(flat); j++ {
					a, b := flat[j-1], flat[j]
					w := b.Sub(a)
					u := max(0, min(1, tip.Sub(a).Dot(w)/w.Dot(w)))
					best = min(best, tip.Distance(a.Add(w.Mul(u))))
				}
				worst = max(worst, best)
			}
		}
	}
	t.Logf("tip within %.4f mm of the artwork", worst)
	assert.Less(t, worst, 0.02)
}
