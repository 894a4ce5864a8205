package outline

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// tangle returns rings of a few vertices on a small grid, so that edges pass
// through corners of squares, run over one another and meet in vertices.
func tangle(r *rand.Rand, side int) []ring {
	rings := make([]ring, 1+r.IntN(4))
	for i := range rings {
		for range 3 + r.IntN(6) {
			at := gridPoint{int32(r.IntN(side)), int32(r.IntN(side))}
			if n := len(rings[i]); n > 0 && (rings[i][n-1].from == at || rings[i][0].from == at) {
				continue
			}
			rings[i] = append(rings[i], chord{from: at, t1: 1})
		}
		if len(rings[i]) < 3 {
			rings[i] = ring{{from: gridPoint{0, 0}, t1: 1}, {from: gridPoint{3, 0}, t1: 1}, {from: gridPoint{0, 2}, t1: 1}}
		}
	}
	return rings
}

// Noded edges meet in their ends only: every pair of them is compared. On a small
// grid crossings fall on the corners of squares all the time.
func TestNodedEdgesMeetAtNodesOnly(t *testing.T) {
	const seed = 7
	for n := range 3000 {
		r := rand.New(rand.NewPCG(seed, uint64(n)))
		rings := tangle(r, 3+n%9)
		a := newArrangement(rings, func(w int32) bool { return w > 0 })
		type edge struct{ from, to gridPoint }
		var edges []edge
		for i := range a.runs {
			if a.runs[i].gone {
				continue
			}
			for j := a.runs[i].lo; j < a.runs[i].hi; j++ {
				to := a.nodes[a.runs[i].to].at
				if j+1 < a.runs[i].hi {
					to = a.edges[j+1].from
				}
				edges = append(edges, edge{a.edges[j].from, to})
			}
		}
		within := func(e edge, p gridPoint) bool {
			return p != e.from && p != e.to && cross(e.from, e.to, p) == 0 && inBoxOf(e.from, e.to, p)
		}
		for i, e := range edges {
			for _, f := range edges[i+1:] {
				apart := cross(e.from, e.to, f.from) > 0 == (cross(e.from, e.to, f.to) > 0) || cross(e.from, e.to, f.from) == 0 || cross(e.from, e.to, f.to) == 0 ||
					cross(f.from, f.to, e.from) > 0 == (cross(f.from, f.to, e.to) > 0) || cross(f.from, f.to, e.from) == 0 || cross(f.from, f.to, e.to) == 0
				switch {
				case !apart:
					t.Fatalf("tangle %d of seed %d: %v crosses %v", n, seed, e, f)
				case within(e, f.from) || within(e, f.to) || within(f, e.from) || within(f, e.to):
					t.Fatalf("tangle %d of seed %d: %v touches %v", n, seed, e, f)
				case e == f || e == edge{f.to, f.from}:
					t.Fatalf("tangle %d of seed %d: %v is there twice", n, seed, e)
				}
			}
		}
		_, _, err := arrange(rings, func(w int32) bool { return w&1 != 0 })
		require.NoError(t, err, "tangle %d of seed %d", n, seed)
	}
}

// The rounded place of a crossing belongs to the square that holds the crossing,
// whose upper and right sides are others'.
func TestShareRoundsUpFromTheMiddle(t *testing.T) {
	for _, c := range []struct {
		d        int32
		from, to int64
		want     int32
	}{
		{10, 1, -1, 5}, {1, 1, -1, 1}, {-1, 1, -1, 0}, {3, -1, 1, 2}, {-3, -1, 1, -1},
		{7, 1, -2, 2}, {-7, 1, -2, -2}, {8, 1, -2, 3}, {-8, 1, -2, -3},
		{1 << 30, 1 << 61, -(1 << 61), 1 << 29}, {-(1 << 30), 1, -(1 << 62), 0},
	} {
		require.Equal(t, c.want, share(c.d, c.from, c.to), "%v", c)
	}
}
