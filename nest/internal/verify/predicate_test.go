package verify

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
)

// The judge is rational arithmetic on points that lie almost on one line, where float64 alone goes wrong.
func TestOrientAgainstRational(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	wrong, undecided := 0, 0
	for range 4000 {
		a := orb.Point{rng.Float64() * 100, rng.Float64() * 100}
		b := orb.Point{rng.Float64() * 100, rng.Float64() * 100}
		s := rng.Float64() * 2
		c := orb.Point{a[0] + s*(b[0]-a[0]), a[1] + s*(b[1]-a[1])}
		for range rng.IntN(3) {
			c[rng.IntN(2)] = math.Nextafter(c[0], 1000*rng.Float64())
		}
		want := orientRational(a, b, c)
		assert.Equal(t, want, orient(a, b, c))
		assert.Equal(t, want, orient(b, c, a), "turning the arguments keeps the sign")
		assert.Equal(t, -want, orient(b, a, c), "swapping two arguments flips the sign")
		naive := sign((a[0]-c[0])*(b[1]-c[1]) - (a[1]-c[1])*(b[0]-c[0]))
		if naive != want {
			wrong++
		}
		if want == 0 {
			undecided++
		}
	}
	assert.Positive(t, wrong, "the points are meant to be hard")
	tiny := orb.Point{1e-200, 1e-200}
	assert.Equal(t, orientRational(orb.Point{}, tiny, orb.Point{2e-200, 3e-200}), orient(orb.Point{}, tiny, orb.Point{2e-200, 3e-200}))
}

func TestAtLeast(t *testing.T) {
	// 3-4-5: the distance from (0, 0) to the line through (5/3·4, 0) and (0, 5) is exactly 4 only in whole numbers scaled up.
	p, a, b := orb.Point{0, 0}, orb.Point{20, 0}, orb.Point{0, 15}
	assert.InDelta(t, 12, distanceToSegment(p, a, b), 1e-14)
	assert.True(t, atLeast(12, 12, p, a, b))
	assert.False(t, atLeast(12, math.Nextafter(12, 13), p, a, b))
	assert.True(t, atLeast(12, math.Nextafter(12, 11), p, a, b))
	assert.True(t, atLeastExact(5, orb.Point{23, 4}, orb.Point{0, 0}, a), "beyond the end")
	assert.False(t, atLeastExact(math.Nextafter(5, 6), orb.Point{-3, 4}, orb.Point{0, 0}, a), "before the start")
}
