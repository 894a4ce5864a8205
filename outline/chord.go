package outline

import (
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// Booleans and offsets decide what meets what on chords whose ends lie on a
// grid of whole numbers, where every decision is exact, and give back the
// curves that the chords were cut from: a chord remembers its source and the
// stretch of the source's parameter it stands for.

// gridPoint is a point in grid units from the grid's origin.
type gridPoint struct{ X, Y int32 }

// grid maps millimetres to whole numbers.
type grid struct {
	origin Point
	unit   float64 // millimetres, a power of two
}

const (
	// gridBits bounds grid coordinates to ±2²⁹, so that products of two
	// differences and sums of two products fit int64.
	gridBits = 30
	// gridShare is how many grid units fit in the tolerance: rounding to the grid
	// must be lost beside it.
	gridShare = 64
	// minGridShare is the least number of units in the tolerance that still
	// leaves the result within it.
	minGridShare = 8
)

// newGrid returns the grid for what lies in box, worked on to tolerance; ok is
// false where box is too large for that.
func newGrid(box Box, tolerance float64) (g grid, ok bool) {
	if box.IsEmpty() {
		return grid{unit: 1}, true
	}
	_, e := math.Frexp(tolerance / gridShare)
	g.unit = math.Ldexp(1, e-1)
	extent := math.Max(box.Width(), box.Height())
	if math.IsInf(extent, 1) {
		return grid{}, false
	}
	for extent > math.Ldexp(g.unit, gridBits)*0.99 {
		g.unit *= 2
	}
	if !(g.unit*minGridShare <= tolerance) {
		return grid{}, false
	}
	// On multiples of the unit, so that round coordinates stay grid points.
	c := box.Centre()
	g.origin = Point{math.Round(c.X/g.unit) * g.unit, math.Round(c.Y/g.unit) * g.unit}
	// Far from zero, neighbouring float64 lie further apart than the grid's points.
	far := math.Max(math.Max(math.Abs(box.Min.X), math.Abs(box.Max.X)), math.Max(math.Abs(box.Min.Y), math.Abs(box.Max.Y)))
	return g, math.Nextafter(far, math.Inf(1))-far <= tolerance/minGridShare
}

func (g grid) snap(p Point) gridPoint {
	return gridPoint{int32(math.Round((p.X - g.origin.X) / g.unit)), int32(math.Round((p.Y - g.origin.Y) / g.unit))}
}

func (g grid) point(q gridPoint) Point {
	return Point{g.origin.X + float64(q.X)*g.unit, g.origin.Y + float64(q.Y)*g.unit}
}

// cross returns the cross product (b-a)×(c-a), exactly.
func cross(a, b, c gridPoint) int64 {
	return (int64(b.X)-int64(a.X))*(int64(c.Y)-int64(a.Y)) - (int64(b.Y)-int64(a.Y))*(int64(c.X)-int64(a.X))
}

// chord is a straight edge of a ring from a grid point to the next chord's. It
// stands for its source from t0 to t1; t0 > t1 where it runs against it.
type chord struct {
	from   gridPoint
	source int32
	node   bool // borders meet at from
	t0, t1 float64
}

// ring is a closed run of chords: the last one ends where the first starts.
type ring []chord

// chordSet collects rings that are worked on together, on one grid.
type chordSet struct {
	grid      grid
	tolerance float64
	sources   []source
	ts        []float64
	short     int // segments whose ends are the same on the grid
}

// flatShare is the part of the tolerance that chords may take; the rest is for
// what happens where borders meet.
const flatShare = 0.5

// ring flattens c; nil if less than a triangle is left of it on the grid. The
// contour's place is kept for messages.
func (s *chordSet) ring(c Contour, contour int) ring {
	n := 0
	for i := range c.Segments {
		if c.Segments[i].Kind == Line {
			n++
		} else {
			n += 6
		}
	}
	r := make(ring, 0, n)
	at := c.Start
	from := s.grid.snap(at)
	for i, seg := range c.Segments {
		src := int32(len(s.sources))
		s.sources = append(s.sources, source{start: at, seg: seg, contour: int32(contour), node: int32(i)})
		t, before := 0.0, len(r)
		s.ts = seg.breaks(s.ts[:0], at, s.tolerance*flatShare)
		for _, t1 := range s.ts {
			to := s.grid.snap(seg.At(at, t1))
			if to == from {
				// Too short for the grid: the chord before it takes it over.
				if len(r) > 0 && r[len(r)-1].source == src {
					r[len(r)-1].t1, t = t1, t1
				}
				continue
			}
			r = append(r, chord{from: from, source: src, t0: t, t1: t1})
			from, t = to, t1
		}
		if at = seg.End; len(r) == before {
			s.short++
		}
	}
	if len(r) < 3 {
		return nil
	}
	return r
}

// reversed returns the ring run the other way round from the same start.
func (r ring) reversed() ring {
	n := len(r)
	q := make(ring, n)
	for i := range r {
		c := r[n-1-i]
		next := r[(n-i)%n]
		q[i] = chord{from: next.from, node: next.node, source: c.source, t0: c.t1, t1: c.t0}
	}
	return q
}

// hull returns a box that holds all control points of paths: larger than their
// bounds, but cheap.
func hull(paths []Path) Box {
	b := EmptyBox()
	for _, p := range paths {
		for _, c := range p {
			b = b.Extend(c.Start)
			for i := range c.Segments {
				s := &c.Segments[i]
				b = b.Extend(s.End)
				if s.Kind != Line {
					b = b.Extend(s.C1)
				}
				if s.Kind == Cubic {
					b = b.Extend(s.C2)
				}
			}
		}
	}
	return b
}

// newChordSet checks paths and prepares the grid for them, grown by margin
// millimetres.
func newChordSet(op string, paths []Path, margin float64, tolerance units.Length) (*chordSet, error) {
	if err := checkTolerance(op, tolerance); err != nil {
		return nil, err
	}
	tol := float64(orDefault(tolerance))
	for _, p := range paths {
		if err := p.check(op); err != nil {
			return nil, err
		}
	}
	g, ok := newGrid(hull(paths).Grow(margin), tol)
	if !ok {
		return nil, &PathError{op, -1, -1, Point{}, ErrTooLarge, "move the shape towards (0, 0), make it smaller, or allow a larger Tolerance"}
	}
	return &chordSet{grid: g, tolerance: tol}, nil
}
