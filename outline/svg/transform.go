package svg

import (
	"math"
	"strings"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// parseTransform reads a transform list (SVG 2, 8.5; CSS Transforms Level 1,
// 8): the first function of the list is the outermost. Angles are degrees and
// turn from x to y, so clockwise as seen while y runs down.
func parseTransform(text string) (outline.Transform, error) {
	t := outline.Identity()
	s := scanner{text: text}
	s.spaces()
	if strings.TrimSpace(text) == "none" {
		return t, nil
	}
	for !s.done() {
		start := s.at
		name := s.letters()
		s.spaces()
		if s.peek() != '(' {
			return t, s.fail("an opening bracket")
		}
		s.at++
		s.spaces()
		var v [6]float64
		n := 0
		for s.peek() != ')' {
			if n == len(v) {
				return t, s.fail("a closing bracket")
			}
			value, err := s.number()
			if err != nil {
				return t, err
			}
			// CSS writes units; degrees and pixels are what the numbers mean anyway.
			switch unit := s.letters(); unit {
			case "", "deg", "px":
			case "rad":
				value *= 180 / math.Pi
			case "turn":
				value *= 360
			default:
				return t, s.fail("a number without unit")
			}
			v[n] = value
			n++
			if comma := s.separator(); comma && s.peek() == ')' {
				return t, s.fail("a number after the comma")
			}
		}
		s.at++
		f, ok := transformFunction(name, v[:n])
		if !ok {
			s.at = start
			return t, s.fail("matrix, translate, scale, rotate, skewX or skewY with its numbers")
		}
		t = f.Then(t)
		if !isBounded(t) {
			return t, &syntaxError{offset: start, want: "a smaller transform", cause: ErrTooFar}
		}
		s.separator()
	}
	return t, nil
}

func transformFunction(name string, v []float64) (outline.Transform, bool) {
	switch {
	case name == "matrix" && len(v) == 6:
		return outline.Transform{XX: v[0], YX: v[1], XY: v[2], YY: v[3], X0: v[4], Y0: v[5]}, true
	case name == "translate" && len(v) == 1:
		return outline.Translate(outline.Pt(v[0], 0)), true
	case name == "translate" && len(v) == 2:
		return outline.Translate(outline.Pt(v[0], v[1])), true
	case name == "translateX" && len(v) == 1:
		return outline.Translate(outline.Pt(v[0], 0)), true
	case name == "translateY" && len(v) == 1:
		return outline.Translate(outline.Pt(0, v[0])), true
	case name == "scale" && len(v) == 1:
		return outline.Scale(v[0], v[0]), true
	case name == "scale" && len(v) == 2:
		return outline.Scale(v[0], v[1]), true
	case name == "rotate" && len(v) == 1:
		return outline.Rotate(units.Angle(v[0]) * units.Degree), true
	case name == "rotate" && len(v) == 3:
		c := outline.Pt(v[1], v[2])
		return outline.Translate(c.Mul(-1)).Then(outline.Rotate(units.Angle(v[0]) * units.Degree)).Then(outline.Translate(c)), true
	case name == "skewX" && len(v) == 1:
		return outline.Transform{XX: 1, YY: 1, XY: math.Tan(v[0] * math.Pi / 180)}, true
	case name == "skewY" && len(v) == 1:
		return outline.Transform{XX: 1, YY: 1, YX: math.Tan(v[0] * math.Pi / 180)}, true
	}
	return outline.Transform{}, false
}

// maxTransform bounds the factors and shifts of a transform.
const maxTransform = 1e12

func isBounded(t outline.Transform) bool {
	for _, v := range [...]float64{t.XX, t.XY, t.X0, t.YX, t.YY, t.Y0} {
		if !(math.Abs(v) <= maxTransform) {
			return false
		}
	}
	return true
}

// stretchOf returns the largest factor by which t scales a length, its
// greatest singular value.
func stretchOf(t outline.Transform) float64 {
	a := t.XX*t.XX + t.XY*t.XY + t.YX*t.YX + t.YY*t.YY
	d := t.Determinant()
	return math.Sqrt((a + math.Sqrt(math.Max(0, a*a-4*d*d))) / 2)
}
