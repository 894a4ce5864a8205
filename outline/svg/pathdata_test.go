package svg_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
)

func parse(t *testing.T, d string) []svg.Subpath {
	t.Helper()
	s, err := svg.ParsePathData(d)
	require.NoError(t, err, d)
	return s
}

// The grammar's examples: W3C SVG 2 (CR 2018), 9.3.9 and the figures of 9.3.
// Each line is one drawing, spelled in several ways.
func TestPathDataSpellings(t *testing.T) {
	for _, same := range [][]string{
		{"M 100 100 L 200 200", "M100 100L200 200", "m100,100 100,100", "M100,100,200,200", "\n\tM100 ,100\rL2e2 +200"},
		{"M 100 200 L 200 100 L -100 -200", "M 100 200 L 200 100 -100 -200", "M100 200 200 100-100-200", "m100 200 100-100-300-300"},
		{"M100-200L1 1", "M 100,-200 1 1"},
		{"M 0.6 0.5 L 1 1", "M0.6.5 1 1", "M.6.5.1e1 10E-1", "M6e-1.05e1l.4.5"},
		{"M 100 100 L 300 100 L 200 300 z", "M100,100H300L200,300Z", "m100 100h200l-100 200z", "M100 100H300 L200,300 z"},
		{"M0 0H10H20V5V10", "M0 0H10 20V5 10", "m0 0h10 10v5 5"},
		{"M100,200 C100,100 250,100 250,200 S400,300 400,200", "M100,200C100,100,250,100,250,200C250,300,400,300,400,200", "m100,200c0,-100 150,-100 150,0s150,100 150,0"},
		{"M200,300 Q400,50 600,300 T1000,300", "M200,300Q400,50 600,300Q800,550 1000,300", "m200,300q200,-250 400,0t400,0"},
		// A smooth command after another one starts at the current point.
		{"M10 10S20 20 30 10", "M10 10C10 10 20 20 30 10"},
		{"M10 10T30 10", "M10 10Q10 10 30 10"},
		{"M10 10Q20 20 30 10S40 20 50 10", "M10 10Q20 20 30 10C30 10 40 20 50 10"},
		// After closepath drawing goes on from the start, in a new subpath.
		{"M10 10H20V20zL30 30", "m10 10h10v10Z l20 20", "M10 10H20V20z M10 10L30 30"},
		{"M10 10H20V20zm5 5h1", "M10 10H20V20z M15 15H16"},
		// Flags need no separator: SVG 2, 9.3.9.
		{"M0 0 A5 5 0 0 1 10 0", "M0 0A5,5 0 0,1 10,0", "M0 0a5 5 0 0110 0", "M0 0a5 5 0 01 10 0", "M0 0A5 5 0 0 110 0"},
	} {
		first := parse(t, same[0])
		for _, d := range same[1:] {
			got := parse(t, d)
			require.Equal(t, len(first), len(got), d)
			for i := range first {
				require.Equal(t, first[i].Closed, got[i].Closed, d)
				requireNear(t, first[i].Curve, got[i].Curve, 1e-12, d)
			}
		}
	}
}

func requireNear(t *testing.T, want, got outline.Curve, within float64, about string) {
	t.Helper()
	require.Equal(t, len(want.Segments), len(got.Segments), about)
	require.LessOrEqual(t, want.Start.Distance(got.Start), within, about)
	for i, s := range want.Segments {
		g := got.Segments[i]
		require.Equal(t, s.Kind, g.Kind, about)
		require.LessOrEqual(t, s.End.Distance(g.End), within, about)
		require.LessOrEqual(t, s.C1.Distance(g.C1), within, about)
		require.LessOrEqual(t, s.C2.Distance(g.C2), within, about)
	}
}

func TestPathDataFaults(t *testing.T) {
	for _, c := range []struct {
		d      string
		offset int
	}{
		{"L10 10", 0},
		{"10 10", 0},
		{"M10", 3},
		{"M10 10 L", 8},
		{"M10 10 L 20,20,30", 17}, // SVG 2, 9.5.4: a browser draws up to here
		{"M10 10,L20 20", 6},
		{"M10 10 20 20,", 12},
		{"M10 10 B 20 20", 7},
		{"M10,,10", 4},
		{"M10 10 A5 5 0 2 0 20 20", 14},
		{"M10 10 A5 5 0 0", 15},
		{"M1e400 0", 1},
		{"M9999999 0", 1},
		{"M1 1 L.", 6},
		{"M1 1 L1 e5", 8},
		{"M1 1 L1-", 7},
		{"M1 1 z 5 5", 7},
		{"M1 1 C 1 1 2 2", 14},
		{"M1 1\u00a0L2 2", 4},
	} {
		got, err := svg.ParsePathData(c.d)
		assert.Nil(t, got, c.d)
		var fault *svg.ReadError
		require.ErrorAs(t, err, &fault, c.d)
		assert.Equal(t, c.offset, fault.Offset, "%s: %v", c.d, err)
		assert.Equal(t, "d", fault.Attribute)
		if strings.ContainsAny(c.d, "9") && !strings.Contains(c.d, "20") || strings.Contains(c.d, "e400") {
			assert.ErrorIs(t, err, svg.ErrTooFar, c.d)
		} else {
			assert.ErrorIs(t, err, svg.ErrSyntax, c.d)
		}
	}
}

