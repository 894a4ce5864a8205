package convex

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func star(rng *rand.Rand, n int, least, most float64) orb.Ring {
	var ring orb.Ring
	for k := range n {
		r := least + (most-least)*rng.Float64()
		a := 2 * math.Pi * float64(k) / float64(n)
		ring = append(ring, orb.Point{r * math.Cos(a), r * math.Sin(a)})
	}
	return ring
}

func TestOrientLaws(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		// points close to a common line, where rounding would decide
		var p [3]Point
		for i := range p {
			x := rng.Float64() * 1000
			p[i] = Point{x, x/3 + float64(rng.IntN(5)-2)*0x1p-44}
		}
		o := Orient(p[0], p[1], p[2])
		assert.Equal(t, orientBig(p[0], p[1], p[2]), o)
		assert.Equal(t, -o, Orient(p[1], p[0], p[2]), "swapping two points flips the sign")
		assert.Equal(t, o, Orient(p[1], p[2], p[0]), "turning the three keeps it")
	}
	assert.Equal(t, 0, Orient(Point{0, 0}, Point{3, 1}, Point{9, 3}))
}

func TestPartsCoverTheShape(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	for n := 3; n < 120; n += 7 {
		outer := star(rng, n, 20, 60)
		poly := orb.Polygon{outer}
		hole := star(rng, 3+rng.IntN(9), 3, 8)
		hole.Reverse()
		poly = append(poly, hole)
		if rng.IntN(2) == 0 { // a second hole beside it
			var second orb.Ring
			for _, v := range star(rng, 5, 1, 2) {
				second = append(second, orb.Point{v[0] + 12, v[1]})
			}
			poly = append(poly, second)
		}
		o := FromMultiPolygon(orb.MultiPolygon{poly})
		var tris, parts float64
		for _, tr := range o.Triangles {
			a := AreaOf([]Point{o.Points[tr[0]], o.Points[tr[1]], o.Points[tr[2]]})
			require.Positive(t, a)
			tris += a
		}
		for _, part := range o.Parts {
			ring := make([]Point, len(part))
			for i, v := range part {
				ring[i] = o.Points[v]
			}
			for i := range ring {
				require.GreaterOrEqual(t, Orient(ring[i], ring[(i+1)%len(ring)], ring[(i+2)%len(ring)]), 0, "parts are convex")
			}
			parts += AreaOf(ring)
		}
		assert.InDelta(t, o.Area, tris, 1e-9*o.Area, "n=%d", n)
		assert.InDelta(t, o.Area, parts, 1e-9*o.Area, "n=%d", n)
		assert.LessOrEqual(t, len(o.Parts), len(o.Triangles))
	}
}

// TestOverlapAgainstOverlay compares with the overlay of simplefeatures
// v0.59.0, an independent library.
func TestOverlapAgainstOverlay(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	toGeom := func(p *Placed, n int) geom.Geometry {
		var xy []float64
		for i := range n + 1 {
			xy = append(xy, p.Points[i%n].X, p.Points[i%n].Y)
		}
		return geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(xy, geom.DimXY))}).AsGeometry()
	}
	seen := map[bool]int{}
	for range 300 {
		a, b := FromMultiPolygon(orb.MultiPolygon{{star(rng, 9, 5, 30)}}), FromMultiPolygon(orb.MultiPolygon{{star(rng, 7, 5, 30)}})
		p, q := a.Placed(0, 0, rng.Float64()), b.Placed(rng.Float64()*60, rng.Float64()*40, 1)
		x, err := geom.Intersection(toGeom(p, 9), toGeom(q, 7))
		require.NoError(t, err)
		got := Overlap(p, q)
		assert.Equal(t, x.Area() > 0, got)
		assert.Equal(t, got, Overlap(q, p))
		seen[got]++
	}
	assert.Greater(t, seen[true], 30)
	assert.Greater(t, seen[false], 30)
}

func TestTouchingIsNotOverlap(t *testing.T) {
	square := FromMultiPolygon(orb.MultiPolygon{{{{0, 0}, {10, 0}, {10, 10}, {0, 10}}}})
	ring := FromMultiPolygon(orb.MultiPolygon{{{{-5, -5}, {15, -5}, {15, 15}, {-5, 15}}, {{0, 0}, {0, 10}, {10, 10}, {10, 0}}}})
	at := square.Placed(0, 0, 0)
	for _, c := range []struct {
		name string
		x, y float64
		want bool
	}{
		{"beside", 10, 0, false}, {"corner", 10, 10, false}, {"a hair in", math.Nextafter(10, 0), 0, true}, {"same place", 0, 0, true},
	} {
		assert.Equal(t, c.want, Overlap(at, square.Placed(c.x, c.y, 0)), c.name)
	}
	assert.False(t, Overlap(ring.Placed(0, 0, 0), at), "exactly in the hole")
	assert.True(t, Overlap(ring.Placed(0, 0, 0), square.Placed(0.001, 0, 0)))
	assert.False(t, Overlap(at, square.Placed(20, 0, math.Pi/2)), "a quarter turn is exact")
}

