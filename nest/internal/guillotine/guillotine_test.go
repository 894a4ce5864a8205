package guillotine

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func frame(length float64) Frame {
	f := Frame{X0: 5, Y0: 10, X1: math.Inf(1), Y1: 190, Right: math.Inf(1), Top: 200, Kept: 4, Loads: 1}
	if length > 0 {
		f.X1, f.Right, f.Loads = length-5, length, 1000
	}
	return f
}

func boxes(rng *rand.Rand, n int) []Box {
	var list []Box
	for range n {
		w, h := 10+50*rng.Float64(), 10+50*rng.Float64()
		list = append(list, Box{Ways: []Way{{w, h}, {h, w}}})
	}
	return list
}

// valid checks all pairs, the frame, and that cuts divide sheets from edge to edge until every box has its own.
func valid(t *testing.T, f Frame, list []Box, l *Layout) {
	t.Helper()
	type rect struct{ x0, y0, x1, y1 float64 }
	at := func(i int) rect {
		w := list[i].Ways[l.Spots[i].Way]
		return rect{l.Spots[i].X, l.Spots[i].Y, l.Spots[i].X + w.W, l.Spots[i].Y + w.H}
	}
	const near = 1e-9
	for i := range list {
		a := at(i)
		assert.True(t, a.x0 >= f.X0 && a.y0 >= f.Y0 && a.x1 <= f.X1+near && a.y1 <= f.Y1+near)
		for k := range i {
			b := at(k)
			if l.Spots[i].Load == l.Spots[k].Load {
				assert.False(t, a.x0 < b.x1+f.Kept-near && b.x0 < a.x1+f.Kept-near && a.y0 < b.y1+f.Kept-near && b.y0 < a.y1+f.Kept-near, "%d and %d", i, k)
			}
		}
	}
	for load := range l.Loads {
		sheets := []rect{{f.Left, f.Bottom, f.Right, f.Top}}
		for _, c := range l.Cuts {
			if c.Load != load {
				continue
			}
			done := false
			for i, s := range sheets {
				if c.X1 == c.X2 && c.Y1 == s.y0 && c.Y2 == s.y1 && c.X1 > s.x0 && c.X1 < s.x1 {
					sheets[i].x1 = c.X1
					sheets = append(sheets, rect{c.X1, s.y0, s.x1, s.y1})
					done = true
				} else if c.Y1 == c.Y2 && c.X1 == s.x0 && c.X2 == s.x1 && c.Y1 > s.y0 && c.Y1 < s.y1 {
					sheets[i].y1 = c.Y1
					sheets = append(sheets, rect{s.x0, c.Y1, s.x1, s.y1})
					done = true
				}
				if done {
					break
				}
			}
			require.True(t, done, "%v divides no sheet", c)
		}
		used := map[int]bool{}
		for i := range list {
			if l.Spots[i].Load != load {
				continue
			}
			a, found := at(i), -1
			for k, s := range sheets {
				if a.x0 >= s.x0 && a.x1 <= s.x1 && a.y0 >= s.y0 && a.y1 <= s.y1 {
					found = k
				}
			}
			require.GreaterOrEqual(t, found, 0)
			assert.False(t, used[found])
			used[found] = true
		}
	}
}

func TestLayoutsAreGuillotine(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, length := range []float64{0, 150} {
		f, list := frame(length), boxes(rng, 30)
		first, _ := Search(context.Background(), f, list, Options{FirstOnly: true}, nil)
		require.NotNil(t, first)
		valid(t, f, list, first)
		best, n := Search(context.Background(), f, list, Options{Evaluations: 3000, Seed: 4}, nil)
		valid(t, f, list, best)
		assert.Equal(t, 3000, n)
		assert.False(t, first.better(best))
		again, _ := Search(context.Background(), f, list, Options{Evaluations: 3000, Seed: 4}, nil)
		assert.Equal(t, best, again)
	}
}

// TestBlockedStretches: boxes keep their distance from what is blocked, whatever order it is given in and however it
// overlaps, and cuts free every box from it.
func TestBlockedStretches(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, length := range []float64{0, 400} {
		f, list := frame(length), boxes(rng, 20)
		f.Blocked = []Span{{180, 200}, {60, 75}, {70, 90}, {-20, 3}, {1000, 1010}}
		l, _ := Search(context.Background(), f, list, Options{Evaluations: 500, Seed: 4}, nil)
		require.NotNil(t, l)
		assert.Zero(t, l.Unplaced)
		valid(t, f, list, l)
		for i, s := range l.Spots {
			for _, b := range f.Blocked {
				x1 := s.X + list[i].Ways[s.Way].W
				assert.True(t, s.X >= b.To+f.Kept || x1 <= b.From-f.Kept+1e-9, "box %d at %v in %v", i, s, b)
			}
		}
	}
	f := frame(0)
	f.Blocked = []Span{{0, math.Inf(1)}}
	l, _ := Search(context.Background(), f, boxes(rng, 2), Options{Evaluations: 5}, nil)
	require.NotNil(t, l)
	assert.Equal(t, 2, l.Unplaced)
}

// Boxes of equal size make rows and columns: as many across as fit, and no more film than that takes.
func TestEqualBoxes(t *testing.T) {
	f := frame(0)
	var list []Box
	for range 12 {
		list = append(list, Box{Ways: []Way{{30, 42}, {42, 30}}})
	}
	l, _ := Search(context.Background(), f, list, Options{FirstOnly: true}, nil)
	valid(t, f, list, l)
	// 180 mm take four of 42 across (4·42 + 3·4) or five of 30 (5·30 + 4·4): three columns of 30 and 4 between.
	assert.InDelta(t, 5+3*30+2*4, l.Film, 1e-9)
}

func TestNoRoom(t *testing.T) {
	l, _ := Search(context.Background(), frame(150), []Box{{Ways: []Way{{500, 20}}}, {Ways: []Way{{20, 20}}}}, Options{Evaluations: 5}, nil)
	require.NotNil(t, l)
	assert.Equal(t, 1, l.Unplaced)
	assert.Equal(t, -1, l.Spots[0].Load)
	assert.Equal(t, 1, l.Loads)
}
