package verify

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Pair is what was measured between two bodies, or between a body and an obstacle.
type Pair struct {
	A, B     int       // indices; B is -1 for an obstacle
	Distance float64   // 0 if they overlap
	Overlap  bool      // the interiors overlap
	At       orb.Point // a point of the first body near the place
}

// Report is what was measured among many bodies.
type Report struct {
	Smallest float64 // least distance of two, +Inf if there are no two
	A, B     int     // the two
	Bad      []Pair  // every two that overlap or are nearer than asked
}

// Pairs measures all pairs of bodies and lists those that overlap or are nearer than gap.
func Pairs(bodies []*Body, gap float64) Report {
	report := Report{Smallest: math.Inf(1), A: -1, B: -1}
	order := make([]int, 0, len(bodies))
	for i, b := range bodies {
		if !b.Empty() {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int {
		switch {
		case bodies[i].box.x0 < bodies[j].box.x0:
			return -1
		case bodies[i].box.x0 > bodies[j].box.x0:
			return 1
		}
		return i - j
	})
	// A first bound, so that the sweep need not look far: distances of some neighbours in the order.
	reach := math.Inf(1)
	for k := 0; k+1 < len(order) && k < firstBoundPairs; k++ {
		i, j := order[k], order[k+1]
		m := measure(bodies[i], bodies[j], gap, math.Inf(1))
		if m.distance < report.Smallest { // kept: the sweep passes over what is no nearer
			report.Smallest, report.A, report.B = m.distance, min(i, j), max(i, j)
		}
		reach = min(reach, m.distance)
	}
	reach = max(reach, gap)
	for k, i := range order {
		for _, j := range order[k+1:] {
			if bodies[j].box.x0-bodies[i].box.x1 > reach {
				break
			}
			if !bodies[i].box.within(bodies[j].box, reach) {
				continue
			}
			m := measure(bodies[i], bodies[j], gap, reach)
			if m.distance < report.Smallest {
				report.Smallest, report.A, report.B = m.distance, min(i, j), max(i, j)
				reach = max(min(reach, m.distance), gap)
			}
			if m.bad {
				report.Bad = append(report.Bad, Pair{A: min(i, j), B: max(i, j), Distance: m.distance, Overlap: m.overlap, At: m.at})
			}
		}
	}
	return report
}

// firstBoundPairs is how many neighbours give the first bound of Pairs.
const firstBoundPairs = 32

// Against measures every body's distance to an obstacle and lists those that overlap it or are nearer than keep.
func Against(bodies []*Body, obstacle *Body, keep float64) Report {
	report := Report{Smallest: math.Inf(1), A: -1, B: -1}
	for i, b := range bodies {
		if b.Empty() || obstacle.Empty() {
			continue
		}
		m := measure(b, obstacle, keep, math.Inf(1))
		if m.distance < report.Smallest {
			report.Smallest, report.A = m.distance, i
		}
		if m.bad {
			report.Bad = append(report.Bad, Pair{A: i, B: -1, Distance: m.distance, Overlap: m.overlap, At: m.at})
		}
	}
	return report
}

// measurement is the outcome for two bodies.
type measurement struct {
	distance float64 // +Inf if farther apart than the reach
	overlap  bool
	bad      bool // overlapping or nearer than the gap, decided exactly
	at       orb.Point
}

// measure looks at two bodies as far as reach.
func measure(b, c *Body, gap, reach float64) measurement {
	m := measurement{distance: math.Inf(1)}
	if len(b.outer) == 0 || len(c.outer) == 0 {
		return m
	}
	for _, p := range b.outer {
		if c.contains(p) {
			return measurement{overlap: true, bad: true, at: p}
		}
	}
	for _, p := range c.outer {
		if b.contains(p) {
			return measurement{overlap: true, bad: true, at: p}
		}
	}
	// Any two vertices bound the distance; a good bound spares looking at most pairs of edges.
	reach = max(min(reach, vertexBound(b, c)), gap)
	near := func(edges []edge, other box) []boxedEdge {
		var list []boxedEdge
		for i := range edges {
			if eb := edges[i].box(); eb.within(other, reach) {
				list = append(list, boxedEdge{eb, &edges[i]})
			}
		}
		slices.SortFunc(list, func(u, v boxedEdge) int { return sign(u.box.x0 - v.box.x0) })
		return list
	}
	be, ce := near(b.edges, c.box), near(c.edges, b.box)
	widest := 0.0
	for _, f := range ce {
		widest = max(widest, f.box.x1-f.box.x0)
	}
	from := 0
	for _, e := range be {
		// Edges of c that end before e by more than the reach can be skipped for good: be is sorted too.
		for from < len(ce) && ce[from].box.x0+widest < e.box.x0-reach {
			from++
		}
		for _, f := range ce[from:] {
			if f.box.x0-e.box.x1 > reach {
				break
			}
			if !e.box.near(f.box, reach) {
				continue
			}
			if e.box.within(f.box, 0) && edgesOverlap(e.edge, f.edge) {
				return measurement{overlap: true, bad: true, at: e.edge.a}
			}
			for k := range 4 {
				p, s, t := endpoint(k, e.edge, f.edge)
				d := distanceToSegment(p, s, t)
				if d < m.distance {
					m.distance, m.at = d, e.edge.a
					if d < reach {
						reach = max(d, gap)
					}
				}
				if !m.bad && gap > 0 && !atLeast(d, gap, p, s, t) {
					m.bad, m.at = true, e.edge.a
				}
			}
		}
	}
	return m
}

// boundSamples is how many vertices of each body the first step of vertexBound looks at.
const boundSamples = 24

// vertexBound is the distance of two vertices that lie near to one another: the nearest ones of a sample, then of ever
// finer ones around these.
func vertexBound(b, c *Body) float64 {
	best := math.Inf(1)
	bi, ci := 0, 0
	nb, nc := len(b.edges), len(c.edges)
	look := func(fromB, fromC, stepB, stepC int) {
		for i := range boundSamples {
			p := b.edges[((fromB+i*stepB)%nb+nb)%nb].a
			for k := range boundSamples {
				q := c.edges[((fromC+k*stepC)%nc+nc)%nc].a
				if d := math.Hypot(p[0]-q[0], p[1]-q[1]); d < best {
					best = d
					bi, ci = fromB+i*stepB, fromC+k*stepC
				}
			}
		}
	}
	stepB, stepC := nb/boundSamples+1, nc/boundSamples+1
	look(0, 0, stepB, stepC)
	for stepB > 1 || stepC > 1 {
		stepB, stepC = max(1, stepB/8), max(1, stepC/8)
		look(bi-stepB*boundSamples/2, ci-stepC*boundSamples/2, stepB, stepC)
	}
	return best
}

type boxedEdge struct {
	box  box
	edge *edge
}

// endpoint returns the kth of the four pairs of an end of one edge and the other edge.
func endpoint(k int, e, f *edge) (p, a, b orb.Point) {
	switch k {
	case 0:
		return e.a, f.a, f.b
	case 1:
		return e.b, f.a, f.b
	case 2:
		return f.a, e.a, e.b
	}
	return f.b, e.a, e.b
}