// slowNoFit measures every edge against every vertex.
func slowNoFit(a, b []Point) map[[2]float64]float64 {
	planes := map[[2]float64]float64{}
	edges := func(p, q []Point, flip float64) {
		for i, u := range p {
			v := p[(i+1)%len(p)]
			l := math.Hypot(v.X-u.X, v.Y-u.Y)
			nx, ny := (v.Y-u.Y)/l, (u.X-v.X)/l
			least := math.Inf(1)
			for _, w := range q {
				least = min(least, nx*w.X+ny*w.Y)
			}
			planes[[2]float64{flip * nx, flip * ny}] = nx*u.X + ny*u.Y - least
		}
	}
	edges(a, b, 1)
	edges(b, a, -1)
	return planes
}

// TestNoFitAgainstSlowVersion compares the half-planes of random convex polygons.
func TestNoFitAgainstSlowVersion(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	polygon := func() []Point {
		var pts []Point
		for range 3 + rng.IntN(12) {
			pts = append(pts, Point{rng.NormFloat64()*10 + 5, rng.NormFloat64() * 10})
		}
		return Hull(pts)
	}
	for range 2000 {
		a, b := polygon(), polygon()
		want := slowNoFit(a, b)
		got := NoFit(NewPart(a), NewPart(b).Opposite(), nil)
		assert.Len(t, got, len(want))
		for _, h := range got {
			assert.InDelta(t, want[[2]float64{h.NX, h.NY}], h.D, 1e-12)
		}
	}
	// Vertices on the edges, wherever the ring begins, change nothing.
	for range 2000 {
		grid := func() []Point {
			var pts []Point
			for range 3 + rng.IntN(9) {
				pts = append(pts, Point{float64(2 * rng.IntN(5)), float64(2 * rng.IntN(5))})
			}
			return Hull(pts)
		}
		a, b := grid(), grid()
		if len(a) < 3 || len(b) < 3 {
			continue
		}
		split := func(ring []Point) []Point {
			var out []Point
			for i, u := range ring {
				v := ring[(i+1)%len(ring)]
				out = append(out, u)
				if rng.IntN(2) == 0 {
					out = append(out, Point{(u.X + v.X) / 2, (u.Y + v.Y) / 2})
				}
			}
			at := rng.IntN(len(out))
			return append(out[at:len(out):len(out)], out[:at]...)
		}
		want := NoFit(NewPart(a), NewPart(b).Opposite(), nil)
		got := NoFit(NewPart(split(a)), NewPart(split(b)).Opposite(), nil)
		assert.Len(t, got, len(want))
		slow := slowNoFit(a, b)
		for _, h := range got {
			for n, d := range slow {
				if math.Abs(n[0]-h.NX)+math.Abs(n[1]-h.NY) < parallelTolerance {
					assert.InDelta(t, d, h.D, 1e-12)
				}
			}
		}
	}
	// Edges of both in one direction are one edge of the sum.
	square := []Point{{0, 0}, {2, 0}, {2, 2}, {0, 2}}
	assert.Len(t, NoFit(NewPart(square), NewPart(square).Opposite(), nil), 4)
}

// TestNoFitAgainstOverlap: t is inside the half-planes exactly when the convex
// polygons overlap.
func TestNoFitAgainstOverlap(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 1))
	a := FromMultiPolygon(orb.MultiPolygon{{{{0, 0}, {8, 1}, {9, 6}, {3, 7}}}})
	b := FromMultiPolygon(orb.MultiPolygon{{{{0, 0}, {5, 0}, {2, 4}}}})
	h := NoFit(NewPart(a.Points), NewPart(b.Points).Opposite(), nil)
	for range 2000 {
		x, y := rng.Float64()*24-9, rng.Float64()*20-8
		in := true
		for _, p := range h {
			in = in && p.NX*x+p.NY*y < p.D
		}
		assert.Equal(t, Overlap(a.Placed(0, 0, 0), b.Placed(x, y, 0)), in, "%v %v", x, y)
	}
}

func TestBadOutlines(t *testing.T) {
	for name, mp := range map[string]orb.MultiPolygon{
		"nothing":      nil,
		"no ring":      {{}},
		"one point":    {{{{1, 1}}}},
		"line":         {{{{0, 0}, {1, 1}, {2, 2}}}},
		"same points":  {{{{1, 1}, {1, 1}, {1, 1}, {1, 1}}}},
		"not a number": {{{{0, 0}, {math.NaN(), 1}, {2, 2}}}},
	} {
		assert.Zero(t, FromMultiPolygon(mp).Area, name)
	}
	bow := FromMultiPolygon(orb.MultiPolygon{{{{0, 0}, {10, 10}, {10, 0}, {0, 12}}}})
	assert.NotPanics(t, func() { Overlap(bow.Placed(0, 0, 0), bow.Placed(1, 1, 1)) })
}

func BenchmarkFromMultiPolygon(b *testing.B) {
	for _, n := range []int{30, 300, 3000} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			mp := orb.MultiPolygon{{star(rand.New(rand.NewPCG(1, 1)), n, 20, 60)}}
			b.ReportAllocs()
			for b.Loop() {
				FromMultiPolygon(mp)
			}
		})
	}
}