func TestPathDataEmpty(t *testing.T) {
	for _, d := range []string{"", "  ", "M1 1", "M1 1 2", "M1 1M2 2"} {
		got, err := svg.ParsePathData(d)
		if d == "M1 1 2" {
			assert.Error(t, err)
			continue
		}
		assert.NoError(t, err, d)
		assert.Empty(t, got, d)
	}
	// A closed point is kept: round caps make it a dot.
	got := parse(t, "M1 2z")
	require.Len(t, got, 1)
	assert.True(t, got[0].Closed)
	assert.Equal(t, outline.Pt(1, 2), got[0].Start)
}

// The pies of W3C SVG 2, figure arcs01: three quarters and one quarter of a
// circle of radius 150.
func TestArcAreas(t *testing.T) {
	for _, c := range []struct {
		d     string
		share float64
	}{
		{"M300,200 h-150 a150,150 0 1,0 150,-150 z", 0.75},
		{"M275,175 v-150 a150,150 0 0,0 -150,150 z", 0.25},
	} {
		area := math.Abs(float64(parse(t, c.d)[0].Curve.Closed().Area()))
		// The border may lie 0.005 off along its length.
		assert.InDelta(t, c.share*math.Pi*150*150, area, 0.005*c.share*2*math.Pi*150, c.d)
	}
}

// The four arcs from (125, 75) to (225, 125) with radii 100 and 50, SVG 2,
// 9.3.8: both ellipses through the points, large or small, either way round.
func TestArcFlags(t *testing.T) {
	// The centres solve the two ellipse equations: in units of the radii the
	// points are (1.25, 1.5) and (2.25, 2.5), a chord of √2, so the centres lie
	// at the square's other corners, (1.25, 2.5) and (2.25, 1.5).
	for _, c := range []struct {
		flags  string
		cx, cy float64
		sweep  float64 // quarter turns, positive clockwise as seen
	}{
		{"0,0", 225, 75, -1}, {"0,1", 125, 125, 1}, {"1,0", 125, 125, -3}, {"1,1", 225, 75, 3},
	} {
		s := parse(t, "M125,75 a100,50 0 "+c.flags+" 100,50")[0]
		turned := 0.0
		last := math.Atan2((75-c.cy)/50, (125-c.cx)/100)
		for i := range s.Segments {
			at := s.Start
			if i > 0 {
				at = s.Segments[i-1].End
			}
			for k := 1; k <= 16; k++ {
				p := s.Segments[i].At(at, float64(k)/16)
				u, v := (p.X-c.cx)/100, (p.Y-c.cy)/50
				assert.InDelta(t, 1, math.Hypot(u, v), 0.005/50, c.flags)
				angle := math.Atan2(v, u)
				turned += math.Remainder(angle-last, 2*math.Pi)
				last = angle
			}
		}
		assert.InDelta(t, c.sweep, turned/(math.Pi/2), 1e-9, c.flags)
	}
}

// Radii out of range, SVG 1.1, appendix F.6.6.
func TestArcRadiiOutOfRange(t *testing.T) {
	assert.Equal(t, parse(t, "M0 0L10 5"), parse(t, "M0 0A0 5 0 0 0 10 5"), "a zero radius is a line")
	assert.Empty(t, parse(t, "M0 0A5 5 0 0 0 0 0"), "equal ends draw nothing")
	// Too small: scaled up to a half circle, here of radius 5 and area 12.5π.
	for _, d := range []string{"M0 0A1 1 0 0 0 10 0z", "M0 0A5 5 0 0 0 10 0z", "M0 0A-1 -1 0 1 0 10 0z"} {
		assert.InDelta(t, 12.5*math.Pi, math.Abs(float64(parse(t, d)[0].Curve.Closed().Area())), 0.005*5*math.Pi, d)
	}
}

