package cutpath

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// plain has no times for the knife, so that closed forms are short.
var plain = Limits{CutSpeed: 300, TravelSpeed: 600, Acceleration: 3000, JunctionDeviation: 0.02, Lift: -1, Plunge: -1}

func jobOf(curves ...outline.Curve) Job {
	var j Job
	for _, c := range curves {
		j.Strokes = append(j.Strokes, Stroke{Decal: NoDecal, Curve: c, Closed: c.End() == c.Start})
	}
	if len(curves) > 0 {
		j.Home = curves[0].Start
	}
	return j
}

func cutSeconds(t *testing.T, l Limits, curves ...outline.Curve) float64 {
	t.Helper()
	timing, err := jobOf(curves...).Time(l)
	require.NoError(t, err)
	return timing.Cut.Seconds()
}

// TestLineTime: from rest to rest over L takes L/v + v/a if the speed is
// reached, else 2 √(L/a).
func TestLineTime(t *testing.T) {
	for _, length := range []float64{0.5, 5, 29.9, 30.1, 100, 800} {
		want := length/300 + 300.0/3000
		if length < 300*300/3000.0 {
			want = 2 * math.Sqrt(length/3000)
		}
		assert.InDelta(t, want, cutSeconds(t, plain, outline.Polyline(outline.Pt(0, 0), outline.Pt(length, 0))), 1e-8, "%v mm", length)
		// Nodes on a straight change nothing.
		assert.InDelta(t, want, cutSeconds(t, plain, outline.Polyline(outline.Pt(0, 0), outline.Pt(length/3, 0), outline.Pt(length/2, 0), outline.Pt(length, 0))), 1e-8)
	}
}

// TestSquareTime: side s, begun at a corner; three corners passed at
// v² = a δ sin 45°/(1 − sin 45°).
func TestSquareTime(t *testing.T) {
	const s, v, a, delta = 100.0, 300.0, 3000.0, 0.02
	corner := math.Sqrt(a * delta * math.Sqrt(0.5) / (1 - math.Sqrt(0.5)))
	leg := func(v0, v1 float64) float64 {
		return (v-v0)/a + (v-v1)/a + (s-(2*v*v-v0*v0-v1*v1)/(2*a))/v
	}
	want := leg(0, corner) + 2*leg(corner, corner) + leg(corner, 0)
	assert.InDelta(t, want, cutSeconds(t, plain, square(0, 0, s).Curve()), 1e-8)
}

// TestCircleTime: a large circle runs at √(a r) where that is below the speed,
// after a ramp along the arc.
func TestCircleTime(t *testing.T) {
	for _, r := range []float64{5, 15} {
		v := math.Sqrt(3000 * r)
		want := 2*math.Pi*r/v + v/3000
		got := cutSeconds(t, Limits{CutSpeed: 300, Acceleration: 3000, Tolerance: 0.0005}, circle(50, 50, r).Curve())
		assert.InDelta(t, want, got, 0.02*want, "r = %v", r)
	}
}

func TestPerAxisSpeed(t *testing.T) {
	per := plain
	per.Meaning = PerAxis
	diagonal := outline.Polyline(outline.Pt(0, 0), outline.Pt(300, 300))
	along := outline.Polyline(outline.Pt(0, 0), outline.Pt(300, 0))
	assert.InDelta(t, cutSeconds(t, plain, along), cutSeconds(t, per, along), 1e-9)
	// Both axes run 300 mm: the diagonal takes the time of a side.
	assert.InDelta(t, cutSeconds(t, plain, along), cutSeconds(t, per, diagonal), 1e-8)
}

