package boundary

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/vinylgeom/vinyl/outline"
)

// wavy is a closed smooth contour of n quadratics about c, counter-clockwise.
func wavy(rng *rand.Rand, c outline.Point, radius float64, n int) outline.Contour {
	at := make([]outline.Point, n)
	for i := range at {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r := radius * (0.8 + 0.2*rng.Float64())
		at[i] = c.Add(outline.Pt(r*cos, r*sin))
	}
	k := outline.Contour{Start: at[0].Lerp(at[1], 0.5)}
	for i := range at {
		k.Segments = append(k.Segments, outline.QuadTo(at[(i+1)%n], at[(i+1)%n].Lerp(at[(i+2)%n], 0.5)))
	}
	return k
}

// rings is rings of film about the size of letters, nine millimetres apart.
func rings(n int) outline.Path {
	rng := rand.New(rand.NewPCG(7, 11))
	var p outline.Path
	for i := range n {
		c := outline.Pt(9*float64(i%10), 9*float64(i/10))
		p = append(p, wavy(rng, c, 4.3, 12), wavy(rng, c, 1.9, 8).Reversed())
	}
	return p
}

func BenchmarkCircle(b *testing.B) {
	s := Inscriber{Boundary: New(rings(50), 0.02, 1)}
	b.ReportAllocs()
	for b.Loop() {
		for k := range 50 {
			s.Circle([]int{2 * k, 2*k + 1}, false, 0.01)
			s.Circle([]int{2*k + 1}, true, 0.01)
		}
	}
}

func BenchmarkBall(b *testing.B) {
	p := New(rings(50), 0.02, 1)
	p.Near(1)
	b.ReportAllocs()
	for b.Loop() {
		for i := range p.Edges {
			e := &p.Edges[i]
			q := e.At(e.Length / 2)
			p.Ball(q, e.U.Perp(), 1, int32(i), -1)
			p.Ball(q, e.U.Perp().Mul(-1), 0.75, int32(i), -1)
		}
	}
}
