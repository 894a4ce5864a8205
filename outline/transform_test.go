package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/units"
)

func TestTransformConstructors(t *testing.T) {
	p := Pt(3, 4)
	assert.Equal(t, p, Identity().Apply(p))
	assert.Equal(t, Pt(5, 3), Translate(Pt(2, -1)).Apply(p))
	assert.Equal(t, Pt(6, -4), Scale(2, -1).Apply(p))
	assert.Equal(t, Pt(-3, 4), MirrorX().Apply(p))
	assert.Equal(t, Point{}, Transform{}.Apply(p), "the zero value flattens everything")
	assertNear(t, Pt(math.Sqrt2, math.Sqrt2), Rotate(45*units.Degree).Apply(Pt(2, 0)), 1e-15)
}

func TestQuarterTurnsAreExact(t *testing.T) {
	p := Pt(0.1, 0.7)
	for turns, want := range map[float64]Point{0: {0.1, 0.7}, 1: {-0.7, 0.1}, 2: {-0.1, -0.7}, 3: {0.7, -0.1}, -1: {0.7, -0.1}, 401: {-0.7, 0.1}} {
		got := Rotate(units.Angle(turns) * units.Turn / 4).Apply(p)
		assert.Equal(t, want, got, "%v quarter turns", turns)
	}
	assert.NotEqual(t, Pt(0, 1), Rotate(90.0001*units.Degree).Apply(Pt(1, 0)))
}

func TestThenAndInverse(t *testing.T) {
	a := Rotate(30 * units.Degree).Then(Scale(2, 0.5)).Then(Translate(Pt(7, -3)))
	p := Pt(1.5, -2.5)
	step := Translate(Pt(7, -3)).Apply(Scale(2, 0.5).Apply(Rotate(30 * units.Degree).Apply(p)))
	assertNear(t, step, a.Apply(p), 1e-14, "Then applies from left to right")
	assertLength(t, 1.0, a.Determinant(), 1e-14)
	back, ok := a.Inverse()
	require.True(t, ok)
	assertNear(t, p, back.Apply(a.Apply(p)), 1e-14)
	for _, flat := range []Transform{{}, Scale(1, 0), {XX: 1, XY: 2, YX: 2, YY: 4}, {XX: math.NaN()}} {
		_, ok := flat.Inverse()
		assert.False(t, ok, "%v", flat)
	}
}

func TestTransformKeepsTheSenseOfContours(t *testing.T) {
	ring := Ring(Pt(5, 5), 4, 2)
	for _, m := range []Transform{MirrorX(), Scale(2, -3), Rotate(20 * units.Degree), Identity()} {
		got := ring.Transform(m)
		assertLength(t, math.Abs(m.Determinant())*float64(ring.Area()), float64(got.Area()), 1e-9, "%v", m)
		assert.Positive(t, float64(got[0].Area()))
		assert.Negative(t, float64(got[1].Area()))
	}
	c := Curve{Pt(0, 0), []Segment{QuadTo(Pt(1, 2), Pt(2, 0))}}
	m := c.Transform(Translate(Pt(1, 1)))
	assert.Equal(t, Curve{Pt(1, 1), []Segment{QuadTo(Pt(2, 3), Pt(3, 1))}}, m)
	assert.Equal(t, Pt(0, 0), c.Start, "the curve itself is not touched")
}
