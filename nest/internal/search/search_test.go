package search

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var quarters = []float64{0, math.Pi / 2, math.Pi, 3 * math.Pi / 2}

func rectangle(w, h float64) orb.MultiPolygon {
	return orb.MultiPolygon{{{{0, 0}, {w, 0}, {w, h}, {0, h}}}}
}

func copies(n, shape int, angles []float64) []Piece {
	ps := make([]Piece, n)
	for i := range ps {
		ps[i] = Piece{shape, angles}
	}
	return ps
}

// verify judges a solution by the overlay of simplefeatures v0.59.0. area is the
// overlap area allowed for two pieces: 0 where contacts are whole numbers.
func verify(t testing.TB, p Problem, s Solution, area float64) {
	t.Helper()
	require.Len(t, s.Poses, len(p.Pieces))
	var placed []geom.Geometry
	for i, pose := range s.Poses {
		if angles := p.Pieces[i].Angles; angles != nil {
			off := math.Inf(1)
			for _, a := range angles {
				off = min(off, math.Abs(math.Remainder(a-pose.Angle, 2*math.Pi)))
			}
			require.Less(t, off, 1e-9, "piece %d turned by a forbidden angle", i)
		}
		g := placedGeometry(t, p.Shapes[p.Pieces[i].Shape], pose)
		lo, hi, ok := g.Envelope().MinMaxXYs()
		require.True(t, ok)
		require.GreaterOrEqual(t, lo.X, 0.0)
		require.GreaterOrEqual(t, lo.Y, -1e-12*p.Width)
		require.LessOrEqual(t, hi.Y, p.Width*(1+1e-12))
		require.LessOrEqual(t, hi.X, s.Length*(1+1e-12))
		if p.MaxLength > 0 {
			require.LessOrEqual(t, hi.X, p.MaxLength)
		}
		placed = append(placed, g)
	}
	for _, poly := range p.Obstacles {
		placed = append(placed, placedGeometry(t, orb.MultiPolygon{poly}, Pose{}))
	}
	for i := range len(s.Poses) {
		for j := i + 1; j < len(placed); j++ {
			if !geom.Intersects(placed[i], placed[j]) {
				continue
			}
			x, err := geom.Intersection(placed[i], placed[j])
			require.NoError(t, err)
			require.LessOrEqual(t, x.Area(), area, "pieces %d and %d overlap", i, j)
		}
	}
}

func placedGeometry(t testing.TB, mp orb.MultiPolygon, pose Pose) geom.Geometry {
	c, s := math.Round(math.Cos(pose.Angle)*1e15)/1e15, math.Round(math.Sin(pose.Angle)*1e15)/1e15
	var polys []geom.Polygon
	for _, poly := range mp {
		var rings []geom.LineString
		for _, r := range poly {
			var xy []float64
			for i := range len(r) + 1 {
				v := r[i%len(r)]
				xy = append(xy, c*v[0]-s*v[1]+pose.X, s*v[0]+c*v[1]+pose.Y)
			}
			rings = append(rings, geom.NewLineString(geom.NewSequence(xy, geom.DimXY)))
		}
		polys = append(polys, geom.NewPolygon(rings))
	}
	return geom.NewMultiPolygon(polys).AsGeometry()
}

func minimise(t testing.TB, p Problem, o Options) Solution {
	t.Helper()
	s, err := Minimise(context.Background(), p, o)
	require.NoError(t, err)
	return s
}

