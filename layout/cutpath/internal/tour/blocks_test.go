package tour

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/vinylgeom/vinyl/outline"
)

// TestBlocksAgainstAllOrders judges the search by trying every order of seven
// blocks.
func TestBlocksAgainstAllOrders(t *testing.T) {
	const cases, n = 40, 7
	met := 0
	for seed := range uint64(cases) {
		rng := rand.New(rand.NewPCG(seed, 3))
		var blocks []Block
		at := func() outline.Point { return outline.Pt(rng.Float64()*200, rng.Float64()*100) }
		for range n {
			b := Block{In: at(), Out: at()}
			b.MinX, b.MaxX = min(b.In.X, b.Out.X), max(b.In.X, b.Out.X)
			blocks = append(blocks, b)
		}
		window := 0.0
		if seed%2 == 0 {
			window = 40
		}
		var end *outline.Point
		if seed%3 == 0 {
			end = &outline.Point{X: 200}
		}
		length := func(order []int) float64 {
			return newBlockSearch(blocks, order, outline.Point{}, end, window).length()
		}
		allowed := func(order []int) bool {
			for i, a := range order {
				for _, b := range order[:i] {
					if window > 0 && blocks[a].MaxX+window < blocks[b].MinX {
						return false
					}
				}
			}
			return true
		}
		best := math.Inf(1)
		var first []int
		var permute func(order []int, k int)
		permute = func(order []int, k int) {
			if k == n {
				if allowed(order) {
					if first == nil {
						first = append(first, order...)
					}
					best = min(best, length(order))
				}
				return
			}
			for i := k; i < n; i++ {
				order[k], order[i] = order[i], order[k]
				permute(order, k+1)
				order[k], order[i] = order[i], order[k]
			}
		}
		permute([]int{0, 1, 2, 3, 4, 5, 6}, 0)
		got, l := OrderBlocks(blocks, first, outline.Point{}, end, window, Options{Trials: 100, Seed: seed})
		assert.True(t, allowed(got), "seed %d", seed)
		assert.ElementsMatch(t, []int{0, 1, 2, 3, 4, 5, 6}, got)
		assert.InDelta(t, length(got), l, 1e-9)
		assert.GreaterOrEqual(t, l, best-1e-9)
		if l < best+1e-6 {
			met++
		}
	}
	t.Logf("best order found in %d of %d", met, cases)
	assert.GreaterOrEqual(t, met, cases*8/10)
}
