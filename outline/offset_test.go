package outline

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/units"
)

// Areas and numbers of parts of offsets against GEOS 3.11.1
// (testdata/geometry.json; 64 segments to the quarter turn there, so that its
// round corners are 1.0e-4 of the radius too small).
func TestOffsetAgainstGEOS(t *testing.T) {
	ref, shapes := readReference(t)
	checked := 0
	for _, s := range ref.Shapes {
		name := s["name"].(string)
		for key, value := range s {
			kind, number, ok := strings.Cut(strings.TrimPrefix(key, "offset_"), "_")
			if !ok || !strings.HasPrefix(key, "offset_") {
				continue
			}
			var d float64
			require.NoError(t, json.Unmarshal([]byte(strings.TrimPrefix(number, "+")), &d))
			opt := OffsetOptions{Tolerance: 1e-4}
			if kind == "mitre4" {
				opt.Corner, opt.MitreLimit = CornerMitre, 4
			}
			p, err := Offset(shapes[name], units.Length(d), opt)
			require.NoError(t, err, name+key)
			require.NoError(t, p.Check(), name+key)
			want := value.(map[string]any)
			if a := want["area"].(float64); a == 0 {
				assert.Empty(t, p, name+" "+key)
			} else {
				assert.InEpsilon(t, a, float64(p.Area()), 2e-5, name+" "+key)
			}
			if parts, ok := want["parts"].(float64); ok {
				assert.Equal(t, int(parts), len(p.MultiPolygon(1e-4)), name+" "+key)
			}
			checked++
		}
	}
	require.Greater(t, checked, 40)
}

// A point is in the grown shape exactly where its distance from the shape is at
// most d, and in the shrunk one where its distance from everything else is.
func TestOffsetAgainstDistance(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for round := range 40 {
		p := randomPath(rng, 1+rng.IntN(3), 3+rng.IntN(4), 40)
		film, err := Weld([]Path{p}, BooleanOptions{})
		require.NoError(t, err)
		d := math.Exp(rng.Float64()*4-2) * float64(1-2*(round%2)) // 0.14 mm to 7.4 mm
		checkOffset(t, rng, film, d, 300)
	}
	var text Path
	for _, p := range textLine(t, "Creek & 8%", 20, 0.5) {
		text = append(text, p...)
	}
	film, err := Weld([]Path{text}, BooleanOptions{})
	require.NoError(t, err)
	for _, d := range []float64{0.3, 1, 2.5, -0.2, -0.8, -1.6} {
		checkOffset(t, rng, film, d, 600)
	}
}

func checkOffset(t *testing.T, rng *rand.Rand, film Path, d float64, samples int) {
	out, err := Offset(film, units.Length(d), OffsetOptions{})
	require.NoError(t, err, d)
	require.NoError(t, out.Check())
	const slack = 2 * float64(DefaultTolerance)
	box := film.Bounds().Grow(math.Abs(d) + 1)
	for range samples {
		q := Pt(box.Min.X+rng.Float64()*box.Width(), box.Min.Y+rng.Float64()*box.Height())
		distance := borderDistance(film, q)
		inFilm := film.Contains(q)
		want := inFilm || distance <= d
		if d < 0 {
			want = inFilm && distance >= -d
		}
		if out.Contains(q) != want && math.Abs(distance-math.Abs(d)) > slack {
			require.Fail(t, "wrong side", "offset %g: %v is at distance %g (in film: %v), in offset: %v", d, q, distance, inFilm, out.Contains(q))
		}
	}
	// The border of the offset lies at distance d from the film's.
	for _, c := range out {
		at := c.Start
		for _, s := range c.Segments {
			for k := range 5 {
				q := s.At(at, float64(k)/5)
				require.InDelta(t, math.Abs(d), borderDistance(film, q), slack, "offset %g at %v", d, q)
			}
			at = s.End
		}
	}
}

