package cutpath

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// lengthTolerance bounds the error of one segment's length relative to it.
const lengthTolerance = 1e-9

// maxLengthDepth bounds the halvings of one segment when it is measured; a
// cusp is the only thing that needs many.
const maxLengthDepth = 24

// curveLength returns the length of c in millimetres.
func curveLength(c outline.Curve) float64 {
	var sum float64
	at := c.Start
	for _, s := range c.Segments {
		sum += segmentLength(at, s, 0, 1)
		at = s.End
	}
	return sum
}

// segmentLength returns the length of s between parameters t0 and t1.
func segmentLength(start outline.Point, s outline.Segment, t0, t1 float64) float64 {
	if s.Kind == outline.Line {
		return start.Distance(s.End) * (t1 - t0)
	}
	return adaptiveLength(start, s, t0, t1, gauss(start, s, t0, t1), 0)
}

func adaptiveLength(start outline.Point, s outline.Segment, t0, t1, whole float64, depth int) float64 {
	mid := (t0 + t1) / 2
	a, b := gauss(start, s, t0, mid), gauss(start, s, mid, t1)
	if depth >= maxLengthDepth || math.Abs(a+b-whole) <= lengthTolerance*(a+b) {
		return a + b
	}
	return adaptiveLength(start, s, t0, mid, a, depth+1) + adaptiveLength(start, s, mid, t1, b, depth+1)
}

// Nodes and weights of the eight-point Gauss-Legendre rule on [-1, 1]
// (Abramowitz and Stegun, table 25.4), positive half.
var (
	gaussNode   = [4]float64{0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363}
	gaussWeight = [4]float64{0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763}
)

func gauss(start outline.Point, s outline.Segment, t0, t1 float64) float64 {
	mid, half := (t0+t1)/2, (t1-t0)/2
	var sum float64
	for i, x := range gaussNode {
		sum += gaussWeight[i] * (s.Derivative(start, mid-half*x).Norm() + s.Derivative(start, mid+half*x).Norm())
	}
	return sum * half
}

// paramAt returns the parameter at which s has the given length from its
// start; lengths outside it give 0 or 1.
func paramAt(start outline.Point, s outline.Segment, length float64) float64 {
	total := segmentLength(start, s, 0, 1)
	if length <= 0 || total == 0 {
		return 0
	}
	if length >= total {
		return 1
	}
	if s.Kind == outline.Line {
		return length / total
	}
	// Bisection with Newton steps that stay in the bracket.
	lo, hi, t := 0.0, 1.0, length/total
	for range 60 {
		f := segmentLength(start, s, 0, t) - length
		if math.Abs(f) <= lengthTolerance*total {
			break
		}
		if f > 0 {
			hi = t
		} else {
			lo = t
		}
		next := (lo + hi) / 2
		if v := s.Derivative(start, t).Norm(); v > 0 {
			if n := t - f/v; n > lo && n < hi {
				next = n
			}
		}
		t = next
	}
	return t
}

// startAt returns the closed contour run from the point at parameter t of its
// segment i. A t of 0 or 1 starts at a node and adds none.
func startAt(c outline.Contour, i int, t float64) outline.Contour {
	n := len(c.Segments)
	if n == 0 {
		return c
	}
	if t >= 1 {
		i, t = (i+1)%n, 0
	}
	starts := c.Start
	for k := range i {
		starts = c.Segments[k].End
	}
	r := outline.Contour{Segments: make([]outline.Segment, 0, n+1)}
	if t <= 0 {
		r.Start = starts
		r.Segments = append(r.Segments, c.Segments[i:]...)
		r.Segments = append(r.Segments, c.Segments[:i]...)
		return r
	}
	first, second := c.Segments[i].Split(starts, t)
	r.Start = first.End
	r.Segments = append(r.Segments, second)
	r.Segments = append(r.Segments, c.Segments[i+1:]...)
	r.Segments = append(r.Segments, c.Segments[:i]...)
	r.Segments = append(r.Segments, first)
	return r
}
