package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
)

// randomContours returns closed contours of mixed segments on a grid of quarters
// of a millimetre, so that nodes share heights and handles vanish.
func randomContours(seed uint64, n int) []Contour {
	rng := rand.New(rand.NewPCG(seed, 2))
	grid := func() Point { return Pt(float64(rng.IntN(160))/4, float64(rng.IntN(160))/4) }
	out := make([]Contour, n)
	for i := range out {
		c := Curve{Start: grid()}
		for range 1 + rng.IntN(6) {
			s := Segment{Kind: SegmentKind(rng.IntN(3)), End: grid()}
			if s.Kind != Line {
				s.C1 = grid()
			}
			if s.Kind == Cubic {
				s.C2 = grid()
			}
			c.Segments = append(c.Segments, s)
		}
		out[i] = c.Closed()
	}
	return out
}

// turningNumber adds up the angles that the chords subtend at q: the slow
// definition of the winding number.
func turningNumber(c Contour, q Point) int {
	flat := c.Flatten(nil, 1e-4)
	sum := 0.0
	for i, p := range flat {
		a, b := p.Sub(q), flat[(i+1)%len(flat)].Sub(q)
		sum += math.Atan2(a.Cross(b), a.Dot(b))
	}
	return int(math.Round(sum / (2 * math.Pi)))
}

func TestWindingAgainstTurning(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	checked := 0
	for i, c := range randomContours(21, 150) {
		for range 20 {
			q := Pt(rng.Float64()*40, float64(rng.IntN(160))/4) // at the height of nodes
			if c.Nearest(q).Distance < 1e-3 {
				continue
			}
			checked++
			assert.Equal(t, turningNumber(c, q), c.Winding(q), "contour %d, %v", i, q)
			assert.Equal(t, -c.Winding(q), c.Reversed().Winding(q), "contour %d reversed, %v", i, q)
		}
	}
	assert.Greater(t, checked, 2500)
}

func TestWindingOnTheVergeOfACurve(t *testing.T) {
	// A point between the chord and the arc: chords would say outside.
	c := Circle(Pt(0, 0), 10)
	for k := range 360 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 180)
		out, in := 10+1.01*float64(ArcTolerance), 10-1.01*float64(ArcTolerance)
		assert.False(t, c.Contains(Pt(out*cos, out*sin)))
		assert.True(t, c.Contains(Pt(in*cos, in*sin)))
	}
}

func TestPointsOnSharedBordersBelongToOneSide(t *testing.T) {
	left, right := Rectangle(Box{Pt(0, 0), Pt(1, 3)}), Rectangle(Box{Pt(1, 0), Pt(2, 3)})
	above := Rectangle(Box{Pt(0, 3), Pt(2, 5)})
	for _, q := range []Point{{1, 1}, {1, 0}, {0.5, 3}, {1, 3}} {
		n := 0
		for _, c := range []Contour{left, right, above} {
			if c.Contains(q) {
				n++
			}
		}
		assert.Equal(t, 1, n, "%v", q)
	}
}

func TestPathContainsByNonZeroRule(t *testing.T) {
	p := Ring(Pt(0, 0), 10, 5)
	assert.True(t, p.Contains(Pt(7, 0)))
	assert.False(t, p.Contains(Pt(0, 0)))
	assert.False(t, p.Contains(Pt(11, 0)))
	both := Path{Circle(Pt(0, 0), 10), Circle(Pt(0, 0), 5)}
	assert.Equal(t, 2, both.Winding(Pt(0, 0)))
	assert.True(t, both.Contains(Pt(0, 0)), "the same way round is film twice, not a hole")
}

func TestContainsOfDegenerate(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	square := Path{Rectangle(Box{Pt(-1, -1), Pt(1, 1)})}
	for _, q := range []Point{{nan, 0}, {0, nan}, {inf, 0}, {-inf, 0}, {0, inf}} {
		assert.False(t, square.Contains(q), "%v", q)
	}
	for _, p := range []Path{nil, {{}}, {{Start: Pt(0, 0)}}, {Polygon(Pt(0, 0), Pt(1, 1))}} {
		assert.False(t, p.Contains(Pt(0.2, 0.1)))
	}
	bad := Path{{Pt(nan, nan), []Segment{LineTo(Pt(inf, 0)), CubicTo(Pt(nan, 1), Pt(0, inf), Pt(0, 0)), QuadTo(Pt(inf, inf), Pt(nan, nan))}}}
	assert.NotPanics(t, func() { bad.Contains(Pt(0, 0)) })
	huge := Path{Circle(Pt(1e9, -1e9), 1e9)}
	assert.True(t, huge.Contains(Pt(1e9, -1)))
	assert.False(t, huge.Contains(Pt(1, -1)))
}

func TestOrientationIsExact(t *testing.T) {
	a, b := Pt(0.5, 0.5), Pt(12, 12)
	// Kettner, Mehlhorn, Pion, Schirra and Yap, "Classroom examples of robustness
	// problems in geometric computations" (2008): on this grid of single ulps
	// float64 arithmetic gets the sign wrong all over.
	const ulp = 1.0 / (1 << 53)
	for i := range 64 {
		for j := range 64 {
			c := Pt(0.5+float64(i)*ulp, 0.5+float64(j)*ulp)
			want := sign(float64(j - i)) // above the diagonal: to the left
			assert.Equal(t, want, orientation(a, b, c), "%d %d", i, j)
			assert.Equal(t, -want, orientation(b, a, c), "swapping two points changes the sign")
			assert.Equal(t, want, orientation(c, a, b), "turning the three changes nothing")
		}
	}
	assert.Equal(t, 1, orientation(Pt(0, 0), Pt(5e-324, 0), Pt(0, 5e-324)), "the smallest triangle of all")
}

func FuzzWinding(f *testing.F) {
	f.Add(uint64(1), 10.0, 10.0)
	f.Add(uint64(77), 3.25, 17.5)
	f.Fuzz(func(t *testing.T, seed uint64, x, y float64) {
		q := Pt(math.Mod(x, 50), math.Mod(y, 50))
		c := randomContours(seed, 1)[0]
		if !q.IsFinite() || c.Nearest(q).Distance < 1e-3 {
			t.Skip()
		}
		if want, got := turningNumber(c, q), c.Winding(q); want != got {
			t.Fatalf("winding %d, want %d", got, want)
		}
	})
}

func BenchmarkContains(b *testing.B) {
	p := append(Ring(Pt(0, 0), 50, 20), Circle(Pt(0, 0), 10))
	b.ReportAllocs()
	for b.Loop() {
		p.Contains(Pt(30, 1))
	}
}

// orbWinding judges straight contours by orb's border test through the package's
// own polygon winding, which reports the border.
func TestWindingOfPolygonsAgainstRings(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 100 {
		var ring orb.Ring
		var points []Point
		for range 7 {
			p := Pt(float64(rng.IntN(8)), float64(rng.IntN(8)))
			points, ring = append(points, p), append(ring, orb.Point{p.X, p.Y})
		}
		ring = append(ring, ring[0])
		c := Polygon(points...)
		for x := 0.0; x < 8; x += 0.5 {
			for y := 0.0; y < 8; y += 0.5 {
				if w := windingNumber(ring, orb.Point{x, y}); w != onBorder {
					assert.Equal(t, w, c.Winding(Pt(x, y)))
				}
			}
		}
	}
}
