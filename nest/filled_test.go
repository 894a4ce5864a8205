package nest

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func boxRing(x0, y0, x1, y1 float64) orb.Ring {
	return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
}

func TestFilled(t *testing.T) {
	outer := boxRing(0, 0, 100, 60)
	slot := boxRing(10, 10, 60, 18) // 8 high
	window := boxRing(10, 25, 50, 55)
	letter := orb.Polygon{boxRing(20, 12, 24, 16)}
	inWindow := orb.Polygon{boxRing(20, 30, 24, 34)}
	beside := orb.Polygon{boxRing(200, 12, 204, 16)}
	given := orb.MultiPolygon{{outer, slot, window}, letter, inWindow, beside}
	before := given.Clone()
	assert.Equal(t, orb.MultiPolygon{{outer, window}, inWindow, beside}, filled(given, 20))
	assert.Equal(t, orb.MultiPolygon{{outer}, beside}, filled(given, 31))
	assert.Equal(t, given, filled(given, 8))
	assert.Equal(t, before, given)
}

// Decals with other words in the same slot are laid out as copies of one decal are.
func TestWordsDoNotMatter(t *testing.T) {
	const copies = 24
	// An L with a slot, so that copies interlock.
	named := func(n int) orb.MultiPolygon {
		m := orb.MultiPolygon{{
			{{0, 0}, {70, 0}, {70, 25}, {25, 25}, {25, 60}, {0, 60}, {0, 0}},
			boxRing(5, 5, 65, 20),
		}}
		for l := range 1 + n%4 {
			x := 8 + 12*float64(l) + 0.1*float64(n)
			m = append(m, orb.Polygon{boxRing(x, 7, x+6, 18), boxRing(x+2, 9, x+4, 16)})
		}
		return m
	}
	strip := Strip{Width: 304.8, Gap: 3}
	var many []Piece
	for n := range copies {
		many = append(many, Piece{ID: fmt.Sprint(n), Outline: named(n), Rotations: Rotations{Mode: RotateHalf}})
	}
	one := []Piece{{ID: "0", Outline: named(0), Count: copies, Rotations: Rotations{Mode: RotateHalf}}}
	opt := Options{Iterations: 20, Seed: 3}
	a, err := Nest(context.Background(), strip, many, opt)
	require.NoError(t, err)
	b, err := Nest(context.Background(), strip, one, opt)
	require.NoError(t, err)
	assert.Equal(t, b.Length, a.Length)
	assert.Empty(t, a.Unplaced)
	seen := map[string]bool{}
	for _, p := range a.Loads[0].Placements {
		seen[p.Piece] = true
	}
	assert.Len(t, seen, copies)

	// A piece that fits into the slot is reason to keep it.
	small := append(many, Piece{ID: "small", Outline: orb.MultiPolygon{{boxRing(0, 0, 8, 8)}}})
	j, err := prepare(strip, small, opt)
	require.NoError(t, err)
	assert.Len(t, j.kinds, copies+1)
	assert.InDelta(t, 8.0, j.least, 1e-9)
	j, err = prepare(strip, many, opt)
	require.NoError(t, err)
	assert.Len(t, j.kinds, 1)
	assert.Less(t, math.Abs(j.kinds[0].area-(70*25+25*35)), 1e-9)
}

// Pieces of one shape lie along the strip in the order they are given in, load after load.
func TestNamesRunAlongTheStrip(t *testing.T) {
	for _, way := range []func(context.Context, Strip, []Piece, Options) (Result, error){Nest, Gang} {
		var pieces []Piece
		for n := range 30 {
			pieces = append(pieces, Piece{ID: fmt.Sprintf("%02d", n), Outline: orb.MultiPolygon{{{{0, 0}, {80, 0}, {40, 50}, {0, 0}}}}, Rotations: Rotations{Mode: RotateHalf}})
		}
		pieces = append(pieces, Piece{ID: "other", Outline: orb.MultiPolygon{{boxRing(0, 0, 60, 60)}}})
		r, err := way(context.Background(), Strip{Width: 200, Gap: 2, MaxLength: 300}, pieces, Options{Iterations: 20})
		require.NoError(t, err)
		require.Greater(t, len(r.Loads), 1)
		seen := 0
		for _, l := range r.Loads {
			last := math.Inf(-1)
			for _, p := range l.Placements { // by piece, in the order given
				if p.Piece != "other" {
					x := p.Apply(pieces[0].Outline).Bound().Min[0]
					assert.GreaterOrEqual(t, x, last)
					last = x
					seen++
				}
			}
		}
		assert.Equal(t, 30, seen)
	}
}
