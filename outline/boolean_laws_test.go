package outline

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/units"
)

// checkLaws holds two paths against the laws of sets.
func checkLaws(t testing.TB, a, b Path) {
	opt := BooleanOptions{MinArea: -1}
	must := func(p Path, err error) Path {
		t.Helper()
		require.NoError(t, err)
		require.NoError(t, p.Check())
		return p
	}
	wa, wb := must(Weld([]Path{a}, opt)), must(Weld([]Path{b}, opt))
	union := must(Weld([]Path{a, b}, opt))
	both := must(Intersect([]Path{a, b}, opt))
	aOnly := must(Subtract(a, []Path{b}, opt))
	xor := must(SymmetricDifference([]Path{a, b}, opt))
	// Areas are as exact as borders: within tolerance along their length.
	length := wa.Length(0) + wb.Length(0)
	slack := 1e-9 + 4*float64(DefaultTolerance)*float64(length)
	area := func(p Path) float64 { return float64(p.Area()) }
	require.InDelta(t, area(wa)+area(wb), area(union)+area(both), slack, "A∪B + A∩B = A + B")
	require.InDelta(t, area(wa), area(aOnly)+area(both), slack, "A-B + A∩B = A")
	require.InDelta(t, area(union), area(xor)+area(both), slack, "A xor B + A∩B = A∪B")
	require.InDelta(t, 0, area(must(Intersect([]Path{aOnly, b}, opt))), slack, "A-B and B are disjoint")
	require.InDelta(t, area(wa), area(must(Weld([]Path{a, a}, opt))), slack, "A∪A = A")
	require.InDelta(t, area(union), area(must(Weld([]Path{union}, opt))), slack, "welded twice is welded once")
}

func TestBooleanLaws(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 9))
	for range 25 {
		checkLaws(t, randomPath(rng, 1+rng.IntN(2), 3+rng.IntN(4), 30), randomPath(rng, 1+rng.IntN(2), 3+rng.IntN(4), 30))
	}
}

// A welded path comes back as it is, curves and origins bit for bit.
func TestWeldOfWeldedIsIdentity(t *testing.T) {
	for _, glyph := range textLine(t, "Marlow&8", 25, 0) {
		once, err := Weld([]Path{glyph}, BooleanOptions{})
		require.NoError(t, err)
		assert.InDelta(t, math.Abs(float64(glyph.Area())), float64(once.Area()), 1e-9)
		assert.Equal(t, glyph.Nodes(), once.Nodes(), "no node more or less")
		twice, err := Weld([]Path{once, once}, BooleanOptions{})
		require.NoError(t, err)
		again, err := Weld([]Path{once}, BooleanOptions{})
		require.NoError(t, err)
		assert.Equal(t, once, again)
		assert.InDelta(t, float64(once.Area()), float64(twice.Area()), 1e-9)
		assert.Equal(t, once.Nodes(), twice.Nodes())
	}
}

// The result of a weld has the input's curves: about as many nodes as the input
// and two for each crossing, origins kept, crossings on both curves.
func TestWeldKeepsCurves(t *testing.T) {
	a, b := Path{testDisc(0, 0, 10)}.WithOrigin(1), Path{testDisc(9, 1, 7)}.WithOrigin(2)
	var report BooleanReport
	p, err := Weld([]Path{a, b}, BooleanOptions{Report: &report})
	require.NoError(t, err)
	require.Len(t, p, 1)
	assert.Equal(t, 2, report.Crossings)
	assert.Zero(t, report.KeptChords)
	assert.LessOrEqual(t, p.Nodes(), a.Nodes()+b.Nodes()+2*report.Crossings)
	seen := map[int32]bool{}
	for _, s := range p[0].Segments {
		assert.Equal(t, Cubic, s.Kind)
		seen[s.Origin] = true
	}
	assert.Equal(t, map[int32]bool{1: true, 2: true}, seen)
	for _, q := range p[0].Flatten(nil, 0.001) {
		d := min(borderDistance(a, q), borderDistance(b, q))
		assert.LessOrEqual(t, d, 1e-9, "on one of the circles, exactly")
	}
	// Two circles' union in closed form, less what the cubics are off.
	lens := func(r, s, d float64) float64 {
		x := (d*d + r*r - s*s) / (2 * d)
		return r*r*math.Acos(x/r) - x*math.Sqrt(r*r-x*x) + s*s*math.Acos((d-x)/s) - (d-x)*math.Sqrt(s*s-(d-x)*(d-x))
	}
	want := math.Pi*(100+49) - lens(10, 7, math.Hypot(9, 1))
	assert.InEpsilon(t, want, float64(p.Area()), 5e-4)
}

