package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/units"
)

// polylineDistance is the distance from q to a polyline.
func polylineDistance(points []Point, q Point) float64 {
	d := math.Inf(1)
	for i := 1; i < len(points); i++ {
		d = min(d, q.DistanceToLine(points[i-1], points[i]))
	}
	return d
}

// No point of a curve is further than the tolerance from its chords.
func TestFlattenIsWithinTolerance(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for round := range 200 {
		p := randomPath(rng, 1, 4, 30)
		if round%4 == 0 { // a cusp: handles crossed exactly
			p = Path{Curve{Pt(0, 0), []Segment{CubicTo(Pt(10, 10), Pt(0, 10), Pt(10, 0))}}.Closed()}
		}
		tolerance := math.Pow(10, -1-3*rng.Float64())
		at := p[0].Start
		for _, s := range p[0].Segments {
			points := Curve{at, []Segment{s}}.Flatten(nil, units.Length(tolerance))
			require.Equal(t, s.End, points[len(points)-1])
			for k := range 100 {
				q := s.At(at, float64(k)/100)
				require.LessOrEqual(t, polylineDistance(points, q), tolerance*(1+1e-9), "%v from %v, tolerance %g", s, at, tolerance)
			}
			at = s.End
		}
	}
}

// A tolerance without sense is the default one, and one finer than float64 asks
// for no endless work.
func TestFlattenWorkIsBounded(t *testing.T) {
	disc := Circle(Pt(100, 0), 50)
	usual := disc.Flatten(nil, 0)
	for _, tolerance := range []units.Length{-1, units.Length(math.NaN()), units.Length(math.Inf(-1))} {
		assert.Equal(t, usual, disc.Flatten(nil, tolerance))
		assert.Equal(t, disc.Length(0), disc.Length(tolerance))
	}
	assert.Len(t, disc.Flatten(nil, units.Length(math.Inf(1))), len(disc.Segments))
	small := Curve{Pt(1000, 0), []Segment{CubicTo(Pt(1000.0005, 0.0001), Pt(1000.0006, 0.0001), Pt(1000.001, 0))}}
	for _, tolerance := range []units.Length{1e-14, 1e-300} {
		assert.Less(t, len(small.Flatten(nil, tolerance)), 10_000)
	}
	assert.LessOrEqual(t, len(Curve{Pt(0, 0), []Segment{QuadTo(Pt(5, 5), Pt(10, 0))}}.Flatten(nil, 1e-300)), maxChords+moreChords+1)
}

// TestChordEnds: the parameters are those of Flatten's vertices.
func TestChordEnds(t *testing.T) {
	for _, s := range []Segment{LineTo(Pt(3, 1)), QuadTo(Pt(5, 9), Pt(20, -3)),
		CubicTo(Pt(5, 30), Pt(25, -40), Pt(30, 0))} {
		start := Pt(-2, 1)
		var points []Point
		for _, u := range s.ChordEnds(nil, start, 0.05) {
			points = append(points, s.At(start, u))
		}
		assert.Equal(t, Curve{Start: start, Segments: []Segment{s}}.Flatten(nil, 0.05)[1:], points)
	}
}

// A circle of radius r needs π/acos(1-tolerance/r) chords with their ends on it.
func TestFlattenCircleNearLeast(t *testing.T) {
	for _, r := range []float64{1, 5, 25, 200} {
		for _, tolerance := range []float64{0.001, 0.005, 0.05} {
			least := math.Ceil(math.Pi / math.Acos(1-tolerance/r))
			n := len(testDisc(0, 0, r).Flatten(nil, units.Length(tolerance)))
			// Each of the four quarters is rounded up by itself, and a cubic bends a
			// little unevenly.
			assert.LessOrEqual(t, float64(n), least*1.05+4, "r = %g, tolerance = %g", r, tolerance)
			// Fewer can't do; the cubics' own bulge of 2.7e-4 r helps a little.
			assert.GreaterOrEqual(t, float64(n), least-4-least*2.7e-4*r/tolerance, "r = %g, tolerance = %g", r, tolerance)
		}
	}
}

func BenchmarkFlatten(b *testing.B) {
	var text Path
	for _, p := range textLine(b, "Marlow Creek Science Fair 25", 25, 0) {
		text = append(text, p...)
	}
	for _, tolerance := range []units.Length{0.05, 0.005} {
		b.Run(fmt.Sprintf("tolerance=%g", float64(tolerance)), func(b *testing.B) {
			b.ReportAllocs()
			var points []Point
			n := 0
			for b.Loop() {
				n = 0
				for _, c := range text {
					points = c.Flatten(points[:0], tolerance)
					n += len(points)
				}
			}
			b.ReportMetric(float64(n), "points")
			b.ReportMetric(float64(text.Nodes()), "nodes")
		})
	}
}
