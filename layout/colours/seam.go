package colours

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Seam is where a lower colour is seen to meet an upper one, and how far the
// lower film reaches under the upper there.
type Seam struct {
	Lower, Upper int          // indices into Separation.Films
	Length       units.Length // of the line where the colours meet
	// Least is the least width of the overlap: from a point where the colours
	// meet to the nearest one of the upper colours that the lower film does not
	// underlie. Infinite where it underlies all.
	Least units.Length
	At    outline.Point // where that is
}

const (
	// seamStep is the distance between the points where a seam is looked at.
	seamStep = 0.2
	// seamNear is how near two colours' edges must be to be a seam, beyond
	// CloseGap and tolerances.
	seamNear = 0.02
	// hairlineSlack, with the overlays' tolerance, is half the width up to which
	// uncovered film counts as rounding.
	hairlineSlack = units.Length(0.005)
	// seamSlack allows for points of the seam up to seamNear off the upper
	// colour's edge.
	seamSlack = units.Length(0.03)
)

// measure looks at the seam between what is seen of two colours; bare is what
// the lower film leaves uncovered of the colours above it.
func measure(lower, upper, bare outline.Path, opt Options) (Seam, bool) {
	near := seamNear + float64(opt.CloseGap) + 2*float64(opt.Tolerance)
	if !lower.Bounds().Grow(near).Overlaps(upper.Bounds()) {
		return Seam{}, false
	}
	edges := newEdges(upper, opt.Tolerance)
	buried := newEdges(bare, opt.Tolerance)
	s := Seam{Least: units.Length(math.Inf(1))}
	for _, c := range lower {
		points := c.Flatten(nil, opt.Tolerance)
		for i, a := range points {
			b := points[(i+1)%len(points)]
			length := a.Distance(b)
			n := int(math.Ceil(length / seamStep))
			for k := range n {
				p := a.Lerp(b, (float64(k)+0.5)/float64(n))
				if edges.distance(p, near) > near {
					continue
				}
				s.Length += units.Length(length / float64(n))
				// Beyond a few traps it does not matter how wide the overlap is.
				if d := units.Length(buried.distance(p, 4*float64(opt.Trap)+1)); d < s.Least {
					s.Least, s.At = d, p
				}
			}
		}
	}
	return s, s.Length > 0
}

// edges finds the distance to a path's outline: chords in square cells.
type edges struct {
	cell   float64
	chords map[[2]int][][2]outline.Point
}

// edgeCell is the side of the cells in millimetres, about the widths looked for.
const edgeCell = 2.0

func newEdges(p outline.Path, tolerance units.Length) edges {
	e := edges{cell: edgeCell, chords: map[[2]int][][2]outline.Point{}}
	for _, c := range p {
		points := c.Flatten(nil, tolerance)
		for i, a := range points {
			b := points[(i+1)%len(points)]
			n := int(a.Distance(b)/e.cell) + 1
			for k := range n {
				q := [2]outline.Point{a.Lerp(b, float64(k)/float64(n)), a.Lerp(b, float64(k+1)/float64(n))}
				first, last := e.at(q[0]), e.at(q[1])
				e.chords[first] = append(e.chords[first], q)
				if last != first {
					e.chords[last] = append(e.chords[last], q)
				}
			}
		}
	}
	return e
}

func (e edges) at(p outline.Point) [2]int {
	return [2]int{int(math.Floor(p.X / e.cell)), int(math.Floor(p.Y / e.cell))}
}

// distance returns the distance from p to the nearest edge, or +Inf if that is
// beyond limit.
func (e edges) distance(p outline.Point, limit float64) float64 {
	best := math.Inf(1)
	c := e.at(p)
	// A chord is no longer than a cell, so it may lie a cell off its ends.
	r := int(math.Ceil(limit/e.cell)) + 1
	for x := c[0] - r; x <= c[0]+r; x++ {
		for y := c[1] - r; y <= c[1]+r; y++ {
			for _, q := range e.chords[[2]int{x, y}] {
				best = math.Min(best, p.DistanceToLine(q[0], q[1]))
			}
		}
	}
	if best > limit {
		return math.Inf(1)
	}
	return best
}