// Overlapping contours of one path, by both rules.
func TestFillRules(t *testing.T) {
	p := Path{testSquare(0, 0, 10), testSquare(5, 0, 10)} // same direction
	ring := Path{testSquare(0, 0, 10), testSquare(2, 2, 6).Reversed(), testSquare(1, 1, 4)}
	for _, test := range []struct {
		path    Path
		rule    FillRule
		area    float64
		comment string
	}{
		{p, NonZero, 150, "overlap filled"},
		{p, EvenOdd, 100, "overlap empty"},
		{ring, NonZero, 100 - 36 + 9, "a hole partly refilled"},
		{ring, EvenOdd, 100 - 36 - 16 + 18, "counted by turns"},
		{Path{testSquare(0, 0, 10).Reversed()}, NonZero, 100, "clockwise input"},
	} {
		q, err := Weld([]Path{test.path}, BooleanOptions{FillRule: test.rule})
		require.NoError(t, err)
		assert.InDelta(t, test.area, float64(q.Area()), 1e-9, test.comment)
		require.NoError(t, q.CheckWelded(0))
	}
	_, err := Weld([]Path{p}, BooleanOptions{FillRule: 7})
	require.ErrorIs(t, err, ErrInvalidOption)
}

// What cannot be worked with gives a typed error, and degenerate input an answer.
func TestBooleanErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	ops := map[string]func(Path) (Path, error){
		"weld":      func(p Path) (Path, error) { return Weld([]Path{p, {testSquare(0, 0, 1)}}, BooleanOptions{}) },
		"subtract":  func(p Path) (Path, error) { return Subtract(p, []Path{{testSquare(0, 0, 1)}}, BooleanOptions{}) },
		"intersect": func(p Path) (Path, error) { return Intersect([]Path{p, p}, BooleanOptions{}) },
		"offset":    func(p Path) (Path, error) { return Offset(p, 1, OffsetOptions{}) },
		"shrink":    func(p Path) (Path, error) { return Offset(p, -1, OffsetOptions{}) },
		"simplify":  func(p Path) (Path, error) { return Simplify(p, 0) },
		"merge":     func(p Path) (Path, error) { return MergeNodes(p, 0) },
	}
	for name, op := range ops {
		for _, bad := range []struct {
			path  Path
			cause error
		}{
			{Path{Polygon(Pt(0, 0), Pt(nan, 1), Pt(1, 1))}, ErrNotFinite},
			{Path{Polygon(Pt(0, 0), Pt(inf, 1), Pt(1, 1))}, ErrNotFinite},
			{Path{testSquare(9, 9, 1), {Pt(0, 0), []Segment{LineTo(Pt(1, 0)), CubicTo(Pt(nan, 0), Pt(0, 0), Pt(0, 0))}}}, ErrNotFinite},
			{Path{{Pt(0, 0), []Segment{LineTo(Pt(1, 0))}}}, ErrNotClosed},
		} {
			_, err := op(bad.path)
			var e *PathError
			require.ErrorAs(t, err, &e, name)
			require.ErrorIs(t, err, bad.cause, name)
			assert.Equal(t, len(bad.path)-1, e.Contour, name)
		}
		for _, odd := range []Path{
			nil, {}, {Contour{}}, {{Start: Pt(3, 3)}},
			{Polygon(Pt(1, 1))}, {Polygon(Pt(1, 1), Pt(1, 1), Pt(1, 1))},
			{Polygon(Pt(0, 0), Pt(10, 0))}, {Polygon(Pt(0, 0), Pt(10, 0), Pt(5, 0))},
			{Polygon(Pt(0, 0), Pt(0, 0), Pt(10, 0), Pt(10, 0), Pt(10, 10), Pt(10, 10))},
			{Polygon(Pt(0, 0), Pt(10, 10), Pt(10, 0), Pt(0, 10))},
			{testSquare(0, 0, 1e-7), testSquare(0, 0, 1)},
		} {
			p, err := op(odd)
			require.NoError(t, err, "%s of %v", name, odd)
			require.NoError(t, p.Check(), name)
		}
	}
	huge := Path{testSquare(-1e9, -1e9, 2e9)}
	_, err := Weld([]Path{huge}, BooleanOptions{})
	require.ErrorIs(t, err, ErrTooLarge)
	p, err := Weld([]Path{huge}, BooleanOptions{Tolerance: 100})
	require.NoError(t, err)
	assert.InEpsilon(t, 4e18, float64(p.Area()), 1e-12)
	far := Path{testSquare(1e9, -1e9, 10), testSquare(1e9+5, -1e9, 10)}
	p, err = Weld([]Path{far}, BooleanOptions{})
	require.NoError(t, err)
	assert.InDelta(t, 150, float64(p.Area()), 1e-3)
	for _, d := range []units.Length{units.Length(nan), units.Length(inf)} {
		_, err = Offset(far, d, OffsetOptions{})
		require.ErrorIs(t, err, ErrInvalidOption)
	}
	_, err = Weld(nil, BooleanOptions{Tolerance: -1})
	require.ErrorIs(t, err, ErrInvalidOption)
}

