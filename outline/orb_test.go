package outline

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMultiPolygonTellsHolesByDepth(t *testing.T) {
	square := func(half float64) Contour { return Rectangle(Box{Pt(-half, -half), Pt(half, half)}) }
	// A target: film, hole, island, with every ring run the wrong way as well.
	for _, reversed := range []bool{false, true} {
		var p Path
		for _, half := range []float64{1, 3, 2} {
			c := square(half)
			if reversed {
				c = c.Reversed()
			}
			p = append(p, c)
		}
		polygons := p.MultiPolygon(0)
		require.Len(t, polygons, 2)
		require.Len(t, polygons[0], 2, "the large square has the middle one as its hole")
		require.Len(t, polygons[1], 1)
		// orb's own measure is the judge: 36 - 16 + 4.
		assert.Equal(t, 24.0, planar.Area(polygons))
		assert.Equal(t, orb.CCW, polygons[0][0].Orientation())
		assert.Equal(t, orb.CW, polygons[0][1].Orientation())
	}
}

func TestMultiPolygonRoundTrip(t *testing.T) {
	p := append(Ring(Pt(0, 0), 10, 4), Star(Pt(30, 0), 8, 3, 5, 0))
	polygons := p.MultiPolygon(0.01)
	back := FromMultiPolygon(polygons)
	require.Len(t, back, 3)
	assertLength(t, planar.Area(polygons), float64(back.Area()), 1e-9)
	// Chords within 0.01 mm of a border L long change the area by less than 0.01 L.
	assertLength(t, float64(p.Area()), float64(back.Area()), 0.01*float64(p.Length(0)))
	assert.Equal(t, polygons, back.MultiPolygon(0.01))
}

// A kilometre away a small ring still has its own sense and size.
func TestMultiPolygonFarAway(t *testing.T) {
	for i := range 50 {
		at := Pt(1e7+float64(i)*0.37, 1e7+float64(i)*1.11)
		hole := Rectangle(Box{at.Add(Pt(1, 1)), at.Add(Pt(1.1, 1.1))}).Reversed()
		polygons := Path{hole, Rectangle(Box{at, at.Add(Pt(3, 3))})}.MultiPolygon(0)
		require.Len(t, polygons, 1)
		require.Len(t, polygons[0], 2)
		assert.Equal(t, Path{Rectangle(Box{at, at.Add(Pt(3, 3))}), hole}, FromMultiPolygon(polygons))
	}
}

func TestMultiPolygonOfNothing(t *testing.T) {
	for _, p := range []Path{nil, {}, {{}}, {Polygon(Pt(0, 0), Pt(1, 0))}} {
		assert.Empty(t, p.MultiPolygon(0))
	}
	assert.Empty(t, FromMultiPolygon(nil))
	assert.Empty(t, FromMultiPolygon(orb.MultiPolygon{{}, {{}}, {{{0, 0}, {1, 1}}}}))
}