// Closed forms: lengths that follow from the areas alone because the pieces
// tile the strip.
func TestTilings(t *testing.T) {
	l := orb.MultiPolygon{{{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 2}, {0, 2}}}}
	for _, c := range []struct {
		name string
		p    Problem
		want float64
	}{
		{"nine squares on a strip three wide", Problem{Width: 30, Shapes: []orb.MultiPolygon{rectangle(10, 10)}, Pieces: copies(9, 0, quarters)}, 30},
		{"two L that make a rectangle", Problem{Width: 3, Shapes: []orb.MultiPolygon{l}, Pieces: copies(2, 0, []float64{0, math.Pi})}, 3},
		{"as wide as the strip", Problem{Width: 7, Shapes: []orb.MultiPolygon{rectangle(2, 7)}, Pieces: copies(3, 0, []float64{0})}, 6},
		{"wide only when turned", Problem{Width: 5, Shapes: []orb.MultiPolygon{rectangle(3, 9)}, Pieces: copies(1, 0, quarters)}, 9},
		{"triangles in pairs", Problem{Width: 8, Shapes: []orb.MultiPolygon{{orb.Polygon{orb.Ring{{0, 0}, {4, 0}, {0, 4}}}}}, Pieces: copies(8, 0, quarters)}, 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := minimise(t, c.p, Options{Iterations: 600})
			verify(t, c.p, s, 0)
			assert.InDelta(t, c.want, s.Length, 1e-9)
		})
	}
}

func TestHoleTakesAPiece(t *testing.T) {
	ring := orb.MultiPolygon{{{{0, 0}, {20, 0}, {20, 20}, {0, 20}}, {{3, 3}, {3, 17}, {17, 17}, {17, 3}}}}
	p := Problem{Width: 20, Shapes: []orb.MultiPolygon{ring, rectangle(9, 9)}, Pieces: []Piece{{0, quarters}, {1, quarters}}}
	s := minimise(t, p, Options{Iterations: 400})
	verify(t, p, s, 0)
	assert.InDelta(t, 20, s.Length, 1e-9, "the square lies inside the ring")
}

func TestPartsOfOnePieceMoveTogether(t *testing.T) {
	pair := orb.MultiPolygon{{{{0, 0}, {2, 0}, {2, 10}, {0, 10}}}, {{{6, 0}, {8, 0}, {8, 10}, {6, 10}}}}
	p := Problem{Width: 10, Shapes: []orb.MultiPolygon{pair}, Pieces: copies(2, 0, []float64{0})}
	s := minimise(t, p, Options{Iterations: 400})
	verify(t, p, s, 0)
	assert.InDelta(t, 10, s.Length, 1e-9, "one bar of each between those of the other")
}

func randomProblem(seed uint64, n int) Problem {
	rng := rand.New(rand.NewPCG(seed, 9))
	p := Problem{Width: 120}
	for k := range 4 {
		var ring orb.Ring
		m := 4 + rng.IntN(6)
		for i := range m {
			r := 8 + 14*rng.Float64()
			a := 2 * math.Pi * float64(i) / float64(m)
			ring = append(ring, orb.Point{r * math.Cos(a), r * math.Sin(a)})
		}
		p.Shapes = append(p.Shapes, orb.MultiPolygon{{ring}})
		p.Pieces = append(p.Pieces, copies(n/4, k, quarters)...)
	}
	return p
}

func TestSameSeedSameLayoutOnAnyNumberOfWorkers(t *testing.T) {
	for _, n := range []int{12, 64} {
		p := randomProblem(3, n)
		var first Solution
		for workers := 1; workers <= 3; workers++ {
			s := minimise(t, p, Options{Seed: 5, Iterations: 60, Workers: workers})
			verify(t, p, s, 1e-9)
			if workers == 1 {
				first = s
				continue
			}
			assert.Equal(t, first.Poses, s.Poses, "n=%d workers=%d", n, workers)
		}
		other := minimise(t, p, Options{Seed: 6, Iterations: 60})
		assert.NotEqual(t, first.Poses, other.Poses, "another seed, another layout")
	}
}

func TestCancelGivesTheLastProgress(t *testing.T) {
	p := randomProblem(4, 24)
	ctx, cancel := context.WithCancel(context.Background())
	var last Progress
	seen := 0
	s, err := Minimise(ctx, p, Options{Progress: func(pr Progress) {
		last = pr
		if seen++; seen == 4 {
			cancel()
		}
	}})
	require.ErrorIs(t, err, context.Canceled)
	verify(t, p, s, 1e-9)
	assert.Equal(t, last.Length, s.Length)
	assert.Equal(t, last.Poses, s.Poses)
}

