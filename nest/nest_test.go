package nest_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

func rectangle(w, h float64) orb.MultiPolygon {
	return orb.MultiPolygon{{{{0, 0}, {w, 0}, {w, h}, {0, h}, {0, 0}}}}
}

// star is a random simple polygon about its origin.
func star(rng *rand.Rand, r float64, n int) orb.MultiPolygon {
	ring := make(orb.Ring, n)
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := r * (0.4 + 0.6*rng.Float64())
		ring[i] = orb.Point{d * cos, d * sin}
	}
	return orb.MultiPolygon{{append(ring, ring[0])}}
}

// checked verifies a result and judges it by simplefeatures: no two pieces may have common area, and where a gap is kept
// none may be nearer.
func checked(t *testing.T, r nest.Result, strip nest.Strip, pieces []nest.Piece) nest.Verification {
	t.Helper()
	v, err := r.Verify(strip, pieces)
	require.NoError(t, err)
	outline := map[string]orb.MultiPolygon{}
	for _, p := range pieces {
		outline[p.ID] = p.Outline
	}
	for n, load := range r.Loads {
		var placed []geom.Geometry
		smallest := math.Inf(1)
		for i, p := range load.Placements {
			g := toGeometry(p.Apply(outline[p.Piece]))
			for k, other := range placed {
				d, ok := geom.Distance(g, other)
				require.True(t, ok)
				smallest = min(smallest, d)
				assert.GreaterOrEqual(t, d, float64(strip.KeptDistance())-1e-9, "pieces %d and %d of load %d", k, i, n)
				if d == 0 {
					common, err := geom.Intersection(g, other)
					require.NoError(t, err)
					// The overlay itself rounds the corners of the common area.
					assert.Less(t, common.Area(), 1e-9*float64(strip.Width)*float64(strip.Width), "pieces %d and %d of load %d", k, i, n)
				}
			}
			placed = append(placed, g)
		}
		if len(placed) > 1 {
			assert.InDelta(t, smallest, float64(load.SmallestGap), 1e-9)
			assert.Equal(t, v.Loads[n].SmallestGap, load.SmallestGap)
		}
	}
	return v
}

func toGeometry(m orb.MultiPolygon) geom.Geometry {
	var coords [][][]float64
	for _, polygon := range m {
		var rings [][]float64
		for _, ring := range polygon {
			var flat []float64
			for _, p := range ring {
				flat = append(flat, p[0], p[1])
			}
			if ring[0] != ring[len(ring)-1] {
				flat = append(flat, ring[0][0], ring[0][1])
			}
			rings = append(rings, flat)
		}
		coords = append(coords, rings)
	}
	return geom.NewMultiPolygonXY(coords...).AsGeometry()
}

func TestFirstLayoutOfRandomPieces(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for round := range 6 {
		var pieces []nest.Piece
		for i := range 8 {
			p := nest.Piece{ID: string(rune('a' + i)), Outline: star(rng, 20+20*rng.Float64(), 3+rng.IntN(20)), Count: 1 + rng.IntN(4)}
			p.Rotations.Mode = []nest.RotationMode{nest.RotateNone, nest.RotateHalf, nest.RotateQuarter, nest.RotateAny}[rng.IntN(4)]
			p.Mirror = nest.Mirror(rng.IntN(3))
			pieces = append(pieces, p)
		}
		strip := nest.Strip{Width: 300, Gap: units.Length(float64(round) * 1.5), Margins: nest.Margins{Bottom: 10, Top: 5, Start: 3}, Lead: 25, Tail: 4, MaxLength: 300}
		if round%2 == 1 {
			strip.MaxLength = 0
		}
		r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Budget: nest.FirstLayoutOnly})
		require.NoError(t, err)
		checked(t, r, strip, pieces)
		t.Log(len(r.Loads), r.Length, r.Density, r.Stats.First)
	}
}

func TestImproves(t *testing.T) {
	strip, pieces := nest.Strip{Width: 200, Gap: 3}, few(20)
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 100})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
	assert.Greater(t, r.Density, r.Stats.FirstDensity)
	assert.Greater(t, r.Density, r.Stats.FirstDensity)
	assert.Positive(t, r.Stats.Iterations)
}

func TestKeepsItsBudget(t *testing.T) {
	start := time.Now()
	r, err := nest.Nest(context.Background(), nest.Strip{Width: 200, Gap: 3}, few(20), nest.Options{Budget: 400 * time.Millisecond})
	require.NoError(t, err)
	// A busy machine may add to the 5 % that the program keeps to.
	assert.Less(t, time.Since(start), 2*time.Second)
	assert.LessOrEqual(t, r.Stats.First, r.Stats.Elapsed)
}
