package verify

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func rect(x0, y0, x1, y1 float64) orb.MultiPolygon {
	return orb.MultiPolygon{{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}}
}

func withHole(outer, hole orb.MultiPolygon) orb.MultiPolygon {
	return orb.MultiPolygon{{outer[0][0], hole[0][0]}}
}

func TestMeasureTouching(t *testing.T) {
	square := rect(0, 0, 10, 10)
	frame := withHole(rect(-20, -20, 30, 30), rect(-5, -5, 15, 15))
	for name, c := range map[string]struct {
		a, b     orb.MultiPolygon
		overlap  bool
		distance float64
	}{
		"edge to edge":          {square, rect(10, 0, 20, 10), false, 0},
		"edge to part of edge":  {square, rect(10, 3, 20, 5), false, 0},
		"corner to corner":      {square, rect(10, 10, 20, 20), false, 0},
		"same":                  {square, square, true, 0},
		"overlap by one bit":    {square, rect(math.Nextafter(10, 0), 0, 20, 10), true, 0},
		"apart by one bit":      {square, rect(math.Nextafter(10, 11), 0, 20, 10), false, math.Nextafter(10, 11) - 10},
		"inside":                {square, rect(2, 2, 3, 3), true, 0},
		"inside, touching":      {square, rect(0, 0, 3, 3), true, 0},
		"inside, edge":          {square, rect(0, 2, 3, 3), true, 0},
		"cross without corners": {square, rect(-5, 2, 15, 3), true, 0},
		"through corners":       {square, orb.MultiPolygon{{{{-5, -5}, {15, 14}, {15, 15}, {14, 15}}}}, true, 0},
		"diamond in the middle": {square, orb.MultiPolygon{{{{5, 0}, {10, 5}, {5, 10}, {0, 5}}}}, true, 0},
		"diamond outside":       {square, orb.MultiPolygon{{{{10, 5}, {15, 0}, {20, 5}, {15, 10}}}}, false, 0},
		"in the hole":           {square, frame, false, 5},
		"fills the hole":        {rect(-5, -5, 15, 15), frame, false, 0},
		"larger than the hole":  {rect(-6, -5, 15, 15), frame, true, 0},
		"over the hole":         {rect(-10, -10, 20, 20), frame, true, 0},
		"plug and hole":         {rect(-25, -25, 35, 35), frame, true, 0},
		"two parts": {square, orb.MultiPolygon{rect(20, 0, 30, 10)[0], rect(-10, 13, 10, 20)[0]},
			false, 3},
		"notch": {rect(4, 5, 6, 20), orb.MultiPolygon{{{{0, 0}, {10, 0}, {10, 10}, {6, 10}, {6, 5}, {4, 5}, {4, 10}, {0, 10}}}}, false, 0},
	} {
		for range 2 {
			m := measure(NewBody(c.a), NewBody(c.b), 0, math.Inf(1))
			assert.Equal(t, c.overlap, m.overlap, name)
			if !c.overlap {
				assert.Equal(t, c.distance, m.distance, name)
			}
			c.a, c.b = c.b, c.a
		}
	}
}

// star is a random simple polygon about a centre.
func star(rng *rand.Rand, cx, cy, r float64, n int) orb.MultiPolygon {
	ring := make(orb.Ring, n)
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := r * (0.3 + 0.7*rng.Float64())
		ring[i] = orb.Point{cx + d*cos, cy + d*sin}
	}
	return orb.MultiPolygon{{append(ring, ring[0])}}
}

func toGeom(t *testing.T, m orb.MultiPolygon) geom.Geometry {
	t.Helper()
	var coords [][][]float64
	for _, polygon := range m {
		var rings [][]float64
		for _, ring := range polygon {
			var flat []float64
			for _, p := range ring {
				flat = append(flat, p[0], p[1])
			}
			if ring[0] != ring[len(ring)-1] {
				flat = append(flat, ring[0][0], ring[0][1])
			}
			rings = append(rings, flat)
		}
		coords = append(coords, rings)
	}
	return geom.NewMultiPolygonXY(coords...).AsGeometry()
}

