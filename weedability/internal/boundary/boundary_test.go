package boundary

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// nearestSlowly returns the distance of q from all edges, one by one.
func nearestSlowly(b *Boundary, q outline.Point) (distance float64, edge int32) {
	distance = math.Inf(1)
	for i := range b.Edges {
		if d := b.Edges[i].Nearest(q).Distance(q); d < distance {
			distance, edge = d, int32(i)
		}
	}
	return distance, edge
}

// TestBulgeFollowsTheCurve compares chord and bulge with the exact curve: the chord
// alone is off by up to the tolerance, with its bulge by a small part of that.
func TestBulgeFollowsTheCurve(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	point := func() outline.Point { return outline.Pt(30*rng.Float64(), 30*rng.Float64()) }
	const tolerance = 0.02
	var plain, with, worst float64
	count := 0
	for range 200 {
		start := point()
		c := outline.Contour{Start: start, Segments: []outline.Segment{outline.CubicTo(point(), point(), point()), outline.QuadTo(point(), point()), outline.LineTo(start)}}
		b := New(outline.Path{c}, tolerance, 1)
		for i := range b.Edges {
			e := &b.Edges[i]
			segment := c.Segments[e.Segment]
			if segment.Kind == outline.Line {
				assert.Zero(t, e.Bulge)
				continue
			}
			at := start
			if e.Segment > 0 {
				at = c.Segments[e.Segment-1].End
			}
			curve := outline.Curve{Start: at, Segments: []outline.Segment{segment}}
			for _, u := range []float64{0.15, 0.35, 0.5, 0.7, 0.9} {
				q := e.At(u * e.Length)
				d := float64(curve.Nearest(q).Distance)
				// To the right by the bulge at q is the curve.
				moved := q.Sub(e.U.Perp().Mul(e.BulgeAt(q)))
				left := float64(curve.Nearest(moved).Distance)
				plain, with, worst = math.Max(plain, d), with+left, math.Max(worst, left)
				count++
			}
		}
	}
	assert.LessOrEqual(t, plain, tolerance*1.000001)
	assert.Greater(t, plain, 0.9*tolerance, "chords use the tolerance up")
	assert.Less(t, with/float64(count), 0.02*tolerance, "on average")
	assert.Less(t, worst, 0.5*tolerance, "beside a cusp the parabola is no good any more")
}

// TestBulgeOfACircle: the chord of a circle has the sagitta that geometry gives.
func TestBulgeOfACircle(t *testing.T) {
	const radius = 7.0
	b := New(outline.Path{outline.Circle(outline.Pt(2, 3), radius), outline.Circle(outline.Pt(2, 3), 3).Reversed()}, 0.02, 1)
	for i := range b.Edges {
		e := &b.Edges[i]
		r, side := radius, 1.0
		if e.Contour == 1 {
			r, side = 3, -1 // film lies outside
		}
		want := side * (r - math.Sqrt(r*r-e.Length*e.Length/4))
		assert.InDelta(t, want, e.Bulge, 0.0005)
	}
}

// TestBallAgainstAllEdges: the largest ball holds nothing, by a look at every edge, and
// one that is larger by a hair holds what it is said to touch.
func TestBallAgainstAllEdges(t *testing.T) {
	p := rings(3)
	for _, near := range []bool{false, true} {
		b := New(p, 0.02, 1)
		if near {
			b.Near(1)
		}
		rng := rand.New(rand.NewPCG(1, 2))
		touched := 0
		for i := range b.Edges {
			e := &b.Edges[i]
			q := e.At(e.Length * rng.Float64())
			for _, n := range []outline.Point{e.U.Perp(), e.U.Perp().Mul(-1)} {
				for _, radius := range []float64{0.3, 1, 4} {
					ball := b.Ball(q, n, radius, int32(i), -1)
					require.LessOrEqual(t, ball.Radius, radius)
					c := q.Add(n.Mul(ball.Radius))
					for k := range b.Edges {
						if k != i {
							require.GreaterOrEqual(t, b.Edges[k].Nearest(c).Distance(c), ball.Radius*(1-1e-6))
						}
					}
					if ball.Edge < 0 {
						require.Equal(t, radius, ball.Radius)
						continue
					}
					touched++
					require.InDelta(t, ball.Radius, ball.Touch.Distance(c), 1e-6*radius)
					require.InDelta(t, 0, b.Edges[ball.Edge].Nearest(ball.Touch).Distance(ball.Touch), 1e-9)
				}
			}
		}
		assert.Greater(t, touched, 300)
	}
}