// Growing by d and shrinking by d again gives the closing, which holds the
// shape; the other way round the opening, whose areas GEOS 3.11.1 gives for 1 mm
// (testdata/geometry.json).
func TestOffsetOpeningAndClosing(t *testing.T) {
	ref, shapes := readReference(t)
	for _, s := range ref.Shapes {
		name := s["name"].(string)
		p := shapes[name]
		opt := OffsetOptions{Tolerance: 1e-4}
		less, err := Offset(p, -1, opt)
		require.NoError(t, err)
		opening, err := Offset(less, 1, opt)
		require.NoError(t, err)
		want := s["opening_1.0"].(map[string]any)["area"].(float64)
		assert.InEpsilon(t, want, float64(opening.Area()), 2e-5, name)
		more, err := Offset(p, 1, opt)
		require.NoError(t, err)
		closing, err := Offset(more, -1, opt)
		require.NoError(t, err)
		for _, part := range []Path{p, opening} {
			outside, err := Subtract(part, []Path{closing}, BooleanOptions{MinArea: -1})
			require.NoError(t, err)
			assert.InDelta(t, 0, float64(outside.Area()), 1e-3*float64(p.Length(0)), name)
		}
	}
}

// Closed forms: a square of side a grown by r with round corners has
// a² + 4ar + πr², with mitred ones (a+2r)², with bevelled ones 2r² less.
func TestOffsetClosedForms(t *testing.T) {
	const a, r = 50.0, 3.0
	p := Path{testSquare(0, 0, a)}.WithOrigin(7)
	for corner, want := range map[Corner]float64{
		CornerRound: a*a + 4*a*r + math.Pi*r*r,
		CornerMitre: (a + 2*r) * (a + 2*r),
		CornerBevel: (a+2*r)*(a+2*r) - 2*r*r,
	} {
		var report OffsetReport
		q, err := Offset(p, r, OffsetOptions{Corner: corner, Report: &report})
		require.NoError(t, err)
		assert.InDelta(t, want, float64(q.Area()), 0.02, corner)
		assert.LessOrEqual(t, q.Nodes(), 12, "%v: few nodes", corner)
		assert.Equal(t, q.Nodes(), report.NodesOut)
		for _, s := range q[0].Segments {
			assert.Equal(t, int32(7), s.Origin)
		}
	}
	// A limit below √2 bevels a right angle.
	q, err := Offset(p, r, OffsetOptions{Corner: CornerMitre, MitreLimit: 1.4})
	require.NoError(t, err)
	assert.InDelta(t, (a+2*r)*(a+2*r)-2*r*r, float64(q.Area()), 1e-6)
	_, err = Offset(p, r, OffsetOptions{MitreLimit: 0.5})
	require.ErrorIs(t, err, ErrInvalidOption)
}

