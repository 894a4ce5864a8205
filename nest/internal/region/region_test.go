package region

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/vinylgeom/vinyl/nest/internal/convex"
)

// star is a polygon around the origin with random radii.
func star(rng *rand.Rand, n int, least, most float64) *convex.Outline {
	var ring orb.Ring
	for k := range n {
		r := least + (most-least)*rng.Float64()
		a := 2 * math.Pi * float64(k) / float64(n)
		ring = append(ring, orb.Point{r * math.Cos(a), r * math.Sin(a)})
	}
	return convex.FromMultiPolygon(orb.MultiPolygon{{ring}})
}

// slowDepth is the distance to the outside by samples on rays: an upper bound
// that comes close from above.
func slowDepth(r *Region, x, y float64) float64 {
	inside := func(x, y float64) bool {
		for _, part := range r.Parts {
			in := true
			for _, h := range part {
				in = in && h.NX*x+h.NY*y < h.D
			}
			if in {
				return true
			}
		}
		return false
	}
	if !inside(x, y) {
		return 0
	}
	best := math.Inf(1)
	for k := range 180 {
		c, s := math.Cos(float64(k)*math.Pi/90), math.Sin(float64(k)*math.Pi/90)
		lo, hi := 0.0, 1.0
		for inside(x+hi*c, y+hi*s) && hi < best {
			hi += 0.5
		}
		lo = hi - 1
		for range 20 {
			if m := (lo + hi) / 2; inside(x+m*c, y+m*s) {
				lo = m
			} else {
				hi = m
			}
		}
		best = min(best, hi)
	}
	return best
}

func TestDepthAgainstSlowVersion(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 3 {
		a, b := star(rng, 9, 8, 30), star(rng, 7, 5, 20)
		r := Build(NewShape(a, 0), NewShape(b, 1), Cells)
		cell := 1 / r.inv
		for range 200 {
			x := r.Box.MinX + rng.Float64()*(r.Box.MaxX-r.Box.MinX)
			y := r.Box.MinY + rng.Float64()*(r.Box.MaxY-r.Box.MinY)
			got, want := r.Depth(x, y), slowDepth(r, x, y)
			assert.Equal(t, want > 0, got > 0, "the verdict is exact")
			assert.InDelta(t, want, got, 2.5*cell, "depth at %v, %v", x, y)
			if depth, nx, ny, d, ok := r.Exit(x, y); ok {
				assert.InDelta(t, 1, math.Hypot(nx, ny), 1e-6)
				assert.InDelta(t, depth, d-nx*x-ny*y, 1e-6)
			}
		}
	}
}

func BenchmarkBuild(b *testing.B) {
	for _, n := range []int{8, 30, 100} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			rng := rand.New(rand.NewPCG(1, 1))
			p, q := star(rng, n, 10, 30), star(rng, n, 10, 30)
			b.ReportAllocs()
			for b.Loop() {
				Build(NewShape(p, 0), NewShape(q, 1), Cells)
			}
		})
	}
}