// The judge is simplefeatures: distance and area of the intersection.
func TestMeasureAgainstSimplefeatures(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	overlaps := 0
	for range 300 {
		a := star(rng, 0, 0, 10, 3+rng.IntN(20))
		b := star(rng, 8+10*rng.Float64(), 4*rng.Float64(), 9, 3+rng.IntN(20))
		m := measure(NewBody(a), NewBody(b), 0, math.Inf(1))
		common, err := geom.Intersection(toGeom(t, a), toGeom(t, b))
		require.NoError(t, err)
		assert.Equal(t, common.Area() > 0, m.overlap)
		if m.overlap {
			overlaps++
			continue
		}
		want, ok := geom.Distance(toGeom(t, a), toGeom(t, b))
		require.True(t, ok)
		assert.InDelta(t, want, m.distance, 1e-12)
	}
	assert.Greater(t, overlaps, 50)
	assert.Less(t, overlaps, 250)
}

// The slow second implementation looks at every pair without bounds or sorting.
func TestPairsAgainstAllPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for round := range 20 {
		var bodies []*Body
		for i := range 60 {
			bodies = append(bodies, NewBody(star(rng, float64(i%10)*21+rng.Float64()*2, float64(i/10)*21, 10, 5+round)))
		}
		report := Pairs(bodies, 1)
		want, bad := math.Inf(1), 0
		for i := range bodies {
			for j := range i {
				m := measure(bodies[i], bodies[j], 1, math.Inf(1))
				want = min(want, m.distance)
				if m.bad {
					bad++
				}
			}
		}
		assert.Equal(t, want, report.Smallest)
		assert.Len(t, report.Bad, bad)
	}
}

func TestOutside(t *testing.T) {
	region := withHole(rect(0, 0, 100, 50), rect(40, 20, 60, 30))
	outside := NewBody(Outside(region, orb.Bound{Min: orb.Point{-10, -10}, Max: orb.Point{110, 60}}))
	for _, c := range []struct {
		piece    orb.MultiPolygon
		bad      bool
		distance float64
	}{
		{rect(5, 5, 20, 20), false, 5},
		{rect(0, 0, 40, 20), false, 0},
		{rect(30, 15, 45, 25), true, 0},
		{rect(45, 22, 55, 28), true, 0},
		{rect(90, 40, 101, 45), true, 0},
		{rect(62, 5, 70, 45), false, 2},
	} {
		report := Against([]*Body{NewBody(c.piece)}, outside, 0)
		assert.Equal(t, c.bad, len(report.Bad) > 0, "%v", c.piece)
		assert.Equal(t, c.distance, report.Smallest, "%v", c.piece)
	}
}

func TestCrossing(t *testing.T) {
	for name, c := range map[string]struct {
		outline orb.MultiPolygon
		found   bool
	}{
		"square":            {rect(0, 0, 10, 10), false},
		"bow-tie":           {orb.MultiPolygon{{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}}, true},
		"spike":             {orb.MultiPolygon{{{{0, 0}, {10, 0}, {20, 0}, {10, 0}, {10, 10}, {0, 10}}}}, true},
		"touches itself":    {orb.MultiPolygon{{{{0, 0}, {10, 0}, {5, 5}, {10, 10}, {0, 10}, {5, 5}}}}, false},
		"hole crosses":      {withHole(rect(0, 0, 10, 10), rect(5, 5, 15, 8)), true},
		"hole touches":      {withHole(rect(0, 0, 10, 10), orb.MultiPolygon{{{{5, 0}, {6, 2}, {4, 2}}}}), false},
		"repeated points":   {orb.MultiPolygon{{{{0, 0}, {0, 0}, {10, 0}, {10, 10}, {10, 10}, {0, 0}}}}, false},
		"two parts crossed": {orb.MultiPolygon{rect(0, 0, 10, 10)[0], rect(5, 5, 15, 15)[0]}, true},
	} {
		at, found := Crossing(c.outline)
		assert.Equal(t, c.found, found, name)
		if name == "bow-tie" {
			assert.Equal(t, orb.Point{5, 5}, at)
		}
	}
}

// Two bodies are a pair at whatever distance, also where the first bound is
// their very distance and the sweep's own rounding says a bit more.
func TestTwoBodiesHaveADistance(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	for range 2000 {
		x, y := 100*r.Float64(), 20+100*r.Float64()
		a, b := NewBody(rect(0, 0, 10, 10.1)), NewBody(rect(x, y, x+7, y+9))
		report := Pairs([]*Body{a, b}, 5)
		require.Equal(t, measure(a, b, 5, math.Inf(1)).distance, report.Smallest)
	}
}
