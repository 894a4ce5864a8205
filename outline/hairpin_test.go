package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestHairpinsAreFoundWhereACurveTurnsSharply(t *testing.T) {
	find := func(start Point, s Segment) []hairpin {
		h := s.hodograph(start)
		return h.hairpins(nil)
	}
	// Out and back along two sides 1 mm apart, 100 mm long.
	pins := find(Pt(0, 0), QuadTo(Pt(100, 0.5), Pt(0, 1)))
	if assert.Len(t, pins, 1) {
		assertLength(t, 0.5, pins[0].t, 1e-12)
		assertLength(t, 0.5/200, pins[0].width, 1e-6, "speed across, 1 mm, over acceleration along, 400 mm")
	}
	assert.Empty(t, find(Pt(0, 0), QuadTo(Pt(50, 50), Pt(100, 0))), "a right angle is no hairpin")
	assert.Empty(t, find(Pt(0, 0), LineTo(Pt(5, 5))))
	cusp := find(Pt(0, 0), CubicTo(Pt(3, 3), Pt(0, 3), Pt(3, 0)))
	if assert.Len(t, cusp, 1) {
		assertLength(t, 0.5, cusp[0].t, 1e-9)
		assertLength(t, 0, cusp[0].width, 1e-9)
	}
	for _, c := range randomSegments(41, 200) {
		for _, pin := range find(c.start, c.s) {
			h := c.s.hodograph(c.start)
			for _, step := range []float64{-0.01, 0.01} {
				assert.LessOrEqual(t, h.speed(pin.t), h.speed(pin.t+step*pin.width)+1e-9*math.Max(1, h.speed(0)), "slowest there")
			}
		}
	}
}