func TestDeadlineIsKept(t *testing.T) {
	begin := time.Now()
	s := minimise(t, randomProblem(5, 40), Options{Deadline: begin.Add(300 * time.Millisecond)})
	assert.Less(t, time.Since(begin), 600*time.Millisecond, "with room for a busy machine")
	assert.LessOrEqual(t, s.Length, s.FirstLength)
}

func TestFreeAngles(t *testing.T) {
	// a bar longer than the strip is wide lies along it or slants; any angle
	// beats the angles of the search
	p := Problem{Width: 10, Shapes: []orb.MultiPolygon{rectangle(12, 1)}, Pieces: copies(6, 0, nil)}
	s := minimise(t, p, Options{Iterations: 300})
	verify(t, p, s, 1e-9)
	assert.LessOrEqual(t, s.Length, 12+1e-9)
	q := randomProblem(6, 12)
	for i := range q.Pieces {
		q.Pieces[i].Angles = nil
	}
	free := minimise(t, q, Options{Iterations: 300})
	verify(t, q, free, 1e-9)
	fixed := minimise(t, randomProblem(6, 12), Options{Iterations: 300})
	assert.Less(t, free.Length, fixed.Length*1.02)
}

func TestObstaclesAndFit(t *testing.T) {
	p := randomProblem(7, 12)
	p.Obstacles = orb.MultiPolygon{
		{{{20, 30}, {60, 30}, {60, 60}, {20, 60}}},
		{{{100, 0}, {140, 0}, {140, 50}}},
	}
	s := minimise(t, p, Options{Iterations: 300})
	verify(t, p, s, 1e-9)
	assert.Less(t, s.Length, s.FirstLength)

	length := s.Length * 1.05
	f, ok, err := Fit(context.Background(), p, length, Options{Iterations: 3000})
	require.NoError(t, err)
	require.True(t, ok)
	p.MaxLength = length
	verify(t, p, f, 1e-9)
	_, ok, _ = Fit(context.Background(), p, s.Length/4, Options{Iterations: 50}) // a piece may be longer than that by itself: then an error says so
	assert.False(t, ok)
}

func TestErrors(t *testing.T) {
	bar := rectangle(50, 30)
	for _, c := range []struct {
		name string
		p    Problem
		want error
	}{
		{"too wide", Problem{Width: 20, Shapes: []orb.MultiPolygon{bar}, Pieces: copies(1, 0, quarters)}, ErrTooWide},
		{"too wide at any angle", Problem{Width: 20, Shapes: []orb.MultiPolygon{bar}, Pieces: copies(1, 0, nil)}, ErrTooWide},
		{"too long", Problem{Width: 40, MaxLength: 45, Shapes: []orb.MultiPolygon{bar}, Pieces: copies(1, 0, quarters)}, ErrTooLong},
		{"no area", Problem{Width: 20, Shapes: []orb.MultiPolygon{nil}, Pieces: copies(1, 0, nil)}, ErrOutline},
		{"not a number", Problem{Width: 20, Shapes: []orb.MultiPolygon{{{{{0, 0}, {1, math.NaN()}, {2, 2}}}}}, Pieces: copies(1, 0, nil)}, ErrOutline},
		{"no width", Problem{Shapes: []orb.MultiPolygon{bar}, Pieces: copies(1, 0, nil)}, ErrProblem},
		{"no such shape", Problem{Width: 20, Pieces: copies(1, 3, nil)}, ErrProblem},
		{"no angle", Problem{Width: 20, Shapes: []orb.MultiPolygon{bar}, Pieces: copies(1, 0, []float64{})}, ErrProblem},
		{"no room", Problem{Width: 60, MaxLength: 60, Shapes: []orb.MultiPolygon{bar}, Pieces: copies(9, 0, quarters)}, ErrNoRoom},
	} {
		_, err := Minimise(context.Background(), c.p, Options{Iterations: 20})
		require.ErrorIs(t, err, c.want, c.name)
		var pe *ProblemError
		require.True(t, errors.As(err, &pe), c.name)
		assert.NotEmpty(t, pe.Error())
	}
	_, err := Minimise(context.Background(), Problem{Width: 20, Shapes: []orb.MultiPolygon{bar}, Pieces: copies(1, 0, quarters)}, Options{})
	var pe *ProblemError
	require.ErrorAs(t, err, &pe)
	assert.Equal(t, 0, pe.Piece)
	assert.InDelta(t, 30, pe.Need, 1e-9, "the width it would need")
	s, err := Minimise(context.Background(), Problem{Width: 1}, Options{})
	require.NoError(t, err)
	assert.Zero(t, s.Length)
}