func TestPathDataRoundTrip(t *testing.T) {
	p := outline.Path{
		{Start: outline.Pt(0.1, -0.2), Segments: []outline.Segment{
			outline.LineTo(outline.Pt(1e-7, 3)), outline.QuadTo(outline.Pt(1.0/3, 7), outline.Pt(9, 1e5)),
			outline.CubicTo(outline.Pt(1, 2), outline.Pt(math.Pi, 4), outline.Pt(0.1, -0.2)),
		}},
		outline.Polygon(outline.Pt(1, 1), outline.Pt(2, 1), outline.Pt(1.5, 3)),
	}
	got := parse(t, svg.PathData(p))
	require.Len(t, got, 2)
	for i := range p {
		assert.True(t, got[i].Closed)
		assert.Equal(t, p[i].Curve(), got[i].Curve)
	}
	c := outline.Polyline(outline.Pt(5, 5), outline.Pt(1, 2), outline.Pt(5, 5))
	open := parse(t, svg.CurveData(c))
	require.Len(t, open, 1)
	assert.False(t, open[0].Closed)
	assert.Equal(t, c, open[0].Curve)
}

func FuzzParsePathData(f *testing.F) {
	for _, d := range []string{
		"M0.6.5", "M 100 100 L 300 100 L 200 300 z", "M100,200 C100,100 250,100 250,200 S400,300 400,200",
		"M300,200 h-150 a150,150 0 1,0 150,-150 z", "m1e3-2.5.5 1 1t4 4zm0 0H3v-2", "M0 0a5 5 0 0110 0", "M1 1zM2 2z", "",
	} {
		f.Add(d)
	}
	f.Fuzz(func(t *testing.T, d string) {
		got, err := svg.ParsePathData(d)
		if err != nil {
			var fault *svg.ReadError
			require.ErrorAs(t, err, &fault)
			require.Nil(t, got)
			require.LessOrEqual(t, fault.Offset, len(d))
			return
		}
		for _, s := range got {
			if s.Closed {
				require.Equal(t, s.Start, s.End())
			}
			// What was read can be written and read to the same bits, as long as
			// coordinates stay in what is read.
			far := false
			for _, g := range s.Segments {
				for _, p := range []outline.Point{s.Start, g.C1, g.C2, g.End} {
					require.True(t, p.IsFinite())
					far = far || math.Abs(p.X) > svg.MaxCoordinate || math.Abs(p.Y) > svg.MaxCoordinate
				}
			}
			if far || len(s.Segments) == 0 {
				continue
			}
			again, err := svg.ParsePathData(svg.CurveData(s.Curve))
			require.NoError(t, err)
			require.Len(t, again, 1)
			require.Equal(t, normal(s.Curve), again[0].Curve)
		}
	})
}

// normal returns c with negative zeros made positive, as they are written.
func normal(c outline.Curve) outline.Curve {
	c = c.Transform(outline.Identity())
	zero := func(p *outline.Point) { p.X += 0; p.Y += 0 }
	zero(&c.Start)
	for i := range c.Segments {
		s := &c.Segments[i]
		zero(&s.C1)
		zero(&s.C2)
		zero(&s.End)
		if s.Kind == outline.Line {
			s.C1 = outline.Point{}
		}
		if s.Kind != outline.Cubic {
			s.C2 = outline.Point{}
		}
	}
	return c
}

// ParsePath gives back what PathData wrote, bit for bit, and closes what is open.
func TestParsePathReadsPathData(t *testing.T) {
	third := 1.0 / 3
	want := outline.Path{
		{Start: outline.Pt(third, 0), Segments: []outline.Segment{
			outline.LineTo(outline.Pt(10, 0)), outline.QuadTo(outline.Pt(15, 5), outline.Pt(10, 10)),
			outline.CubicTo(outline.Pt(8, 12), outline.Pt(2, 12), outline.Pt(third, 0))}},
		outline.Rectangle(outline.Box{Min: outline.Pt(-2, -2), Max: outline.Pt(-1, -1)}),
	}
	got, err := svg.ParsePath(svg.PathData(want))
	require.NoError(t, err)
	assert.Equal(t, want, got)

	open, err := svg.ParsePath("M0 0H10V10")
	require.NoError(t, err)
	closed, err := svg.ParsePath("M0 0H10V10Z")
	require.NoError(t, err)
	assert.Equal(t, closed, open)
	require.NoError(t, open.Check())

	none, err := svg.ParsePath("")
	require.NoError(t, err)
	assert.Empty(t, none)
	_, err = svg.ParsePath("M0 0L1")
	var fault *svg.ReadError
	require.ErrorAs(t, err, &fault)
}