func TestLiftsAndTravelTime(t *testing.T) {
	l := Limits{CutSpeed: 300, TravelSpeed: 600, Acceleration: 3000, Lift: 150 * time.Millisecond, Plunge: 50 * time.Millisecond}
	j := jobOf(square(0, 0, 10).Curve(), square(200, 0, 10).Curve(), outline.Polyline(outline.Pt(200, 0), outline.Pt(200, 300)))
	timing, err := j.Time(l)
	require.NoError(t, err)
	// The third stroke goes on where the second ends: no lift between.
	assert.Equal(t, 2*(150+50)*time.Millisecond, timing.Lift)
	assert.Equal(t, 2, j.Lifts())
	assert.InDelta(t, 200.0/600+600.0/3000, timing.Travel.Seconds(), 1e-8)
	assert.InDelta(t, 200, float64(j.Travel()), 1e-12)
	assert.InDelta(t, 380, float64(j.CutLength()), 1e-9)
	assert.Equal(t, timing.Cut+timing.Travel+timing.Lift, timing.Total())
	j.Return = true
	assert.InDelta(t, 200+math.Hypot(200, 300), float64(j.Travel()), 1e-9)
}

// TestRampLength: reference/trade.md, check 19: 381 mm/s at 0.5 g (4.903
// m/s²) is reached after 14.80 mm (HP 7470A figures).
func TestRampLength(t *testing.T) {
	assert.InDelta(t, 14.80, float64(Limits{CutSpeed: 381, Acceleration: Gravity / 2}.RampLength()), 0.01)
	assert.InDelta(t, 3.70, float64(Limits{CutSpeed: 381, Acceleration: 2 * Gravity}.RampLength()), 0.01)
}

// TestTimeAgainstSmallSteps drives the path in steps of a tenth of a
// millisecond with the same limits at the corners: slow, plain and without
// look-ahead passes, as a second opinion.
func TestTimeAgainstSmallSteps(t *testing.T) {
	points := []outline.Point{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 44, Y: 3}, {X: 44, Y: 60}, {X: 20, Y: 60}, {X: 22, Y: 58}, {X: 0, Y: 5}}
	c := clock{points: points}
	c.limits, _ = plain.filled()
	got := c.cut()
	const a, v = 3000.0, 300.0
	// Allowed speed at a distance s: from every corner, √(corner² + 2 a |s − corner|).
	var at, corner []float64
	pos := 0.0
	for i := range points {
		if i > 0 {
			pos += points[i].Distance(points[i-1])
		}
		at = append(at, pos)
		if i == 0 || i == len(points)-1 {
			corner = append(corner, 0)
			continue
		}
		u, w := points[i].Sub(points[i-1]), points[i+1].Sub(points[i])
		turn := math.Acos(u.Dot(w) / u.Norm() / w.Norm())
		half := math.Sin((math.Pi - turn) / 2)
		r := 0.02 * half / (1 - half)
		r = min(r, min(u.Norm(), w.Norm())/2/math.Tan(turn/2))
		corner = append(corner, a*r)
	}
	steps, elapsed := 2000000, 0.0
	ds := pos / float64(steps)
	for k := range steps {
		s := (float64(k) + 0.5) * ds
		v2 := v * v
		for i := range at {
			v2 = min(v2, corner[i]+2*a*math.Abs(s-at[i]))
		}
		elapsed += ds / math.Sqrt(v2)
	}
	assert.InDelta(t, elapsed, got, 1e-3*elapsed)
}

func TestTimeRefuses(t *testing.T) {
	for _, l := range []Limits{{CutSpeed: -1}, {TravelSpeed: units.Speed(math.NaN())}, {Acceleration: Acceleration(math.Inf(1))}, {JunctionDeviation: -1}, {Tolerance: -1}, {Meaning: 7}} {
		_, err := jobOf(square(0, 0, 1).Curve()).Time(l)
		require.ErrorIs(t, err, ErrInvalidOption)
	}
	timing, err := Job{}.Time(Limits{})
	require.NoError(t, err)
	assert.Zero(t, timing.Total())
	_, err = jobOf(outline.Curve{}, outline.Polyline(outline.Pt(1, 1), outline.Pt(1, 1))).Time(Limits{})
	assert.NoError(t, err)
}

// BenchmarkTime times a wavy polyline; the goal is a million segments a second.
func BenchmarkTime(b *testing.B) {
	for _, n := range []int{1000, 100000} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			points := make([]outline.Point, n+1)
			for i := range points {
				points[i] = outline.Pt(float64(i)*0.3, 20*math.Sin(float64(i)*0.05))
			}
			j := jobOf(outline.Polyline(points...))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := j.Time(Limits{}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "segments/s")
		})
	}
}