// A contour of 1e6 nodes is answered; under the race detector, of a fifth.
func TestWeldMillionNodes(t *testing.T) {
	if testing.Short() {
		t.Skip("a million nodes take a second or two")
	}
	n := 1_000_000
	if raceDetector {
		n /= 5
	}
	points := make([]Point, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r := 500 + 20*math.Sin(2000*math.Pi*float64(i)/float64(n))
		points[i] = Pt(r*cos, r*sin)
	}
	p, err := Weld([]Path{{Polygon(points...)}}, BooleanOptions{})
	require.NoError(t, err)
	// The mean of (500 + 20 sin)² is 500² + 200.
	assert.InEpsilon(t, math.Pi*(500*500+200), float64(p.Area()), 1e-6)
}

// pathFrom reads contours of 4-byte points from fuzz data: coordinates of -128 to
// 127 in steps of 1/256, so that many coincide.
func pathFrom(data []byte) Path {
	var p Path
	for len(data) >= 13 && len(p) < 4 {
		n := 3 + int(data[0]%6)
		kinds := data[0]
		data = data[1:]
		var points []Point
		for len(data) >= 4 && len(points) < 3*n {
			x, y := int16(binary.LittleEndian.Uint16(data)), int16(binary.LittleEndian.Uint16(data[2:]))
			points = append(points, Pt(float64(x)/256, float64(y)/256))
			data = data[4:]
		}
		c := Curve{Start: points[0]}
		for i := 1; i < len(points); kinds = kinds>>1 | kinds<<7 {
			switch {
			case kinds&3 == 3 && i+2 < len(points):
				c.Segments = append(c.Segments, CubicTo(points[i], points[i+1], points[i+2]))
				i += 3
			case kinds&1 == 1 && i+1 < len(points):
				c.Segments = append(c.Segments, QuadTo(points[i], points[i+1]))
				i += 2
			default:
				c.Segments = append(c.Segments, LineTo(points[i]))
				i++
			}
		}
		p = append(p, c.Closed())
	}
	return p
}

func fuzzSeeds(f *testing.F) {
	rng := rand.New(rand.NewPCG(4, 4))
	for range 12 {
		data := make([]byte, 60+rng.IntN(60))
		for i := range data {
			data[i] = byte(rng.Uint32())
		}
		f.Add(data[:len(data)/2], data[len(data)/2:])
	}
	same := []byte{0, 0, 0, 0, 0, 0, 10, 0, 0, 0, 10, 0, 10, 0, 0, 0, 10}
	f.Add(same, same)
	f.Add([]byte{}, same)
}

func FuzzBooleanLaws(f *testing.F) {
	fuzzSeeds(f)
	f.Fuzz(func(t *testing.T, a, b []byte) { checkLaws(t, pathFrom(a), pathFrom(b)) })
}

func FuzzOffset(f *testing.F) {
	fuzzSeeds(f)
	f.Fuzz(func(t *testing.T, a, b []byte) {
		p := pathFrom(a)
		d := 0.1 + float64(len(b)%40)/8
		film, err := Weld([]Path{p}, BooleanOptions{})
		require.NoError(t, err)
		grown, err := Offset(film, units.Length(d), OffsetOptions{})
		require.NoError(t, err)
		shrunk, err := Offset(film, units.Length(-d), OffsetOptions{})
		require.NoError(t, err)
		slack := 1e-3 + 4*float64(DefaultTolerance)*float64(film.Length(0)+grown.Length(0))
		require.GreaterOrEqual(t, float64(grown.Area()), float64(film.Area())-slack)
		require.LessOrEqual(t, float64(shrunk.Area()), float64(film.Area())+slack)
	})
}

// weldedText returns letters set so tight that they overlap, and their weld.
func weldedText(t *testing.T, words string) (text, film Path, report BooleanReport) {
	t.Helper()
	for _, g := range textLine(t, words, 25, -3) {
		text = append(text, g...)
	}
	film, err := Weld([]Path{text}, BooleanOptions{Report: &report})
	require.NoError(t, err)
	require.NoError(t, film.CheckWelded(0))
	require.Positive(t, report.Crossings)
	return text, film, report
}

// Letters set so tight that they overlap: every border of their weld runs on a
// border of theirs, within tolerance, with few nodes more than theirs.
func TestWeldedTextStaysOnItsCurves(t *testing.T) {
	text, film, report := weldedText(t, "Marlow Creek")
	assert.LessOrEqual(t, report.NodesOut, report.NodesIn+2*report.Crossings)
	assert.Zero(t, report.KeptChords)
	byOrigin := map[int32]Path{}
	for _, c := range text {
		byOrigin[c.Segments[0].Origin] = append(byOrigin[c.Segments[0].Origin], c)
	}
	for _, c := range film {
		at := c.Start
		for _, s := range c.Segments {
			for k := range 5 {
				q := s.At(at, float64(k)/5)
				require.LessOrEqual(t, borderDistance(byOrigin[s.Origin], q), 1e-6, "on the letter that its origin names")
			}
			at = s.End
		}
	}
	t.Logf("nodes %d before, %d after, %d crossings", report.NodesIn, report.NodesOut, report.Crossings)
}
