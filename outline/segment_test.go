package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// segmentCase is a segment with its start.
type segmentCase struct {
	start Point
	s     Segment
}

// randomSegments returns segments of every kind within 100 mm, some of them with
// points on top of each other.
func randomSegments(seed uint64, n int) []segmentCase {
	rng := rand.New(rand.NewPCG(seed, 1))
	point := func() Point { return Pt(rng.Float64()*100-50, rng.Float64()*100-50) }
	out := make([]segmentCase, n)
	for i := range out {
		c := segmentCase{point(), Segment{Kind: SegmentKind(i % 3), C1: point(), C2: point(), End: point(), Origin: int32(i)}}
		switch rng.IntN(8) {
		case 0:
			c.s.C1 = c.start
		case 1:
			c.s.C2 = c.s.End
		case 2:
			c.s.C1 = c.s.C2
		}
		out[i] = c
	}
	return out
}

func TestSegmentKindString(t *testing.T) {
	assert.Equal(t, "line quad cubic unknown segment", fmt.Sprint(Line, " ", Quad, " ", Cubic, " ", SegmentKind(9)))
}

func TestSegmentEndsAreExact(t *testing.T) {
	for _, c := range randomSegments(1, 60) {
		assert.Equal(t, c.start, c.s.At(c.start, 0))
		assert.Equal(t, c.s.End, c.s.At(c.start, 1))
	}
}

// deCasteljau is the slow way to the point at t.
func deCasteljau(t float64, points ...Point) Point {
	for len(points) > 1 {
		next := make([]Point, len(points)-1)
		for i := range next {
			next[i] = points[i].Lerp(points[i+1], t)
		}
		points = next
	}
	return points[0]
}

func (c segmentCase) controls() []Point {
	switch c.s.Kind {
	case Quad:
		return []Point{c.start, c.s.C1, c.s.End}
	case Cubic:
		return []Point{c.start, c.s.C1, c.s.C2, c.s.End}
	}
	return []Point{c.start, c.s.End}
}

func TestAtAndDerivative(t *testing.T) {
	const h = 1e-6
	for _, c := range randomSegments(2, 60) {
		for _, u := range []float64{0.1, 0.37, 0.5, 0.9} {
			assertNear(t, deCasteljau(u, c.controls()...), c.s.At(c.start, u), 1e-12)
			d := c.s.At(c.start, u+h).Sub(c.s.At(c.start, u-h)).Mul(1 / (2 * h))
			assertNear(t, d, c.s.Derivative(c.start, u), 1e-5, "numeric derivative")
			hodograph := c.s.hodograph(c.start)
			assertLength(t, d.Norm(), hodograph.speed(u), 1e-5)
		}
	}
}

func TestSplitAndPart(t *testing.T) {
	for _, c := range randomSegments(3, 60) {
		first, second := c.s.Split(c.start, 0.3)
		assert.Equal(t, c.s.End, second.End)
		assert.Equal(t, []int32{c.s.Origin, c.s.Origin}, []int32{first.Origin, second.Origin})
		assert.Equal(t, []SegmentKind{c.s.Kind, c.s.Kind}, []SegmentKind{first.Kind, second.Kind})
		from, part := c.s.Part(c.start, 0.2, 0.7)
		for _, u := range []float64{0, 0.25, 0.5, 1} {
			assertNear(t, c.s.At(c.start, 0.3*u), first.At(c.start, u), 1e-12)
			assertNear(t, c.s.At(c.start, 0.3+0.7*u), second.At(first.End, u), 1e-12)
			assertNear(t, c.s.At(c.start, 0.2+0.5*u), part.At(from, u), 1e-12)
		}
		from, whole := c.s.Part(c.start, 0, 1)
		assert.Equal(t, c.start, from)
		assert.Equal(t, c.s, whole, "the whole is the segment itself, bit for bit")
	}
}

