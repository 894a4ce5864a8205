package rect

import (
	"context"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// valid checks a packing exactly, pair by pair.
func valid(t *testing.T, width float64, rects []Rect, p Packing) {
	t.Helper()
	require.Len(t, p.Spots, len(rects))
	box := func(i int) (x0, y0, x1, y1 float64) {
		s := p.Spots[i]
		if s.Turned {
			assert.True(t, rects[i].Turned)
			return s.X, s.Y, s.X + rects[i].H, s.Y + rects[i].W
		}
		assert.True(t, rects[i].Upright)
		return s.X, s.Y, s.X + rects[i].W, s.Y + rects[i].H
	}
	longest := 0.0
	for i := range rects {
		x0, y0, x1, y1 := box(i)
		assert.True(t, x0 >= 0 && y0 >= 0 && y1 <= width)
		longest = max(longest, x1)
		for k := range i {
			u0, v0, u1, v1 := box(k)
			assert.False(t, x0 < u1 && u0 < x1 && y0 < v1 && v0 < y1, "%d and %d overlap", i, k)
		}
	}
	assert.Equal(t, longest, p.Length)
}

// cut makes rectangles by cutting up a strip, so that the least length is known.
func cut(rng *rand.Rand, w, h, n int) []Rect {
	list := [][2]int{{w, h}}
	for len(list) < n {
		i := rng.IntN(len(list))
		r := list[i]
		if rng.IntN(2) == 0 && r[0] > 1 {
			a := 1 + rng.IntN(r[0]-1)
			list[i] = [2]int{a, r[1]}
			list = append(list, [2]int{r[0] - a, r[1]})
		} else if r[1] > 1 {
			a := 1 + rng.IntN(r[1]-1)
			list[i] = [2]int{r[0], a}
			list = append(list, [2]int{r[0], r[1] - a})
		}
	}
	rng.Shuffle(len(list), func(a, b int) { list[a], list[b] = list[b], list[a] })
	var rects []Rect
	for _, r := range list {
		rects = append(rects, Rect{W: float64(r[0]), H: float64(r[1]), Upright: true, Turned: true})
	}
	return rects
}

func TestPackPerfectly(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 5 {
		rects := cut(rng, 20, 20, 14)
		p, _, ok := Pack(context.Background(), 20, rects, Options{Evaluations: 20000, Seed: 1}, nil)
		require.True(t, ok)
		valid(t, 20, rects, p)
		assert.Equal(t, 20.0, p.Length)
	}
}

func TestPackIsRepeatable(t *testing.T) {
	rects := cut(rand.New(rand.NewPCG(3, 4)), 60, 60, 40)
	var first Packing
	for i, workers := range []int{1, 2, 2} {
		p, _, ok := Pack(context.Background(), 60, rects, Options{Evaluations: 300, Seed: 5, Workers: workers}, nil)
		require.True(t, ok)
		valid(t, 60, rects, p)
		if i == 0 {
			first = p
		}
		assert.Equal(t, first, p)
	}
}

func TestPackFractions(t *testing.T) {
	rects := cut(rand.New(rand.NewPCG(3, 4)), 30, 30, 20)
	for i := range rects {
		rects[i].W *= 25.4 / 7
		rects[i].H *= 25.4 / 7
	}
	width := 31 * 25.4 / 7
	p, _, ok := Pack(context.Background(), width, rects, Options{Evaluations: 2000}, nil)
	require.True(t, ok)
	valid(t, width, rects, p)
	assert.Less(t, p.Length, 1.15*30*25.4/7)
}

func TestPackTooWide(t *testing.T) {
	_, _, ok := Pack(context.Background(), 10, []Rect{{W: 5, H: 11, Upright: true}}, Options{Evaluations: 1}, nil)
	assert.False(t, ok)
	p, _, ok := Pack(context.Background(), 10, []Rect{{W: 5, H: 11, Upright: true, Turned: true}}, Options{Evaluations: 1}, nil)
	assert.True(t, ok)
	assert.Equal(t, 11.0, p.Length)
}

// Perfect packings of E. Hopper, B. C. H. Turton, European J. Oper. Res. 128 (2001) 34-57, collected by ESICUP. The files are
// not ours to copy: they are read from the reference folder, or the one in VINYL_NESTING_DATA.
func TestHopperTurton(t *testing.T) {
	dir := os.Getenv("VINYL_NESTING_DATA")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "..", "shared", "reference", "nesting")
	}
	files, _ := filepath.Glob(filepath.Join(dir, "ht_c[12]_*.json"))
	if len(files) == 0 {
		t.Skip("no instances in " + dir + "; set VINYL_NESTING_DATA to a folder with the Hopper-Turton sets")
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		var in struct {
			StripWidth    float64 `json:"strip_width"`
			OptimalLength float64 `json:"optimal_length"`
			Items         []struct {
				Count int
				W, H  float64
			}
		}
		require.NoError(t, json.Unmarshal(data, &in))
		var rects []Rect
		for _, i := range in.Items {
			for range i.Count {
				rects = append(rects, Rect{W: i.W, H: i.H, Upright: true, Turned: true})
			}
		}
		start := time.Now()
		p, n, ok := Pack(context.Background(), in.StripWidth, rects, Options{Deadline: start.Add(10 * time.Second), Seed: 1}, nil)
		require.True(t, ok)
		valid(t, in.StripWidth, rects, p)
		assert.Equal(t, in.OptimalLength, p.Length, file)
		t.Logf("%s: %v after %v and %d evaluations", filepath.Base(file), p.Length, time.Since(start).Round(time.Millisecond), n)
	}
}

func TestOrShifted(t *testing.T) {
	// The judge is a plain set of sums.
	rng := rand.New(rand.NewPCG(7, 8))
	for range 50 {
		sums := make([]uint64, 4)
		sums[0] = 1
		want := map[int64]bool{0: true}
		for range 6 {
			a, b := 1+rng.Int64N(90), rng.Int64N(90)
			next := map[int64]bool{}
			for v := range want {
				next[v], next[v+a] = true, true
				if b > 0 {
					next[v+b] = true
				}
			}
			want = next
			orShifted(sums, a, b)
		}
		for v := range int64(256) {
			assert.Equal(t, want[v], sums[v/64]>>(v%64)&1 == 1, "%d", v)
		}
	}
}
