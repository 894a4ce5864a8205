package rowfill

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest/internal/verify"
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

func moved(m orb.MultiPolygon, x, y float64) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(m))
	for i := range m {
		for _, ring := range m[i] {
			r := make(orb.Ring, len(ring))
			for k, p := range ring {
				r[k] = orb.Point{p[0] + x, p[1] + y}
			}
			out[i] = append(out[i], r)
		}
	}
	return out
}

// The judge of a fill is package verify.
func TestFillKeepsDistance(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for round := range 12 {
		gap := float64(round%3) * 2
		length := math.Inf(1)
		if round%2 == 1 {
			length = 90
		}
		area := NewArea(100, length, 100.0/float64(20+10*round))
		obstacle := star(rng, 25, 9)
		area.Block(moved(obstacle, 40, 50), gap/2)
		bodies := []*verify.Body{verify.NewBody(moved(obstacle, 40, 50))}
		for range 60 {
			m := star(rng, 5+8*rng.Float64(), 3+rng.IntN(15))
			s := NewShape(m, area.RowHeight(), gap/2)
			spot, ok := area.Find(s)
			if !ok {
				continue
			}
			area.Put(s, spot)
			placed := moved(m, spot.X, spot.Y)
			bodies = append(bodies, verify.NewBody(placed))
			b := placed.Bound()
			assert.True(t, b.Min[1] >= gap/2-1e-12 && b.Max[1] <= 100-gap/2+1e-12 && b.Min[0] >= gap/2-1e-12 && b.Max[0] <= length)
		}
		require.Greater(t, len(bodies), 5)
		assert.Empty(t, verify.Pairs(bodies, gap*(1-1e-12)).Bad)
	}
}

// Squares whose height is a whole number of rows stack without loss, holes take what fits.
func TestFillStacks(t *testing.T) {
	square := func(a float64) orb.MultiPolygon { return orb.MultiPolygon{{{{0, 0}, {a, 0}, {a, a}, {0, a}}}} }
	area := NewArea(99.9, math.Inf(1), 33.3/8)
	s := NewShape(square(33.3), area.RowHeight(), 0)
	end := 0.0
	for range 9 {
		spot, ok := area.Find(s)
		require.True(t, ok)
		area.Put(s, spot)
		end = max(end, spot.End)
	}
	assert.InDelta(t, 99.9, end, 1e-9)
	frame := orb.MultiPolygon{{square(99)[0][0], moved(square(50), 20, 20)[0][0]}}
	area = NewArea(100, math.Inf(1), 1)
	f := NewShape(frame, 1, 0)
	spot, ok := area.Find(f)
	require.True(t, ok)
	area.Put(f, spot)
	plug := NewShape(square(40), 1, 0)
	spot, ok = area.Find(plug)
	require.True(t, ok)
	assert.Less(t, spot.End, 71.0, "inside the frame")
}

// Extents hold the whole outline: every slice of it along a row, cut out by simplefeatures, lies within the spans.
func TestExtentsHoldTheOutline(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 20 {
		m := star(rng, 20, 4+rng.IntN(30))
		b := m.Bound()
		const h = 3.1
		n := int((b.Max[1]-b.Min[1])/h) + 1
		rows := extents(m, b.Min[1], h, n, 0)
		var flat []float64
		for _, p := range m[0][0] {
			flat = append(flat, p[0], p[1])
		}
		g := geom.NewPolygonXY(flat).AsGeometry()
		for k, spans := range rows {
			y0, y1 := b.Min[1]+float64(k)*h, b.Min[1]+float64(k+1)*h
			band := geom.NewPolygonXY([]float64{-99, y0, 99, y0, 99, y1, -99, y1, -99, y0}).AsGeometry()
			cut, err := geom.Intersection(g, band)
			require.NoError(t, err)
			for _, part := range cut.Dump() {
				lo, hi, ok := part.Envelope().MinMaxXYs()
				require.True(t, ok)
				inside := false
				for _, s := range spans {
					inside = inside || s.from <= lo.X+1e-9 && hi.X <= s.to+1e-9
				}
				assert.True(t, inside, "row %d: %v..%v not in %v", k, lo.X, hi.X, spans)
			}
		}
	}
}