func TestSegmentReversed(t *testing.T) {
	for _, c := range randomSegments(4, 30) {
		r := c.s.Reversed(c.start)
		assertNear(t, c.s.At(c.start, 0.3), r.At(c.s.End, 0.7), 1e-12)
		assert.Equal(t, c.s, r.Reversed(c.s.End), "twice backwards is forwards")
	}
}

func TestSegmentBoundsAreExact(t *testing.T) {
	for _, c := range randomSegments(5, 120) {
		b := c.s.Bounds(c.start)
		sampled := EmptyBox()
		for k := range 2001 {
			sampled = sampled.Extend(c.s.At(c.start, float64(k)/2000))
		}
		// A sample misses an extreme by at most curvature x step²/8.
		assertNear(t, sampled.Min, b.Min, 1e-3)
		assertNear(t, sampled.Max, b.Max, 1e-3)
		assert.True(t, b.Grow(1e-9).Contains(sampled.Min) && b.Grow(1e-9).Contains(sampled.Max), "bounds hold every sample")
	}
}

func TestSegmentBoundsClosedForms(t *testing.T) {
	// The parabola through (0, 0), (1, 1), (2, 0) has its top at height 1.
	assert.Equal(t, Box{Pt(0, 0), Pt(2, 1)}, QuadTo(Pt(1, 2), Pt(2, 0)).Bounds(Pt(0, 0)))
	// y = 3·2·t(1-t) on a symmetric cubic: top at 3/4 of the handle height.
	assert.Equal(t, Box{Pt(0, 0), Pt(3, 3)}, CubicTo(Pt(1, 4), Pt(2, 4), Pt(3, 0)).Bounds(Pt(0, 0)))
	// An odd cubic: y = 12t(1-t)(1-2t) has its extremes ±2/√3 at t = 1/2 ∓ 1/√12.
	b := CubicTo(Pt(1, 4), Pt(2, -4), Pt(3, 0)).Bounds(Pt(0, 0))
	assertLength(t, 2/math.Sqrt(3), b.Max.Y, 1e-12)
	assertLength(t, -2/math.Sqrt(3), b.Min.Y, 1e-12)
}

func TestDirection(t *testing.T) {
	for _, c := range randomSegments(6, 120) {
		for _, u := range []float64{0, 0.5, 1} {
			const h = 1e-5
			a, b := math.Max(0, u-h), math.Min(1, u+h)
			want, ok := c.s.At(c.start, b).Sub(c.s.At(c.start, a)).unit()
			if !ok {
				continue
			}
			assertNear(t, want, c.s.Direction(c.start, u), 1e-3, "%v at %v", c, u)
		}
	}
	// Handles of no length: the limit looks at the next point.
	assert.Equal(t, Pt(1, 0), CubicTo(Pt(0, 0), Pt(5, 0), Pt(5, 5)).Direction(Pt(0, 0), 0))
	assert.Equal(t, Pt(0, 1), CubicTo(Pt(5, 0), Pt(5, 5), Pt(5, 5)).Direction(Pt(0, 0), 1))
	assert.Equal(t, Pt(0.6, 0.8), CubicTo(Pt(0, 0), Pt(3, 4), Pt(3, 4)).Direction(Pt(0, 0), 0))
	assert.Equal(t, Pt(1, 0), QuadTo(Pt(0, 0), Pt(7, 0)).Direction(Pt(0, 0), 0))
	// A cusp in the middle leaves downwards: x = 3t(1-t)(1-2t)·..., y symmetric.
	cusp := CubicTo(Pt(3, 3), Pt(0, 3), Pt(3, 0))
	assertNear(t, Pt(0, 0), cusp.Derivative(Pt(0, 0), 0.5), 1e-12)
	assertNear(t, Pt(0, -1), cusp.Direction(Pt(0, 0), 0.5), 1e-6)
	assert.Equal(t, Point{}, LineTo(Pt(2, 2)).Direction(Pt(2, 2), 0))
	assert.Equal(t, Point{}, CubicTo(Pt(2, 2), Pt(2, 2), Pt(2, 2)).Direction(Pt(2, 2), 0.3))
}
