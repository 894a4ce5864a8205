package grow

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func star(rng *rand.Rand, r float64, n int) orb.MultiPolygon {
	ring := make(orb.Ring, n)
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := r * (0.4 + 0.6*rng.Float64())
		ring[i] = orb.Point{d * cos, d * sin}
	}
	return orb.MultiPolygon{{append(ring, ring[0])}}
}

func within(t *testing.T, outline, shape orb.MultiPolygon, d float64) {
	t.Helper()
	// The judge: every vertex of a fine buffer of simplefeatures, which lies inside the true one, is inside the shape.
	fine, err := geom.Buffer(ToGeometry(outline), d*(1-1e-6), geom.BufferQuadSegments(32))
	require.NoError(t, err)
	lost, err := geom.Difference(fine, ToGeometry(shape))
	require.NoError(t, err)
	assert.Less(t, lost.Area(), 1e-4*d*d, "something within the distance is outside the shape")
	assert.NoError(t, ToGeometry(shape).Validate())
}

func TestGrownShapeHoldsTheOffset(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 12 {
		outline := star(rng, 30, 3+rng.IntN(40))
		for _, d := range []float64{0.1, 3, 40} {
			angles := []float64{0, math.Pi / 2, 0.3}
			shape, err := Outline(outline, Options{Distance: d, AreaShare: 0.001, Angles: angles, HoleSide: 5})
			require.NoError(t, err)
			within(t, outline, shape, d)
			box, grown := outline.Bound(), shape.Bound()
			assert.InDelta(t, box.Min[0]-d, grown.Min[0], 1e-9)
			assert.InDelta(t, box.Max[1]+d, grown.Max[1], 1e-9)
			exact, err := geom.Buffer(ToGeometry(outline), d, geom.BufferQuadSegments(64))
			require.NoError(t, err)
			assert.Less(t, Area(shape), 1.02*exact.Area(), "little more than the offset")
		}
	}
}

func TestHolesTooSmallVanish(t *testing.T) {
	square := func(a float64) orb.Ring { return orb.Ring{{-a, -a}, {a, -a}, {a, a}, {-a, a}} }
	outline := orb.MultiPolygon{{square(50), square(20)}, {{{60, 0}, {70, 0}, {70, 10}}}}
	kept, err := Outline(outline, Options{HoleSide: 40})
	require.NoError(t, err)
	assert.Len(t, kept[0], 2)
	gone, err := Outline(outline, Options{HoleSide: 41})
	require.NoError(t, err)
	assert.Len(t, gone[0], 1)
	assert.Len(t, gone, 2)
	shrunk, err := Outline(outline, Options{Distance: 2, HoleSide: 30, Angles: []float64{0}})
	require.NoError(t, err)
	holes := 0
	for _, polygon := range shrunk { // in no particular order
		for _, hole := range polygon[1:] {
			holes++
			assert.InDelta(t, 36, hole.Bound().Max[0]-hole.Bound().Min[0], 0.05)
		}
	}
	assert.Equal(t, 1, holes)
}

func TestSimplifyOnlyGrows(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 10 {
		outline := star(rng, 30, 60+rng.IntN(200))
		for _, keep := range []bool{false, true} {
			shape, err := Outline(outline, Options{AreaShare: 0.02, KeepCorners: keep})
			require.NoError(t, err)
			assert.Less(t, len(shape[0][0]), len(outline[0][0]))
			assert.LessOrEqual(t, Area(shape), 1.02*Area(outline)+1e-9)
			lost, err := geom.Difference(ToGeometry(outline), ToGeometry(shape))
			require.NoError(t, err)
			assert.Less(t, lost.Area(), 1e-9)
			assert.NoError(t, ToGeometry(shape).Validate())
		}
	}
}

func TestAround(t *testing.T) {
	square := orb.MultiPolygon{{{{0, 0}, {10, 0}, {10, 10}, {0, 10}}}}
	wide, err := Around(square, 2)
	require.NoError(t, err)
	within(t, square, wide, 2)
	narrow, err := Around(square, -2)
	require.NoError(t, err)
	assert.InDelta(t, 36, Area(narrow), 1e-9)
	none, err := Around(nil, 3)
	require.NoError(t, err)
	assert.Empty(t, none)
}

func TestEmptyAndFlat(t *testing.T) {
	for _, m := range []orb.MultiPolygon{nil, {}, {{}}, {{{}}}, {{{{0, 0}, {1, 1}}}}} {
		_, err := Outline(m, Options{Distance: 1})
		assert.Error(t, err)
	}
	assert.Zero(t, Area(orb.MultiPolygon{{{{0, 0}, {1, 1}}}}))
}

// encloses compares every edge with every other: none cross by more than a rounding, and a vertex of the outline is inside.
func encloses(shape, outline orb.MultiPolygon) bool {
	ring, inner := shape[0][0], outline[0][0]
	for i := 1; i < len(inner); i++ {
		for k := 1; k < len(ring); k++ {
			a, b, c, d := inner[i-1], inner[i], ring[k-1], ring[k]
			const rounding = 1e-12 // square millimetres
			if min(cross(a, b, c), cross(a, b, d)) < -rounding && max(cross(a, b, c), cross(a, b, d)) > rounding &&
				min(cross(c, d, a), cross(c, d, b)) < -rounding && max(cross(c, d, a), cross(c, d, b)) > rounding {
				return false
			}
		}
	}
	return len(shape) == 1 && planar.RingContains(ring, inner[0])
}

// A saw of 20,000 teeth, as a torn edge may have, is grown in a moment and still holds everything.
func TestManyTeeth(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for _, d := range []float64{0, 0.2, 1.5} {
		outline := star(rng, 30, 20000)
		begin := time.Now()
		shape, err := Outline(outline, Options{Distance: d, AreaShare: 0.001, HoleSide: 5})
		require.NoError(t, err)
		assert.Less(t, time.Since(begin), 20*time.Second, "distance %v", d) // seconds where growing every tooth takes minutes
		assert.LessOrEqual(t, Vertices(shape), mostVertices)
		assert.True(t, encloses(shape, outline), "distance %v", d)
		if d > 0 { // teeth nearer than the distance fill the disc, and so may the shape
			assert.Less(t, Area(shape), 1.03*math.Pi*(30+d)*(30+d))
		}
	}
	// What does not get simpler becomes its hull.
	var dots orb.MultiPolygon
	for i := range 30 {
		for k := range 30 {
			x, y := 10*float64(i), 10*float64(k)
			dots = append(dots, orb.Polygon{{{x, y}, {x + 1, y}, {x, y + 1}, {x, y}}})
		}
	}
	shape, err := Outline(dots, Options{AreaShare: 0.001})
	require.NoError(t, err)
	assert.Len(t, shape, 1)
	assert.InDelta(t, 291*291-0.5, Area(shape), 1)
}

func TestNotchDepth(t *testing.T) {
	// The middle of the opening of a right-angled notch with legs of 1 is 1/2 from both.
	assert.InDelta(t, 0.5, notchDepth(orb.Point{1, 0}, orb.Point{0, 0}, orb.Point{0, 1}), 1e-12)
	// A sliver: nothing is far from its long edges, though its opening is long, too.
	assert.Less(t, notchDepth(orb.Point{0, 20}, orb.Point{0.01, 12}, orb.Point{0.02, 30}), 0.02)
	assert.Zero(t, notchDepth(orb.Point{1, 1}, orb.Point{1, 1}, orb.Point{2, 2}))
}
