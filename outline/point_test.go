package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// assertNear fails unless got lies within tolerance millimetres of want. NaN
// never passes.
func assertNear(t *testing.T, want, got Point, tolerance float64, what ...any) bool {
	t.Helper()
	if d := want.Distance(got); !(d <= tolerance) {
		return assert.Fail(t, "points differ", "want (%v, %v), got (%v, %v), %g mm apart; %v", want.X, want.Y, got.X, got.Y, d, what)
	}
	return true
}

// assertLength fails unless two quantities differ by at most tolerance. NaN
// never passes.
func assertLength[T ~float64](t *testing.T, want, got T, tolerance float64, what ...any) bool {
	t.Helper()
	if d := math.Abs(float64(want - got)); !(d <= tolerance) {
		return assert.Fail(t, "quantities differ", "want %v, got %v, difference %g; %v", float64(want), float64(got), d, what)
	}
	return true
}

func TestPointArithmetic(t *testing.T) {
	p, q := Pt(3, 4), Pt(-1, 2)
	assert.Equal(t, Pt(2, 6), p.Add(q))
	assert.Equal(t, Pt(4, 2), p.Sub(q))
	assert.Equal(t, Pt(6, 8), p.Mul(2))
	assert.Equal(t, 5.0, p.Dot(q))
	assert.Equal(t, 10.0, p.Cross(q))
	assert.Equal(t, 5.0, p.Norm())
	assert.Equal(t, math.Sqrt(20), p.Distance(q))
	assert.Equal(t, Pt(-4, 3), p.Perp())
	assert.Positive(t, p.Cross(p.Perp()), "Perp turns counter-clockwise")
}

func TestLerpIsExactAtItsEnds(t *testing.T) {
	// With these two, p + 1*(q-p) is not q in float64.
	p, q := Pt(1e16, 0.1), Pt(1, 0.3)
	assert.NotEqual(t, q.X, p.X+(q.X-p.X))
	assert.Equal(t, p, p.Lerp(q, 0))
	assert.Equal(t, q, p.Lerp(q, 1))
	assertNear(t, Pt(2, 3), Pt(1, 1).Lerp(Pt(3, 5), 0.5), 0)
}

func TestDistanceToLine(t *testing.T) {
	a, b := Pt(1, 1), Pt(5, 4) // 5 mm long
	for _, c := range []struct {
		p    Point
		want float64
	}{
		{Pt(3, 2.5), 0},                 // on it
		{Pt(3-0.6*2, 2.5+0.8*2), 2},     // beside its middle
		{Pt(1-0.8*3, 1-0.6*3), 3},       // before its start
		{Pt(5+0.8*1.5, 4+0.6*1.5), 1.5}, // past its end
		{Pt(1, 1), 0},
	} {
		assert.InDelta(t, c.want, c.p.DistanceToLine(a, b), 1e-12, c.p)
		assert.InDelta(t, c.want, c.p.DistanceToLine(b, a), 1e-12, c.p)
	}
	assert.Equal(t, 5.0, Pt(4, 5).DistanceToLine(a, a))
}

func TestIsFinite(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	assert.True(t, Pt(0, -1e300).IsFinite())
	for _, p := range []Point{{nan, 0}, {0, nan}, {inf, 0}, {0, -inf}} {
		assert.False(t, p.IsFinite(), "%v", p)
	}
}

func TestUnit(t *testing.T) {
	u, ok := Pt(3, -4).unit()
	assert.True(t, ok)
	assertNear(t, Pt(0.6, -0.8), u, 1e-15)
	for _, p := range []Point{{}, {math.NaN(), 1}, {math.Inf(1), 0}} {
		_, ok := p.unit()
		assert.False(t, ok, "%v", p)
	}
}