func TestManyCopiesRepeatAUnit(t *testing.T) {
	l := orb.MultiPolygon{{{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 2}, {0, 2}}}}
	p := Problem{Width: 12, Shapes: []orb.MultiPolygon{l}, Pieces: copies(500, 0, quarters)}
	s := minimise(t, p, Options{Iterations: 100})
	verify(t, p, s, 0)
	assert.Greater(t, 500*4/(12*s.Length), 0.8)
	assert.Less(t, s.Length, s.FirstLength)
}

func TestManyDifferentPieces(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	p := Problem{Width: 200}
	for k := range densePieces + 1 {
		w, h := 5+20*rng.Float64(), 5+20*rng.Float64()
		p.Shapes = append(p.Shapes, orb.MultiPolygon{{{{0, 0}, {w, 0}, {w / 2, h}}}})
		p.Pieces = append(p.Pieces, Piece{k, []float64{0, math.Pi}})
	}
	s := minimise(t, p, Options{Iterations: 15})
	verify(t, p, s, 1e-9)
	assert.Less(t, s.Length, s.FirstLength)
}

func TestJigsawsAndRectanglesOfKnownOptimum(t *testing.T) {
	dir := dataDir(t)
	for name, want := range map[string]float64{"dighe2": 100, "ht_c1_1": 20} {
		p := readInstance(t, filepath.Join(dir, name+".json"))
		s := minimise(t, p, Options{Seed: 1, Iterations: 3000})
		verify(t, p, s, 0)
		assert.LessOrEqual(t, s.Length, want*1.12, name)
		assert.GreaterOrEqual(t, s.Length, want, name)
	}
}

// FuzzMinimise: whatever the pieces, the layout is valid or the error typed.
func FuzzMinimise(f *testing.F) {
	f.Add(uint64(1), uint8(5), float64(40))
	f.Add(uint64(2), uint8(9), float64(1e-3))
	f.Fuzz(func(t *testing.T, seed uint64, n uint8, width float64) {
		rng := rand.New(rand.NewPCG(seed, 1))
		p := Problem{Width: width}
		for k := range 1 + int(n)%8 {
			var ring orb.Ring
			for i := range 3 + rng.IntN(7) {
				r := 20 * rng.Float64()
				a := float64(i) * (0.6 + 0.3*rng.Float64())
				ring = append(ring, orb.Point{math.Round(r * math.Cos(a)), math.Round(r * math.Sin(a))})
			}
			p.Shapes = append(p.Shapes, orb.MultiPolygon{{ring}})
			p.Pieces = append(p.Pieces, copies(1+rng.IntN(3), k, quarters)...)
		}
		s, err := Minimise(context.Background(), p, Options{Seed: seed, Iterations: 5})
		if err != nil {
			var pe *ProblemError
			require.ErrorAs(t, err, &pe)
			return
		}
		w, err := newWorld(p)
		require.NoError(t, err)
		length, ok := w.exact(s.Poses)
		require.True(t, ok)
		require.Equal(t, length, s.Length)
	})
}

func TestRegionCountCountsTheShapesInUse(t *testing.T) {
	square := orb.MultiPolygon{{{{0, 0}, {1, 0}, {1, 2}, {0, 2}}}}
	p := Problem{Width: 10}
	for i := range 30 {
		p.Shapes = append(p.Shapes, square)
		p.Pieces = append(p.Pieces, Piece{Shape: i, Angles: []float64{0, math.Pi}})
	}
	w, err := newWorld(p)
	if err != nil {
		t.Fatal(err)
	}
	if got := w.regionCount(); got != 2*30*31/2 {
		t.Errorf("30 shapes: %d regions", got)
	}
	if got := w.part([]int{4, 17, 29}).regionCount(); got != 2*3*4/2 {
		t.Errorf("3 of them: %d regions", got)
	}
}
