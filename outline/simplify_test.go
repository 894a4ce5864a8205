package outline

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/units"
)

func TestFitCircleAndCorners(t *testing.T) {
	var points []Point
	for i := range 721 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 360)
		points = append(points, Pt(20*cos, 20*sin))
	}
	c, err := Fit(points, 0.01)
	require.NoError(t, err)
	assert.LessOrEqual(t, len(c.Segments), 16)
	for _, p := range c.Flatten(nil, 0.001) {
		assert.InDelta(t, 20, p.Norm(), 0.011)
	}
	square, err := Fit([]Point{{0, 0}, {5, 0}, {10, 0}, {10, 5}, {10, 10}}, 0.01)
	require.NoError(t, err)
	require.Len(t, square.Segments, 2)
	assert.Equal(t, Pt(10, 0), square.Segments[0].End)

	_, err = Fit(nil, 0)
	require.ErrorIs(t, err, ErrTooFewPoints)
	_, err = Fit([]Point{{math.NaN(), 0}}, 0)
	require.ErrorIs(t, err, ErrNotFinite)
	var optionError *OptionError
	_, err = Fit(points, -1)
	require.ErrorAs(t, err, &optionError)
}

// A page of text flattened to chords comes back with about as many nodes as the
// font had, and nowhere further away than asked.
func TestSimplifyFlattenedText(t *testing.T) {
	const tolerance units.Length = 0.02
	for _, glyph := range textLine(t, "Rocket8", 30, 0) {
		var rough Path
		for _, c := range glyph {
			rough = append(rough, Polygon(c.Flatten(nil, 0.002)...))
		}
		fine, err := Simplify(rough, tolerance)
		require.NoError(t, err)
		require.NoError(t, fine.Check())
		assert.LessOrEqual(t, fine.Nodes(), 2*glyph.Nodes()+4)
		assert.LessOrEqual(t, fine.Nodes(), rough.Nodes())
		for i, c := range fine {
			for _, q := range c.Flatten(nil, 0.001) {
				assert.LessOrEqual(t, float64(rough[i].Nearest(q).Distance), float64(tolerance))
			}
			for _, q := range rough[i].Flatten(nil, 0.001) {
				assert.LessOrEqual(t, float64(c.Nearest(q).Distance), float64(tolerance))
			}
		}
	}
}

func TestMergeNodes(t *testing.T) {
	p := Path{Polygon(Pt(5, 0), Pt(7, 0), Pt(10, 0), Pt(10, 0), Pt(10, 10), Pt(0, 10), Pt(0, 0), Pt(2, 0))}
	q, err := MergeNodes(p, 0)
	require.NoError(t, err)
	require.NoError(t, q.Check())
	assert.Equal(t, 4, q.Nodes())
	assert.Equal(t, p.Area(), q.Area())
	assert.Equal(t, 8, p.Nodes(), "the argument is not modified")
}

func TestDropSpecks(t *testing.T) {
	kept, dropped := DropSpecks(Path{testSquare(0, 0, 10), testSquare(20, 0, 0.5), testSquare(2, 2, 0.5).Reversed()}, 1)
	assert.Equal(t, 2, dropped)
	assert.Len(t, kept, 1)
}

func TestCheckWelded(t *testing.T) {
	bow := Path{testSquare(50, 50, 1), Polygon(Pt(0, 0), Pt(10, 10), Pt(10, 0), Pt(0, 10))}
	err := bow.CheckWelded(0)
	var e *PathError
	require.ErrorAs(t, err, &e)
	require.ErrorIs(t, err, ErrCrossing)
	assert.Equal(t, 1, e.Contour)
	assert.Equal(t, 0, e.Node)
	assert.InDelta(t, 5, e.At.X, 1e-3)
	assert.InDelta(t, 5, e.At.Y, 1e-3)
	welded, err := Weld([]Path{bow}, BooleanOptions{})
	require.NoError(t, err)
	require.NoError(t, welded.CheckWelded(0))
	for _, overlapping := range []Path{
		{testSquare(0, 0, 10), Polygon(Pt(5, 0), Pt(15, 0), Pt(15, 10), Pt(5, 10))}, // along each other's borders
		{testSquare(0, 0, 10), testSquare(2, 2, 3)},
		{testSquare(0, 0, 10).Reversed()},
		{testSquare(0, 0, 10), testSquare(0, 0, 10)},
	} {
		require.ErrorIs(t, overlapping.CheckWelded(0), ErrOverlap)
	}
	var report BooleanReport
	_, err = Weld([]Path{{Polygon(Pt(0, 0), Pt(9, 0), Pt(9, 0), Pt(9, 9))}}, BooleanOptions{Report: &report})
	require.NoError(t, err)
	assert.Equal(t, 1, report.Short, "a repeated point is reported")
	require.NoError(t, Path{testSquare(0, 0, 1), testSquare(1, 1, 1)}.CheckWelded(0), "corners may touch")
}

// Nodes are merged within the tolerance all along a shallow bow, wherever on it the
// contour starts.
func TestMergeNodesAcrossTheStart(t *testing.T) {
	var bow []Point
	for i := range 40 {
		x := float64(i) / 39
		bow = append(bow, Pt(100*x, 0.08*x*(1-x)))
	}
	for start := range bow {
		points := append(slices.Clone(bow[start:]), Pt(100, 50), Pt(0, 50))
		points = append(points, bow[:start]...)
		merged, err := MergeNodes(Path{Polygon(points...)}, 0.005)
		require.NoError(t, err)
		assert.Less(t, merged.Nodes(), 8)
		for _, q := range points {
			assert.LessOrEqual(t, float64(merged.Nearest(q).Distance), 0.005, "started at node %d", start)
		}
	}
}

// randomWalk returns n points of a walk that turns by less than a corner at each.
func randomWalk(rng *rand.Rand, n int) []Point {
	turn, step, dir, bias := rng.Float64(), math.Pow(10, rng.Float64()*3-2), rng.Float64()*6, rng.Float64()-0.5
	p := Pt(0, 0)
	var points []Point
	for range n {
		points = append(points, p)
		dir += (bias + rng.Float64() - 0.5) * turn
		p = p.Add(Pt(math.Cos(dir), math.Sin(dir)).Mul(step * (0.1 + rng.Float64())))
	}
	return points
}

// A fit passes all points and does not bulge between them either, however far apart
// they lie.
func TestFitAndSimplifyKeepToleranceBothWays(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for round := range 120 {
		points, tolerance := randomWalk(rng, 4+rng.IntN(60)), units.Length(math.Pow(10, rng.Float64()*3-3))
		line := Polyline(points...)
		fitted, err := Fit(points, tolerance)
		require.NoError(t, err)
		for _, p := range points {
			require.LessOrEqual(t, fitted.Nearest(p).Distance, tolerance, "round %d", round)
		}
		for _, p := range fitted.Flatten(nil, tolerance/100) {
			require.LessOrEqual(t, line.Nearest(p).Distance, tolerance, "round %d", round)
		}
		simple, err := Simplify(Path{line.Closed()}, tolerance)
		require.NoError(t, err)
		for _, p := range simple[0].Flatten(nil, tolerance/100) {
			require.LessOrEqual(t, line.Closed().Nearest(p).Distance, tolerance, "round %d", round)
		}
	}
}
