package outline

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func testSquare(x, y, side float64) Contour {
	return Polygon(Pt(x, y), Pt(x+side, y), Pt(x+side, y+side), Pt(x, y+side))
}

// testDisc is a circle of four cubics, deviating from the true one by 2.7e-4 of
// the radius.
func testDisc(x, y, r float64) Contour {
	const k = 0.5522847498307936
	at := func(u, v float64) Point { return Pt(x+r*u, y+r*v) }
	return Contour{at(1, 0), []Segment{
		CubicTo(at(1, k), at(k, 1), at(0, 1)), CubicTo(at(-k, 1), at(-1, k), at(-1, 0)),
		CubicTo(at(-1, -k), at(-k, -1), at(0, -1)), CubicTo(at(k, -1), at(1, -k), at(1, 0)),
	}}
}

func TestBooleanSquares(t *testing.T) {
	a, b := Path{testSquare(0, 0, 10)}, Path{testSquare(5, 5, 10)}
	for _, test := range []struct {
		op    string
		f     func() (Path, error)
		area  float64
		nodes int
	}{
		{"weld", func() (Path, error) { return Weld([]Path{a, b}, BooleanOptions{}) }, 175, 8},
		{"intersect", func() (Path, error) { return Intersect([]Path{a, b}, BooleanOptions{}) }, 25, 4},
		{"subtract", func() (Path, error) { return Subtract(a, []Path{b}, BooleanOptions{}) }, 75, 6},
		{"symmetric difference", func() (Path, error) { return SymmetricDifference([]Path{a, b}, BooleanOptions{}) }, 150, 12},
	} {
		p, err := test.f()
		require.NoError(t, err, test.op)
		assert.InDelta(t, test.area, float64(p.Area()), 1e-9, test.op)
		assert.Equal(t, test.nodes, p.Nodes(), test.op)
		require.NoError(t, p.Check(), test.op)
	}
}

// reference is testdata/geometry.json: areas by GEOS 3.11.1.
type reference struct {
	Shapes []map[string]any
	Pairs  []struct {
		A, B         string
		Shift        [2]float64 `json:"b_shift"`
		Union        float64
		Intersection float64
		AMinusB      float64 `json:"a_minus_b"`
		Xor          float64
	}
	Closed []map[string]any `json:"closed_forms"`
}

func readReference(t testing.TB) (reference, map[string]Path) {
	data, err := os.ReadFile("../testdata/geometry.json")
	require.NoError(t, err)
	var ref reference
	require.NoError(t, json.Unmarshal(data, &ref))
	shapes := map[string]Path{}
	for _, s := range ref.Shapes {
		g, err := geom.UnmarshalWKT(s["wkt"].(string))
		require.NoError(t, err)
		shapes[s["name"].(string)] = FromMultiPolygon(fromGeom(g))
	}
	return ref, shapes
}

// The areas of fifteen overlays against GEOS 3.11.1 (testdata/geometry.json).
func TestBooleanAgainstGEOS(t *testing.T) {
	ref, shapes := readReference(t)
	require.Len(t, ref.Pairs, 15)
	for _, pair := range ref.Pairs {
		a := shapes[pair.A]
		b := shapes[pair.B].Transform(Translate(Pt(pair.Shift[0], pair.Shift[1])))
		ga, gb := toGeom(a.MultiPolygon(0)), toGeom(b.MultiPolygon(0))
		opt := BooleanOptions{MinArea: -1}
		check := func(op string, geos float64, judge func(a, b geom.Geometry) (geom.Geometry, error), p Path, err error) {
			name := pair.A + " " + pair.B + " " + op
			require.NoError(t, err, name)
			require.NoError(t, p.Check(), name)
			// GEOS had all digits of the shapes; the file gives six decimals.
			assert.InEpsilon(t, geos, float64(p.Area()), 1e-6, name)
			g, err := judge(ga, gb)
			require.NoError(t, err, name)
			assert.InEpsilon(t, g.Area(), float64(p.Area()), 1e-11, name)
		}
		p, err := Weld([]Path{a, b}, opt)
		check("weld", pair.Union, geom.Union, p, err)
		p, err = Intersect([]Path{a, b}, opt)
		check("intersect", pair.Intersection, geom.Intersection, p, err)
		p, err = Subtract(a, []Path{b}, opt)
		check("subtract", pair.AMinusB, geom.Difference, p, err)
		p, err = SymmetricDifference([]Path{a, b}, opt)
		check("xor", pair.Xor, geom.SymmetricDifference, p, err)
	}
}

// randomPath draws contours of n segments at random, lines and curves, crossing
// themselves and each other.
func randomPath(rng *rand.Rand, contours, n int, size float64) Path {
	pt := func() Point { return Pt(math.Round(rng.Float64()*size*8)/8, rng.Float64()*size) }
	var p Path
	for range contours {
		c := Contour{Start: pt()}
		for i := range n {
			end := pt()
			if i == n-1 {
				end = c.Start
			}
			s := LineTo(end)
			switch rng.IntN(3) {
			case 1:
				s = QuadTo(pt(), end)
			case 2:
				s = CubicTo(pt(), pt(), end)
			}
			s.Origin = int32(len(p) + 1)
			c.Segments = append(c.Segments, s)
		}
		p = append(p, c)
	}
	return p
}

// Every point clear of the result's border must be filled as the winding numbers
// of the input's own curves say.
func TestBooleanAgainstWinding(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 3))
	const tolerance = DefaultTolerance
	for round := range 40 {
		a := randomPath(rng, 1+rng.IntN(3), 3+rng.IntN(5), 40)
		b := randomPath(rng, 1+rng.IntN(3), 3+rng.IntN(5), 40)
		rule := FillRule(round % 2)
		in := rule.filled()
		opt := BooleanOptions{FillRule: rule, MinArea: -1}
		for _, test := range []struct {
			op   string
			f    func() (Path, error)
			want func(a, b bool) bool
		}{
			{"weld", func() (Path, error) { return Weld([]Path{a, b}, opt) }, func(a, b bool) bool { return a || b }},
			{"intersect", func() (Path, error) { return Intersect([]Path{a, b}, opt) }, func(a, b bool) bool { return a && b }},
			{"subtract", func() (Path, error) { return Subtract(a, []Path{b}, opt) }, func(a, b bool) bool { return a && !b }},
			{"symmetric difference", func() (Path, error) { return SymmetricDifference([]Path{a, b}, opt) }, func(a, b bool) bool { return a != b }},
		} {
			p, err := test.f()
			require.NoError(t, err, "%s %d", test.op, round)
			require.NoError(t, p.Check(), "%s %d", test.op, round)
			for range 120 {
				q := Pt(rng.Float64()*40, rng.Float64()*40)
				w := p.Winding(q)
				want := 0
				if test.want(in(int32(a.Winding(q))), in(int32(b.Winding(q)))) {
					want = 1
				}
				if w != want {
					d := borderDistance(p, q)
					require.LessOrEqual(t, d, float64(tolerance), "%s %d: winding %d, want %d at %v", test.op, round, w, want, q)
				}
			}
		}
	}
}

// borderDistance is the distance from q to the border of p.
func borderDistance(p Path, q Point) float64 {
	d := math.Inf(1)
	for _, c := range p {
		d = min(d, float64(c.Nearest(q).Distance))
	}
	return d
}