// TestCircleAgainstSampling: no point of a fine raster is further from the border than
// the circle found says, and its own distance is what it says.
func TestCircleAgainstSampling(t *testing.T) {
	const precision = 0.01
	p := rings(3)
	// Long and crooked ones besides.
	p = append(p, outline.Polygon(outline.Pt(0, -30), outline.Pt(60, -30), outline.Pt(60, -12), outline.Pt(56, -12), outline.Pt(57, -27), outline.Pt(3, -26.4), outline.Pt(0, -10)),
		outline.Polygon(outline.Pt(0, -60), outline.Pt(40, -60), outline.Pt(40, -56), outline.Pt(0, -56)))
	b := New(p, 0.002, 1)
	s := Inscriber{Boundary: b}
	check := func(rings []int, waste bool) {
		t.Helper()
		c := s.Circle(rings, waste, precision)
		box := outline.EmptyBox()
		for _, r := range rings {
			box = box.Union(b.Rings[r].Box)
		}
		const n = 40
		for i := range n + 1 {
			for j := range n + 1 {
				q := outline.Pt(box.Min.X+box.Width()*float64(i)/n, box.Min.Y+box.Height()*float64(j)/n)
				d, e := nearestSlowly(b, q)
				if d > c.Radius && b.Left(e, q) != waste {
					in := false
					for _, r := range rings {
						in = in || b.Edges[e].Contour == int32(r)
					}
					if in {
						require.LessOrEqual(t, d, c.Radius+precision*math.Max(1, c.Radius), "%v", q)
					}
				}
			}
		}
		d, e := nearestSlowly(b, c.Centre)
		require.InDelta(t, d, c.Radius, 0.003, "measured to the curve, which is within the tolerance of the chords")
		require.NotEqual(t, waste, b.Left(e, c.Centre))
		// It is as large as it can be near by.
		for k := range 64 {
			sin, cos := math.Sincos(float64(k))
			for _, step := range []float64{0.001, 0.01, 0.05} {
				d, _ := nearestSlowly(b, c.Centre.Add(outline.Pt(step*cos, step*sin)))
				require.Less(t, d, c.Radius+0.003)
			}
		}
	}
	for k := range 3 {
		check([]int{2 * k, 2*k + 1}, false)
		check([]int{2*k + 1}, true)
	}
	check([]int{6}, false)
	check([]int{7}, false)
	assert.InDelta(t, 2, s.Circle([]int{7}, false, precision).Radius, 1e-9)
	assert.Zero(t, s.Circle(nil, false, precision))
}

// TestCircleOfKnownShapes: radii that plane geometry gives.
func TestCircleOfKnownShapes(t *testing.T) {
	for name, c := range map[string]struct {
		path   outline.Path
		waste  bool
		radius float64
	}{
		"disc":      {outline.Path{outline.Circle(outline.Pt(9, 9), 3)}, false, 3},
		"hole":      {outline.Path{outline.Circle(outline.Pt(9, 9), 3).Reversed()}, true, 3},
		"ellipse":   {outline.Path{outline.Ellipse(outline.Pt(0, 0), 9, 2)}, false, 2},
		"ring":      {outline.Ring(outline.Pt(0, 0), 20, 14), false, 3},
		"hexagon":   {outline.Path{outline.RegularPolygon(outline.Pt(0, 0), 10, 6, 0)}, false, 10 * math.Sqrt(3) / 2},
		"triangle":  {outline.Path{outline.RegularPolygon(outline.Pt(5, -7), 10, 3, 1)}, false, 5},
		"rectangle": {outline.Path{outline.Rectangle(outline.Box{Min: outline.Pt(0, 0), Max: outline.Pt(100, 0.7)})}, false, 0.35},
		// The right triangle of 3, 4 and 5.
		"right": {outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(4, 0), outline.Pt(0, 3))}, false, 1},
	} {
		b := New(c.path, 0.02, 1)
		rings := make([]int, len(c.path))
		for i := range rings {
			rings[i] = i
		}
		s := Inscriber{Boundary: b}
		// Distances are measured square to the chords, which tilt by up to √(8 tolerance/R) from
		// the curve, and are too long by half the square of that.
		assert.InDelta(t, c.radius, s.Circle(rings, c.waste, 0.01).Radius, 0.0015, name)
	}
}