// At the tip of a needle the two curves may run past each other by less than the
// tolerance, so that the border turns there by a hair more than half a turn.
func TestOffsetRoundsNeedles(t *testing.T) {
	const d = 3.0
	frame := Rectangle(Box{Pt(-20, -20), Pt(20, 20)})
	for _, past := range []float64{-5e-3, 0, 1e-9, 1e-5, 1e-3, 5e-3} {
		needle := Curve{Pt(0, 0), []Segment{QuadTo(Pt(5, past), Pt(10, -1)), LineTo(Pt(10, 1)), QuadTo(Pt(5, -past), Pt(0, 0))}}.Closed()
		grown, err := Offset(Path{needle}, d, OffsetOptions{})
		require.NoError(t, err)
		shrunk, err := Offset(Path{frame, needle.Reversed()}, -d, OffsetOptions{}) // the same as a slit
		require.NoError(t, err)
		for degrees := 95; degrees <= 265; degrees += 5 {
			sin, cos := math.Sincos(float64(degrees) * math.Pi / 180)
			tip := Pt(cos, sin)
			assert.True(t, grown.Contains(tip.Mul(d-0.02)), "past %v, at %d degrees", past, degrees)
			assert.False(t, grown.Contains(tip.Mul(d+0.02)), "past %v, at %d degrees", past, degrees)
			assert.False(t, shrunk.Contains(tip.Mul(d-0.02)), "slit, past %v, at %d degrees", past, degrees)
			assert.True(t, shrunk.Contains(tip.Mul(d+0.02)), "slit, past %v, at %d degrees", past, degrees)
		}
	}
	// A tip that ends in a hook of half a micrometre.
	hooked := Curve{Pt(6.847000711703467, 17.0750865365286), []Segment{
		QuadTo(Pt(7.317876290653677, 16.68232477121408), Pt(7.878407522045376, 16.180449627069496)),
		CubicTo(Pt(7.234911438297909, 16.947181984583764), Pt(6.8526207901815654, 17.418803010450176), Pt(6.875, 17.41296567858217)),
		CubicTo(Pt(6.864725599373884, 17.299735645361988), Pt(6.855399114168572, 17.187108122674474), Pt(6.847000711703467, 17.0750865365286)),
	}}.Closed()
	grown, err := Offset(Path{hooked}, 0.15, OffsetOptions{})
	require.NoError(t, err)
	for degrees := 45; degrees <= 170; degrees += 5 {
		sin, cos := math.Sincos(float64(degrees) * math.Pi / 180)
		assert.True(t, grown.Contains(Pt(6.875, 17.413).Add(Pt(cos, sin).Mul(0.14))), "hook, at %d degrees", degrees)
		assert.False(t, grown.Contains(Pt(6.875, 17.413).Add(Pt(cos, sin).Mul(0.16))), "hook, at %d degrees", degrees)
	}
}

// A dumb-bell falls in two, a ring's hole fills up, islands grow together.
func TestOffsetTopology(t *testing.T) {
	bell, err := Weld([]Path{{testSquare(0, 0, 10)}, {testSquare(20, 0, 10)}, {Polygon(Pt(5, 4), Pt(25, 4), Pt(25, 6), Pt(5, 6))}}, BooleanOptions{})
	require.NoError(t, err)
	for _, test := range []struct {
		path     Path
		d        float64
		contours int
	}{
		{bell, -0.5, 1},
		{bell, -1.5, 2},
		{bell, -5.1, 0},
		{Path{testDisc(0, 0, 10), testDisc(0, 0, 2).Reversed()}, 1, 2},
		{Path{testDisc(0, 0, 10), testDisc(0, 0, 2).Reversed()}, 2.5, 1},
		{Path{testDisc(0, 0, 10), testDisc(0, 0, 2).Reversed()}, -4.5, 0},
		{Path{testSquare(0, 0, 10), testSquare(12, 0, 10)}, 0.9, 2},
		{Path{testSquare(0, 0, 10), testSquare(12, 0, 10)}, 1.1, 1},
	} {
		q, err := Offset(test.path, units.Length(test.d), OffsetOptions{})
		require.NoError(t, err)
		assert.Len(t, q, test.contours, "%g", test.d)
		require.NoError(t, q.CheckWelded(0))
	}
}

func BenchmarkOffset(b *testing.B) {
	var text Path
	for _, p := range textLine(b, "Marlow Creek Science Fair 25", 25, 0.4) {
		text = append(text, p...)
	}
	film, err := Weld([]Path{text}, BooleanOptions{})
	require.NoError(b, err)
	for _, d := range []units.Length{1, -0.3} {
		b.Run("d="+d.String(), func(b *testing.B) {
			b.ReportAllocs()
			var report OffsetReport
			for b.Loop() {
				_, err := Offset(film, d, OffsetOptions{Report: &report})
				require.NoError(b, err)
			}
			b.ReportMetric(float64(report.NodesIn), "nodes-in")
			b.ReportMetric(float64(report.NodesOut), "nodes-out")
		})
		b.Run("simplefeatures/d="+d.String(), func(b *testing.B) {
			g := toGeom(film.MultiPolygon(DefaultTolerance * flatShare))
			b.ReportAllocs()
			for b.Loop() {
				_, err := geom.Buffer(g, float64(d), geom.BufferQuadSegments(12))
				require.NoError(b, err)
			}
		})
	}
}
