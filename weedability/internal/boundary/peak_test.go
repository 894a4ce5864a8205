package boundary

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
)

// TestPeakAgainstSampling: the bound is never below what a fine sampling of the disc
// finds, and the peak itself, where it is asked for, hardly above.
func TestPeakAgainstSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range 500 {
		n := 1 + rng.IntN(9)
		p := peak{reach: 0.1 + rng.Float64()}
		first := 0
		for k := range n {
			a := outline.Pt(2*rng.Float64()-1, 2*rng.Float64()-1)
			p.a, p.alpha = append(p.a, a), append(p.alpha, a.Dot(a))
			if p.alpha[k] < p.alpha[first] {
				first = k
			}
		}
		height := func(v outline.Point) float64 {
			least := math.Inf(1)
			for k, a := range p.a {
				least = math.Min(least, p.alpha[k]-2*a.Dot(v))
			}
			return least
		}
		sampled := math.Inf(-1)
		for i := range 41 {
			for j := range 41 {
				v := outline.Pt(p.reach*(float64(i)/20-1), p.reach*(float64(j)/20-1))
				if r := v.Norm(); r > p.reach {
					v = v.Mul(p.reach / r)
				}
				sampled = math.Max(sampled, height(v))
			}
		}
		v, most := p.climb(first, math.Inf(-1))
		require.LessOrEqual(t, v.Norm(), p.reach*(1+1e-9))
		require.GreaterOrEqual(t, most, sampled-1e-9)
		require.LessOrEqual(t, most, sampled+0.3*p.reach)
		require.GreaterOrEqual(t, height(v), sampled-0.01)
	}
}