// TestCrossingAgainstAllPairs on random polygons.
func TestCrossingAgainstAllPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	found := 0
	for range 300 {
		var p outline.Path
		for range 1 + rng.IntN(3) {
			var points []outline.Point
			for range 3 + rng.IntN(4) {
				points = append(points, outline.Pt(math.Round(12*rng.Float64()), math.Round(12*rng.Float64())))
			}
			p = append(p, outline.Polygon(points...))
		}
		b := New(p, 0.02, 1+3*rng.Float64())
		c, ok := b.Crossing()
		slow := false
		for i := range b.Edges {
			for j := range i {
				_, crossed := cross(&b.Edges[j], &b.Edges[i])
				slow = slow || crossed
			}
		}
		require.Equal(t, slow, ok)
		if ok {
			found++
			require.InDelta(t, 0, b.Edges[c.First].Nearest(c.At).Distance(c.At), 1e-9)
			require.InDelta(t, 0, b.Edges[c.Second].Nearest(c.At).Distance(c.At), 1e-9)
		}
	}
	assert.Greater(t, found, 100)
	assert.Less(t, found, 300)
}

// TestParentsAgainstContains: rings in rings in rings, in any order.
func TestParentsAgainstContains(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	for range 50 {
		var p outline.Path
		var nest func(c outline.Point, radius float64, depth int)
		nest = func(c outline.Point, radius float64, depth int) {
			ring := outline.Circle(c, units.Length(radius))
			if depth%2 == 1 {
				ring = ring.Reversed()
			}
			p = append(p, ring)
			if depth == 4 {
				return
			}
			for k := range rng.IntN(4) {
				sin, cos := math.Sincos(math.Pi * float64(k) / 2)
				nest(c.Add(outline.Pt(radius*0.5*cos, radius*0.5*sin)), radius*(0.15+0.15*rng.Float64()), depth+1)
			}
		}
		for k := range 3 {
			nest(outline.Pt(100*float64(k), 20*rng.Float64()), 40, 0)
		}
		rng.Shuffle(len(p), func(i, j int) { p[i], p[j] = p[j], p[i] })
		parents := New(p, 0.02, 2).Parents()
		for i := range p {
			want, size := -1, math.Inf(1)
			for j := range p {
				if a := math.Abs(float64(p[j].Area())); i != j && a < size && (outline.Path{p[j]}).Contains(p[i].Start) {
					want, size = j, a
				}
			}
			require.Equal(t, want, parents[i])
		}
	}
}

// TestClearAndDistance against all edges.
func TestClearAndDistance(t *testing.T) {
	b := New(rings(12), 0.02, 1)
	rng := rand.New(rand.NewPCG(4, 4))
	for range 150 {
		p, q := outline.Pt(95*rng.Float64()-5, 25*rng.Float64()-5), outline.Pt(95*rng.Float64()-5, 25*rng.Float64()-5)
		d, _ := nearestSlowly(b, p)
		require.True(t, b.Clear(p, d*0.999))
		require.False(t, b.Clear(p, d*1.001))
		q = p.Lerp(q, 0.1)
		least := 3.0
		for k := range 101 {
			d, _ := nearestSlowly(b, p.Lerp(q, float64(k)/100))
			least = math.Min(least, d)
		}
		got := b.Distance(p, q, 3)
		require.LessOrEqual(t, got, least+1e-9)
		require.GreaterOrEqual(t, got, least-p.Distance(q)/100)
	}
}

// TestTurnsSumToATurn: round a ring they make one turn, to the left round film.
func TestTurnsSumToATurn(t *testing.T) {
	b := New(rings(5), 0.02, 1)
	for k := range b.Rings {
		r := &b.Rings[k]
		sum, length := 0.0, 0.0
		for i := r.First; i < r.End; i++ {
			sum += b.Turn(i)
			length += b.Edges[i].Length
			require.Equal(t, i, b.Previous(b.Next(i)))
		}
		assert.InDelta(t, math.Copysign(2*math.Pi, r.Area), sum, 1e-3)
		assert.InDelta(t, length, r.Length, 1e-9)
	}
}
