package nest_test

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// Nine squares of side a on a strip 3a wide take 3a, whatever a is and whether they may turn or not.
func TestSquares(t *testing.T) {
	for _, a := range []float64{10, 25.4, 33.3, 0.7, 1e5} {
		for _, mode := range []nest.RotationMode{nest.RotateNone, nest.RotateQuarter} {
			pieces := []nest.Piece{{ID: "square", Outline: rectangle(a, a), Count: 9, Rotations: nest.Rotations{Mode: mode}}}
			strip := nest.Strip{Width: units.Length(3 * a)}
			r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 20})
			require.NoError(t, err)
			checked(t, r, strip, pieces)
			assert.InDelta(t, 3*a, float64(r.Length), 1e-6*a, "side %v, %v", a, mode)
		}
	}
}

// circle is a polygon about a circle of radius r: its sides touch the circle.
func circle(r float64, n int) orb.MultiPolygon {
	ring := make(orb.Ring, n)
	out := r / math.Cos(math.Pi/float64(n))
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(n))
		ring[i] = orb.Point{out * cos, out * sin}
	}
	return orb.MultiPolygon{{ring}}
}

// Circles of radius 1 in two rows on a strip 2 + √3 wide lie hexagonally: every further pair takes 2, the second row is
// shifted by 1, so that n pairs take 2n + 1.
func TestCirclesInTwoRows(t *testing.T) {
	const pairs = 6
	strip := nest.Strip{Width: units.Length(2 + math.Sqrt(3) + 0.01)}
	pieces := []nest.Piece{{ID: "circle", Outline: circle(1, 48), Count: 2 * pairs}}
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 150, Seed: 3})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
	assert.InDelta(t, 2*pairs+1, float64(r.Length), 0.15)
	assert.Greater(t, float64(r.Length), 2*pairs+1-0.05)
}

// Two equal L-shapes of 3 × 3 squares less 2 × 2 make no rectangle, but of 3 × 2 less 2 × 1 they make one of 4 × 2 when one is
// turned by half a turn.
func TestTwoLShapesMakeARectangle(t *testing.T) {
	l := orb.MultiPolygon{{{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 2}, {0, 2}}}}
	strip := nest.Strip{Width: 2}
	pieces := []nest.Piece{{ID: "L", Outline: l, Count: 2, Rotations: nest.Rotations{Mode: nest.RotateHalf}}}
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 300})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
	assert.InDelta(t, 4, float64(r.Length), 1e-4)
	assert.InDelta(t, 1, r.Density, 1e-4)
}

// A small piece goes into a large ring when that is the only way to save film.
func TestHoleTakesAPiece(t *testing.T) {
	ring := orb.MultiPolygon{{rectangle(100, 100)[0][0], orb.Ring{{20, 20}, {80, 20}, {80, 80}, {20, 80}}}}
	for _, gap := range []units.Length{0, 4} {
		strip := nest.Strip{Width: 100, Gap: gap}
		pieces := []nest.Piece{{ID: "ring", Outline: ring}, {ID: "plug", Outline: circle(25, 32)}}
		for _, o := range []nest.Options{{Budget: nest.FirstLayoutOnly}, {Iterations: 50}} {
			r, err := nest.Nest(context.Background(), strip, pieces, o)
			require.NoError(t, err)
			checked(t, r, strip, pieces)
			assert.InDelta(t, 100, float64(r.Length), 1e-9)
		}
	}
}

// A piece exactly as wide as the usable strip fits, with margins that float64 cannot hold exactly, with and without a gap.
func TestExactlyAsWide(t *testing.T) {
	for _, gap := range []units.Length{0, 6.35, 500} {
		strip := nest.Strip{Width: 12 * units.Inch, Gap: gap, Margins: nest.EqualMargins(10.1), Lead: 25.3}
		h := float64(strip.Width) - 20.2
		shapes := []orb.MultiPolygon{rectangle(50, h), {{{{0, 0}, {30, h / 3}, {0, h}, {-30, h / 2}}}}}
		for i, s := range shapes {
			pieces := []nest.Piece{{ID: "wide", Outline: s, Count: 2}}
			r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 10})
			require.NoError(t, err, "gap %v, shape %d", gap, i)
			checked(t, r, strip, pieces)
		}
	}
}
