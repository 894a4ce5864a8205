package outline

import (
	"math"
	"testing"

	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"

	"github.com/vinylgeom/vinyl/units"
)

func TestCentroidClosedForms(t *testing.T) {
	halfDisc := func(r float64) Contour { return Arc(Pt(0, 0), units.Length(r), 0, units.Turn/2).Closed() }
	for name, c := range map[string]struct {
		c         Contour
		want      Point
		tolerance float64
	}{
		"rectangle": {Rectangle(Box{Pt(1, 2), Pt(5, 10)}), Pt(3, 6), 1e-12},
		"triangle":  {Polygon(Pt(0, 0), Pt(9, 0), Pt(0, 6)), Pt(3, 2), 1e-12},
		"circle":    {Circle(Pt(7, -3), 12), Pt(7, -3), 1e-9},
		"ellipse":   {Ellipse(Pt(-4, 5), 12, 3), Pt(-4, 5), 1e-9},
		// 4r/3π above the diameter.
		"half disc": {halfDisc(30), Pt(0, 4*30/(3*math.Pi)), 1e-3},
		// A parabola's segment: two fifths of its height above the chord.
		"parabola as a quad":  {Curve{Pt(2, 0), []Segment{QuadTo(Pt(1, 2), Pt(0, 0))}}.Closed(), Pt(1, 0.4), 1e-14},
		"parabola as a cubic": {Curve{Pt(2, 0), []Segment{CubicTo(Pt(4.0/3, 4.0/3), Pt(2.0/3, 4.0/3), Pt(0, 0))}}.Closed(), Pt(1, 0.4), 1e-14},
		"far out":             {Rectangle(Box{Pt(1e9, -1e9), Pt(1e9+2, -1e9+2)}), Pt(1e9+1, -1e9+1), 1e-6},
	} {
		got, ok := c.c.Centroid()
		assert.True(t, ok, name)
		assertNear(t, c.want, got, c.tolerance, name)
		back, _ := c.c.Reversed().Centroid()
		assertNear(t, got, back, 1e-9, name)
	}
}

// orb's centroid of the flattened path is the second opinion.
func TestCentroidAgainstOrb(t *testing.T) {
	p := append(Ring(Pt(0, 0), 20, 7), Star(Pt(60, 10), 15, 6, 5, 0.3))
	p = append(p, Circle(Pt(10, 3), 2).Reversed())
	want, area := planar.CentroidArea(p.MultiPolygon(1e-5))
	assertLength(t, area, float64(p.Area()), 1e-2)
	got, ok := p.Centroid()
	assert.True(t, ok)
	assertNear(t, Pt(want[0], want[1]), got, 1e-3)
}

func TestCentroidOfNothing(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		p    Path
		want Point
	}{
		"nil":            {nil, Point{}},
		"a point":        {Path{{Start: Pt(3, 4)}}, Pt(3, 4)},
		"there and back": {Path{Polygon(Pt(0, 0), Pt(4, 2))}, Pt(2, 1)},
		"film less film": {Path{Rectangle(Box{Pt(0, 0), Pt(2, 2)}), Rectangle(Box{Pt(0, 0), Pt(2, 2)}).Reversed()}, Pt(1, 1)},
		"not finite":     {Path{Polygon(Pt(nan, 0), Pt(1, 0), Pt(nan, 1))}, Point{}},
	} {
		got, ok := c.p.Centroid()
		assert.False(t, ok, name)
		if c.want.IsFinite() && name != "not finite" {
			assert.Equal(t, c.want, got, name)
		}
	}
}
