package colours

import (
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

func box(x0, y0, x1, y1 float64) outline.Path {
	return outline.Path{outline.Rectangle(outline.Box{Min: outline.Pt(x0, y0), Max: outline.Pt(x1, y1)})}
}

func disc(x, y, r float64) outline.Path {
	return outline.Path{outline.Circle(outline.Pt(x, y), units.Length(r))}
}

// rocket is the three-colour design of the demo order.
func rocket(t testing.TB) []Layer {
	f, err := os.Open("../order/demo/rocket-colour.svg")
	require.NoError(t, err)
	defer f.Close()
	drawing, err := svg.Read(f, svg.Options{})
	require.NoError(t, err)
	var layers []Layer
	for _, s := range drawing.Shapes {
		if s.Fill != "" {
			layers = append(layers, Layer{s.Fill, s.Path})
		}
	}
	require.Len(t, layers, 3)
	return layers
}

// painted returns which layer is on top at p, or -1.
func painted(paths []outline.Path, p outline.Point) int {
	for i := len(paths) - 1; i >= 0; i-- {
		if paths[i].Contains(p) {
			return i
		}
	}
	return -1
}

func paths(layers []Layer) []outline.Path {
	var out []outline.Path
	for _, l := range layers {
		out = append(out, l.Path)
	}
	return out
}

func films(s Separation) []outline.Path {
	var out []outline.Path
	for _, f := range s.Films {
		out = append(out, f.Path)
	}
	return out
}

func flat(p outline.Path) outline.Path {
	// Chords, so that Contains costs little where many points are asked for.
	return outline.FromMultiPolygon(p.MultiPolygon(0.01))
}

// TestRocket parts the demo order's three-colour rocket both ways. The judge is
// a grid of points: laid over one another the films show what is drawn, and
// within the trap of a seam no upper colour is without the lower one.
func TestRocket(t *testing.T) {
	layers := rocket(t)
	drawn := paths(layers)
	for i := range drawn {
		drawn[i] = flat(drawn[i])
	}
	for _, stacking := range []Stacking{Stacked, KnockOut} {
		const trap = 1.2
		s, err := Split(layers, Options{Stacking: stacking, Trap: trap})
		require.NoError(t, err)
		require.Len(t, s.Films, 3)
		assert.NotEmpty(t, s.Seams)
		cut := films(s)
		for i := range cut {
			cut[i] = flat(cut[i])
			assert.NotEmpty(t, cut[i])
			area := float64(cut[i].Area())
			if stacking == KnockOut && i == 0 { // gold lies on navy only
				assert.Less(t, area, float64(drawn[i].Area()))
			}
			t.Logf("%v, %s: %.0f mm² of film, %.0f drawn", stacking, s.Films[i].Colour, area, float64(drawn[i].Area()))
		}
		for _, m := range s.Seams {
			t.Logf("%v under %v: %.1f mm of seam, least %.3f mm at (%.1f, %.1f)", m.Lower, m.Upper, float64(m.Length), float64(m.Least), m.At.X, m.At.Y)
			assert.GreaterOrEqual(t, float64(m.Least), trap-0.05)
		}
		edges := make([]edges, 3)
		seen := make([]outline.Path, 3)
		for i := range drawn {
			seen[i], err = outline.Subtract(drawn[i], drawn[i+1:], outline.BooleanOptions{})
			require.NoError(t, err)
			edges[i] = newEdges(seen[i], 0.01)
		}
		b := s.Bounds()
		differing, bare, looked := 0, 0, 0
		for x := b.Min.X; x < b.Max.X; x += 1.1 {
			for y := b.Min.Y; y < b.Max.Y; y += 1.1 {
				p := outline.Pt(x, y)
				top := painted(drawn, p)
				if now := painted(cut, p); now != top {
					// Edges are exact to the tolerance only.
					if edges[0].distance(p, 0.03) > 1 && edges[1].distance(p, 0.03) > 1 && edges[2].distance(p, 0.03) > 1 {
						differing++
					}
				}
				for lower := 0; lower < top; lower++ {
					if edges[lower].distance(p, trap-0.03) <= trap-0.03 {
						looked++
						if !cut[lower].Contains(p) {
							bare++
						}
					}
				}
			}
		}
		assert.Zero(t, differing, "%v: what is seen must not change", stacking)
		assert.Zero(t, bare, "%v: %d of %d points within the trap lie bare", stacking, bare, looked)
		assert.Greater(t, looked, 40)
	}
}

// TestAdjoining: two squares side by side. The lower spreads under the upper by
// the trap, and nowhere else.
func TestAdjoining(t *testing.T) {
	for _, stacking := range []Stacking{Stacked, KnockOut} {
		s, err := Split([]Layer{{"navy", box(0, 0, 20, 20)}, {"gold", box(20, 0, 40, 20)}}, Options{Trap: 1.5, Stacking: stacking})
		require.NoError(t, err)
		require.Len(t, s.Films, 2)
		b := s.Films[0].Path.Bounds()
		assert.InDelta(t, 21.5, b.Max.X, 0.02)
		assert.InDelta(t, 20, b.Max.Y, 1e-6)
		assert.InDelta(t, 20*21.5, float64(s.Films[0].Path.Area()), 0.3)
		assert.InDelta(t, 400, float64(s.Films[1].Path.Area()), 1e-6, "the upper stays as drawn")
		require.Len(t, s.Seams, 1)
		assert.InDelta(t, 20, float64(s.Seams[0].Length), 0.3)
		assert.InDelta(t, 1.5, float64(s.Seams[0].Least), 0.03)
	}
	// Without a trap they only touch, and that is said.
	s, err := Split([]Layer{{"navy", box(0, 0, 20, 20)}, {"gold", box(20, 0, 40, 20)}}, Options{Trap: -1})
	require.NoError(t, err)
	assert.InDelta(t, 400, float64(s.Films[0].Path.Area()), 1e-6)
	assert.InDelta(t, 0, float64(s.Seams[0].Least), 0.03)
}

// TestCloseGap: a hairline between colours is bridged if that is asked for.
func TestCloseGap(t *testing.T) {
	layers := []Layer{{"navy", box(0, 0, 20, 20)}, {"gold", box(20.03, 0, 40, 20)}}
	s, err := Split(layers, Options{Trap: 1.5, CloseGap: 0.05})
	require.NoError(t, err)
	assert.Len(t, s.Films[0].Path, 1, "in one piece")
	assert.InDelta(t, 20.03+1.5, s.Films[0].Path.Bounds().Max.X, 0.02, "the trap begins where gold does")
}

// TestKnockOut: a disc on a square leaves a hole smaller than the disc by the
// trap; stacked leaves none.
func TestKnockOut(t *testing.T) {
	layers := []Layer{{"navy", box(0, 0, 40, 40)}, {"gold", disc(20, 20, 10)}}
	s, err := Split(layers, Options{Trap: 2, Stacking: KnockOut})
	require.NoError(t, err)
	assert.Len(t, s.Films[0].Path, 2)
	assert.InDelta(t, 1600-math.Pi*64, float64(s.Films[0].Path.Area()), 0.5)
	s, err = Split(layers, Options{Trap: 2})
	require.NoError(t, err)
	assert.InDelta(t, 1600, float64(s.Films[0].Path.Area()), 1e-6)
	assert.True(t, math.IsInf(float64(s.Seams[0].Least), 1), "underlaid everywhere")
	// A disc smaller than the trap is underlaid whole.
	s, err = Split([]Layer{{"navy", box(0, 0, 40, 40)}, {"gold", disc(20, 20, 1.5)}}, Options{Trap: 2, Stacking: KnockOut})
	require.NoError(t, err)
	assert.InDelta(t, 1600, float64(s.Films[0].Path.Area()), 0.01)
}

// TestSeamIsMeasured: the measure sees an overlap that is too thin; the check in
// Split can fail.
func TestSeamIsMeasured(t *testing.T) {
	lower, upper := box(0, 0, 20, 20), box(20, 0, 40, 20)
	bare, err := outline.Subtract(upper, []outline.Path{box(0, 0, 20.4, 20)}, outline.BooleanOptions{})
	require.NoError(t, err)
	opt, err := Options{Trap: 1.5}.filled()
	require.NoError(t, err)
	seam, ok := measure(lower, upper, bare, opt)
	require.True(t, ok)
	assert.InDelta(t, 0.4, float64(seam.Least), 1e-6)
	_, ok = measure(lower, box(25, 0, 40, 20), bare, opt)
	assert.False(t, ok, "they do not meet")
}

// TestTrapArithmetic: reference/trade.md, check 20: a trap of 1.6 mm with 0.4 mm
// of shrinkage on both edges leaves 0.8 mm; the least trap there is 1.3 mm with
// 0.5 mm of misregistration.
func TestTrapArithmetic(t *testing.T) {
	assert.InDelta(t, 0.8, float64(Remaining(1.6, 0.4)), 1e-6)
	assert.InDelta(t, 1.3, float64(LeastTrap(0.4, 0.5)), 1e-6)
	assert.Greater(t, DefaultTrap, LeastTrap(0.4, 0.5))
}

func TestMarksAreTheSameOnEveryFilm(t *testing.T) {
	s, err := Split(rocket(t), Options{})
	require.NoError(t, err)
	art := outline.EmptyBox()
	for _, f := range s.Films {
		art = art.Union(f.Path.Bounds())
	}
	for _, f := range s.Films {
		assert.Equal(t, s.Films[0].Marks, f.Marks)
		require.Len(t, f.Marks, 2)
		for _, m := range f.Marks {
			b := m.Bounds()
			assert.False(t, b.Grow(2.9).Overlaps(art), "clear of the design")
			assert.InDelta(t, 8, b.Width(), 1e-9)
			assert.InDelta(t, 8*2*2-4, float64(m.Area()), 1e-9)
			assert.InDelta(t, art.Min.Y, b.Min.Y, 1e-9)
		}
		assert.Len(t, f.Piece(), len(f.Path)+2)
	}
	// The crosses lie at the same place on every film's load.
	bed := layout.Bed{EdgeMargin: 10, Lead: 25, Tail: 5}
	var first outline.Box
	for i, f := range s.Films {
		sheet := s.Sheet(f, layout.Film{Width: 305}, bed)
		p := sheet.Decals[0].Path
		b := p[len(p)-1].Bounds()
		if i == 0 {
			first = b
		}
		assert.Equal(t, first, b)
		whole := sheet.Bounds()
		assert.InDelta(t, 25, whole.Min.X, 1e-9)
		assert.InDelta(t, 10, float64(sheet.EdgeDistance()), 1e-6)
		assert.LessOrEqual(t, whole.Max.X, float64(sheet.Length-5)+1e-9)
	}
	none, err := Split(rocket(t), Options{Marks: MarkOptions{None: true}})
	require.NoError(t, err)
	assert.Empty(t, none.Films[0].Marks)
}

// TestInsideGlass: mirrored, and what is seen on top is applied first.
func TestInsideGlass(t *testing.T) {
	layers := []Layer{{"navy", box(0, 0, 40, 20)}, {"gold", box(5, 5, 10, 10)}}
	out, err := Split(layers, Options{})
	require.NoError(t, err)
	in, err := Split(layers, Options{InsideGlass: true})
	require.NoError(t, err)
	assert.Equal(t, []string{"navy", "gold"}, []string{out.Films[0].Colour, out.Films[1].Colour})
	assert.Equal(t, []string{"gold", "navy"}, []string{in.Films[0].Colour, in.Films[1].Colour})
	assert.InDelta(t, 30, in.Films[0].Path.Bounds().Min.X, 1e-9, "5 from the left becomes 5 from the right")
	assert.InDelta(t, float64(out.Films[1].Path.Area()), float64(in.Films[0].Path.Area()), 1e-9, "still counter-clockwise")
	assert.Equal(t, 1, in.Seams[0].Lower)
	assert.Equal(t, 0, in.Seams[0].Upper)
	sheet := in.Sheet(in.Films[0], layout.Film{Width: 100}, layout.Bed{})
	assert.True(t, sheet.Decals[0].Mirrored)
}

func TestSameColourSharesAFilm(t *testing.T) {
	s, err := Split([]Layer{{"navy", box(0, 0, 10, 10)}, {"gold", box(20, 0, 30, 10)}, {"navy", box(40, 0, 50, 10)}}, Options{})
	require.NoError(t, err)
	require.Len(t, s.Films, 2)
	assert.Equal(t, []int{0, 2}, s.Films[0].Layers)
	// Navy on gold on navy cannot be one film.
	_, err = Split([]Layer{{"navy", box(0, 0, 30, 30)}, {"gold", box(5, 5, 25, 25)}, {"navy", box(10, 10, 20, 20)}}, Options{})
	require.ErrorIs(t, err, ErrInvalidOption)
	assert.ErrorContains(t, err, "layer 2 (navy)")
}

func TestHiddenLayer(t *testing.T) {
	s, err := Split([]Layer{{"red", box(5, 5, 10, 10)}, {"navy", box(0, 0, 20, 20)}}, Options{})
	require.NoError(t, err)
	assert.Equal(t, []int{0}, s.Hidden)
	require.Len(t, s.Films, 1)
	assert.Equal(t, "navy", s.Films[0].Colour)
}

func TestRefuses(t *testing.T) {
	layers := []Layer{{"navy", box(0, 0, 10, 10)}}
	nan := units.Length(math.NaN())
	for name, o := range map[string]Options{
		"Stacking": {Stacking: 9}, "Trap": {Trap: nan}, "CloseGap": {CloseGap: -1}, "Tolerance": {Tolerance: nan},
		"Marks.Size": {Marks: MarkOptions{Size: -1}}, "Marks.Clear": {Marks: MarkOptions{Clear: nan}}, "arm": {Marks: MarkOptions{Arm: 9}},
	} {
		_, err := Split(layers, o)
		require.ErrorIs(t, err, ErrInvalidOption, name)
		assert.ErrorContains(t, err, name)
		var e *Error
		assert.ErrorAs(t, err, &e)
	}
	_, err := Split(nil, Options{})
	assert.ErrorIs(t, err, ErrEmpty)
	_, err = Split([]Layer{{"navy", nil}}, Options{})
	assert.ErrorIs(t, err, ErrEmpty)
	_, err = Split([]Layer{{"navy", outline.Path{outline.Polygon(outline.Pt(math.NaN(), 0), outline.Pt(1, 0), outline.Pt(1, 1))}}}, Options{})
	assert.ErrorIs(t, err, ErrNotWelded)
}

func BenchmarkSplit(b *testing.B) {
	layers := rocket(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Split(layers, Options{Stacking: KnockOut}); err != nil {
			b.Fatal(err)
		}
	}
}

// A gap that is bridged takes nothing of the trap, and nothing sticks out
// beside it: the lower film reached under the upper by the trap less the gap, and
// beyond the design by the gap.
func TestCloseGapKeepsTheTrap(t *testing.T) {
	layers := []Layer{{"navy", box(0, 0, 20, 20)}, {"gold", box(20.4, 0, 40, 20)}}
	for _, stacking := range []Stacking{Stacked, KnockOut} {
		s, err := Split(layers, Options{Trap: 1.5, CloseGap: 0.4, Stacking: stacking})
		require.NoError(t, err)
		b := s.Films[0].Path.Bounds()
		assert.InDelta(t, 20.4+1.5, b.Max.X, 0.03, "the trap begins where gold does")
		assert.InDelta(t, 0, b.Min.Y, 0.02)
		assert.InDelta(t, 20, b.Max.Y, 0.02)
		assert.InDelta(t, 20*21.9, float64(s.Films[0].Path.Area()), 0.7)
		require.Len(t, s.Seams, 1)
		assert.InDelta(t, 1.5, float64(s.Seams[0].Least), 0.05)
		assert.InDelta(t, 392, float64(s.Films[1].Path.Area()), 1e-6, "the upper stays as drawn")
	}
	// What lies further apart is no seam, and no strip of navy is left under gold.
	layers[1].Path = box(20.6, 0, 40, 20)
	for _, gap := range []units.Length{0, 0.4} {
		s, err := Split(layers, Options{Trap: 1.5, CloseGap: gap})
		require.NoError(t, err)
		assert.InDelta(t, 400, float64(s.Films[0].Path.Area()), 0.05)
		assert.Len(t, s.Films[0].Path, 1)
	}
}

// A separation that comes with ErrTooThin is mirrored like any other.
func TestThinSeamInsideGlass(t *testing.T) {
	s := Separation{opt: Options{Trap: 1.5, Tolerance: 0.005}, Films: []Film{{Colour: "navy", Layers: []int{0}}, {Colour: "gold", Layers: []int{1}}},
		Seams: []Seam{{Lower: 0, Upper: 1, Least: 0.4, At: outline.Pt(3, 4)}}}
	err := s.thin()
	require.ErrorIs(t, err, ErrTooThin)
	assert.ErrorContains(t, err, "layer 0 (navy)")
	assert.ErrorContains(t, err, "(3.00, 4.00)")
	s.Seams[0].Least = 1.5
	assert.NoError(t, s.thin())
}

// Films share no marks: who changes one does not change the others.
func TestMarksAreEachFilmsOwn(t *testing.T) {
	s, err := Split([]Layer{{"navy", box(0, 0, 20, 20)}, {"gold", box(5, 5, 10, 10)}}, Options{})
	require.NoError(t, err)
	want := s.Films[1].Marks[0].Start
	s.Films[0].Marks[0].Start = outline.Pt(99, 99)
	assert.Equal(t, want, s.Films[1].Marks[0].Start)
	sheet := Separation{}.Sheet(Film{Path: box(5, 5, 10, 10)}, layout.Film{}, layout.Bed{Lead: 25, EdgeMargin: 10})
	assert.Equal(t, outline.Pt(25, 10), sheet.Bounds().Min, "without films the film alone is placed")
}

// What memory could not hold, or time not look at, is refused by its counts.
func TestSplitIsBounded(t *testing.T) {
	began := time.Now()
	long := outline.Contour{Segments: make([]outline.Segment, 1<<10)}
	for i := range long.Segments {
		long.Segments[i] = outline.LineTo(outline.Pt(float64(i%30), float64(i%7)))
	}
	path := make(outline.Path, 1<<10)
	for i := range path {
		path[i] = long
	}
	for name, c := range map[string]struct {
		layers []Layer
		opt    Options
		cause  error
	}{
		"layers":    {make([]Layer, MaxLayers+1), Options{}, ErrTooLarge},
		"nodes":     {[]Layer{{"navy", path}, {"gold", box(0, 0, 1, 1)}}, Options{}, ErrTooLarge},
		"length":    {[]Layer{{"navy", box(0, 0, 3e5, 3e5)}}, Options{}, ErrTooLarge},
		"trap":      {[]Layer{{"navy", box(0, 0, 9, 9)}}, Options{Trap: MaxTrap + 1}, ErrInvalidOption},
		"close gap": {[]Layer{{"navy", box(0, 0, 9, 9)}}, Options{CloseGap: 1e6}, ErrInvalidOption},
	} {
		_, err := Split(c.layers, c.opt)
		require.ErrorIs(t, err, c.cause, name)
		var e *Error
		require.ErrorAs(t, err, &e)
		assert.NotEmpty(t, e.Fix)
	}
	assert.Less(t, time.Since(began), time.Second, "early")
}
