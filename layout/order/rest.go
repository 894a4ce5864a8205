package order

import (
	"math"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
)

// restOfLeftover sets what stays of the leftover that a load has been cut from,
// if it is worth keeping: the leftover less a box round every decal, its weed
// border or its clearance included. Holes stay holes; pieces that the boxes part
// stay one leftover in several pieces.
func (r *runner) restOfLeftover(l *Load) error {
	var boxes []outline.Path
	for _, d := range l.Sheet.Decals {
		boxes = append(boxes, boxed(d.Path.Bounds().Grow(float64(r.order.clearance()))))
	}
	for _, c := range l.Sheet.WeedBorder {
		boxes = append(boxes, outline.Path{c})
	}
	shape, err := outline.Subtract(l.Film, boxes, outline.BooleanOptions{})
	if err != nil {
		return &Error{Where: "leftover " + l.Leftover, Cause: err}
	}
	if holdsSquare(shape, float64(r.order.leastLeftover())) {
		l.Rest = &layout.Leftover{Name: "rest of " + l.Leftover, Film: l.Sheet.Film.Name, Shape: shape}
	}
	return nil
}

// squareSteps is how many places along the side of a square are tried: one that fits only
// within an eighth of its side may be missed.
const squareSteps = 8

// holdsSquare reports whether a square of the given side, its sides along the
// axes, lies in the shape; of places between its steps it sees none.
func holdsSquare(shape outline.Path, side float64) bool {
	if len(shape) == 0 || !(side > 0) {
		return false
	}
	var segments [][2]outline.Point
	var xs, ys []float64 // where an edge may leave room beside it
	for _, c := range shape {
		points := c.Flatten(nil, flattening)
		for i, p := range points {
			segments = append(segments, [2]outline.Point{p, points[(i+1)%len(points)]})
		}
	}
	const slack = float64(flattening)
	b := shape.Bounds()
	for x := b.Min.X; x+side <= b.Max.X+slack; x += side / squareSteps {
		xs = append(xs, x)
	}
	for y := b.Min.Y; y+side <= b.Max.Y+slack; y += side / squareSteps {
		ys = append(ys, y)
	}
	for _, s := range segments { // beside upright and level edges it can lie exactly
		if s[0].X == s[1].X {
			xs = append(xs, s[0].X, s[0].X-side)
		}
		if s[0].Y == s[1].Y {
			ys = append(ys, s[0].Y, s[0].Y-side)
		}
	}
	for _, x := range xs {
		for _, y := range ys {
			square := outline.Box{Min: outline.Pt(x, y), Max: outline.Pt(x+side, y+side)}
			if shape.Contains(square.Centre()) && !anyCrosses(segments, square.Grow(-slack)) {
				return true
			}
		}
	}
	return false
}

// anyCrosses reports whether a segment meets the box.
func anyCrosses(segments [][2]outline.Point, box outline.Box) bool {
	for _, s := range segments {
		from, to, d := 0.0, 1.0, s[1].Sub(s[0])
		for _, side := range [...]struct{ start, step, low, high float64 }{{s[0].X, d.X, box.Min.X, box.Max.X}, {s[0].Y, d.Y, box.Min.Y, box.Max.Y}} {
			if side.step == 0 {
				if side.start < side.low || side.start > side.high {
					from, to = 1, 0
				}
				continue
			}
			t, u := (side.low-side.start)/side.step, (side.high-side.start)/side.step
			from, to = math.Max(from, math.Min(t, u)), math.Min(to, math.Max(t, u))
		}
		if from <= to {
			return true
		}
	}
	return false
}
