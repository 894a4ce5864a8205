package outline

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

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
		checkOffset(t, rng, film, d, 2000)
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
