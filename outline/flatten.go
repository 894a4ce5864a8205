package outline

import (
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// Flatten appends to points the vertices of a polyline that stays within
// tolerance (zero: [DefaultTolerance]) of the curve, starting with Start, and
// returns the extended slice. Every segment's end is a vertex, bit for bit.
func (c Curve) Flatten(points []Point, tolerance units.Length) []Point {
	points = append(points, c.Start)
	at := c.Start
	for _, s := range c.Segments {
		points = s.flatten(points, at, orDefault(tolerance))
		at = s.End
	}
	return points
}

// Flatten appends the vertices of a polygon that stays within tolerance (zero:
// [DefaultTolerance]) of the contour; the start is not repeated at the end.
func (c Contour) Flatten(points []Point, tolerance units.Length) []Point {
	n := len(points)
	points = Curve(c).Flatten(points, tolerance)
	if last := len(points) - 1; last > n && points[last] == points[n] {
		points = points[:last]
	}
	return points
}

// flatten appends the vertices of one segment, without its start.
func (s Segment) flatten(points []Point, start Point, tolerance units.Length) []Point {
	n := s.chords(start, float64(tolerance))
	for i := 1; i < n; i++ {
		points = append(points, s.At(start, float64(i)/float64(n)))
	}
	return append(points, s.End)
}

// breaks appends the parameters at which chords within tolerance of s end, the
// last one 1.
func (s Segment) breaks(ts []float64, start Point, tolerance float64) []float64 {
	n := s.chords(start, tolerance)
	for i := 1; i < n; i++ {
		ts = append(ts, float64(i)/float64(n))
	}
	return append(ts, 1)
}

// maxChords bounds the work that one segment can cause; at the default
// tolerance it is reached by a curve some 20 km across.
const maxChords = 1 << 16

// chords returns how many chords of equal parameter step keep the segment
// within tolerance (Wang's bound on the second difference).
func (s Segment) chords(start Point, tolerance float64) int {
	var n float64
	switch s.Kind {
	case Quad:
		d := start.Sub(s.C1.Mul(2)).Add(s.End).Norm()
		n = math.Sqrt(d / (4 * tolerance))
	case Cubic:
		d1 := start.Sub(s.C1.Mul(2)).Add(s.C2).Norm()
		d2 := s.C1.Sub(s.C2.Mul(2)).Add(s.End).Norm()
		n = math.Sqrt(3 * math.Max(d1, d2) / (4 * tolerance))
	}
	switch {
	case !(n > 1): // also NaN
		return 1
	case n > maxChords:
		return maxChords
	}
	return int(math.Ceil(n))
}
