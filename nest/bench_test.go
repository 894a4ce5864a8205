package nest_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// manyPieces are n pieces of 40 outlines with 5 to 24 vertices, 20 to 60 mm large.
func manyPieces(n int) []nest.Piece {
	rng := rand.New(rand.NewPCG(21, 22))
	var pieces []nest.Piece
	for i := range 40 {
		p := nest.Piece{ID: fmt.Sprint("p", i), Outline: star(rng, 10+20*rng.Float64(), 5+rng.IntN(20)), Count: n / 40}
		if i < n%40 {
			p.Count++
		}
		if p.Count == 0 {
			continue
		}
		p.Rotations.Mode = nest.RotationMode(i % 3)
		pieces = append(pieces, p)
	}
	return pieces
}

// differentPieces are n pieces, no two alike.
func differentPieces(n int) []nest.Piece {
	rng := rand.New(rand.NewPCG(23, 24))
	var pieces []nest.Piece
	for i := range n {
		pieces = append(pieces, nest.Piece{ID: fmt.Sprint("p", i), Outline: star(rng, 10+20*rng.Float64(), 5+rng.IntN(20)),
			Rotations: nest.Rotations{Mode: nest.RotationMode(i % 3)}})
	}
	return pieces
}

// BenchmarkFirstLayoutDifferent is the same with no two pieces alike.
func BenchmarkFirstLayoutDifferent(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		pieces := differentPieces(n)
		for _, gap := range []units.Length{0, 3} {
			b.Run(fmt.Sprintf("gap=%g/n=%d", float64(gap), n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					r, err := nest.Nest(context.Background(), nest.Strip{Width: 600, Gap: gap}, pieces, nest.Options{Budget: nest.FirstLayoutOnly})
					if err != nil {
						b.Fatal(err)
					}
					b.ReportMetric(100*r.Density, "density%")
				}
			})
		}
	}
}

// BenchmarkFirstLayout measures the time to the first complete, verified layout through the public API.
func BenchmarkFirstLayout(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		pieces := manyPieces(n)
		for _, c := range []struct {
			name  string
			strip nest.Strip
		}{
			{"strip", nest.Strip{Width: 600, Gap: 3, Margins: nest.EqualMargins(10)}},
			{"loads", nest.Strip{Width: 600, Gap: 3, Margins: nest.EqualMargins(10), MaxLength: 400}},
		} {
			b.Run(fmt.Sprintf("%s/n=%d", c.name, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					r, err := nest.Nest(context.Background(), c.strip, pieces, nest.Options{Budget: nest.FirstLayoutOnly})
					if err != nil {
						b.Fatal(err)
					}
					b.ReportMetric(100*r.Density, "density%")
				}
			})
		}
	}
}
