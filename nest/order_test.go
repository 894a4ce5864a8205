package nest_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// decals are outlines such as a shop's order has: 12 blobs about 4.6 in wide and 5.25 in high, 8 copies of each.
func decals(count int) []nest.Piece {
	rng := rand.New(rand.NewPCG(11, 12))
	var pieces []nest.Piece
	for i := range 12 {
		const n = 60
		ring := make(orb.Ring, n)
		var amp, phase [6]float64
		for k := range amp {
			amp[k], phase[k] = 0.16*rng.Float64()/float64(k+1), 2*math.Pi*rng.Float64()
		}
		for v := range ring {
			a := 2 * math.Pi * float64(v) / n
			r := 1.0
			for k := range amp {
				r += amp[k] * math.Cos(float64(k+2)*a+phase[k])
			}
			ring[v] = orb.Point{0.87 * r * math.Cos(a), r * math.Sin(a)}
		}
		b := ring.Bound()
		scale := 5.25 * 25.4 / (b.Max[1] - b.Min[1])
		for v := range ring {
			ring[v] = orb.Point{(ring[v][0] - b.Min[0]) * scale, (ring[v][1] - b.Min[1]) * scale}
		}
		p := nest.Piece{ID: string(rune('A' + i)), Outline: orb.MultiPolygon{{ring}}, Count: count}
		switch {
		case i == 0:
			p.Rotations.Mode = nest.RotateAny
		case i%2 == 0:
			p.Rotations.Mode = nest.RotateQuarter
		}
		pieces = append(pieces, p)
	}
	return pieces
}

func shopStrip() nest.Strip {
	return nest.Strip{Width: 12 * units.Inch, Gap: units.Inch / 4, Margins: nest.EqualMargins(10), Lead: 25, MaxLength: 15 * units.Inch}
}

func TestOrderInLoads(t *testing.T) {
	pieces, strip := decals(8), shopStrip()
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Budget: 1500 * time.Millisecond})
	require.NoError(t, err)
	assert.Greater(t, len(r.Loads), 1)
	checked(t, r, strip, pieces)
}

// The loads of an order of a few designs, many of each, come in a few patterns, each cut several times.
func TestIdenticalLoads(t *testing.T) {
	pieces, strip := decals(6)[1:5], shopStrip()
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 30, IdenticalLoads: true})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
	patterns := map[string]int{}
	for _, l := range r.Loads {
		key := ""
		for _, p := range l.Placements {
			key += fmt.Sprintf("%s %v %v %v;", p.Piece, p.Rotation, p.X, p.Y)
		}
		patterns[key]++
	}
	assert.LessOrEqual(t, len(r.Loads), 5)
	assert.LessOrEqual(t, len(patterns), 3)
	t.Log(len(patterns), "patterns,", len(r.Loads), "loads")
}
