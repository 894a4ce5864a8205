package boundary

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// Ball is the largest ball that touches the border at a given point, from one
// side, with no border inside.
type Ball struct {
	Radius float64       // millimetres; the greatest asked for where nothing is in the way
	Touch  outline.Point // what stops it
	Edge   int32         // the edge that Touch lies on, -1 where nothing is in the way
}

// ballSlack is the share of a ball's squared radius by which border may
// be inside it: rounding, and chords that continue each other.
const ballSlack = 1e-9

// Ball returns the largest ball of at most the given radius whose centre lies
// from p in the unit direction n, on whose rim p lies, and that holds no border
// except the edges skip1 and skip2 on which p lies (-1 for none).
//
// This is the shrinking ball of Ma, Bae and Choi (The Visual Computer 28, 2012)
// against whole edges in place of sample points. All balls that touch at p are nested,
// so each edge allows one largest ball, in closed form, and the smallest of
// these is the answer: one pass over the edges near by.
func (b *Boundary) Ball(p, n outline.Point, radius float64, skip1, skip2 int32) Ball {
	g := &b.grid
	ball := Ball{Radius: radius, Edge: -1}
	cx, cy := p.X+n.X*radius, p.Y+n.Y*radius
	r2 := radius * radius * (1 - ballSlack)
	// Rows and columns of the first ball; rows that the shrunken one has left
	// behind are passed over.
	i0, i1 := g.column(cx-radius), g.column(cx+radius)
	j0, j1 := g.row(cy-radius), g.row(cy+radius)
	for j := j0; j <= j1; j++ {
		low := g.origin.Y + float64(j)*g.cell
		if (low > cy+ball.Radius && j > 0) || (low+g.cell < cy-ball.Radius && j < g.rows-1) {
			continue
		}
		for i := i0; i <= i1; i++ {
			k := j*g.cols + i
			from, to := g.start[k], g.start[k+1]
			if from == to {
				continue
			}
			left := g.origin.X + float64(i)*g.cell
			if (left > cx+ball.Radius && i > 0) || (left+g.cell < cx-ball.Radius && i < g.cols-1) {
				continue
			}
			for _, m := range g.items[from:to] {
				e := &b.Edges[m]
				x, y := cx-e.A.X, cy-e.A.Y
				t := x*e.U.X + y*e.U.Y
				if t < 0 {
					t = 0
				} else if t > e.Length {
					t = e.Length
				}
				x, y = x-t*e.U.X, y-t*e.U.Y
				if x*x+y*y >= r2 || m == skip1 || m == skip2 {
					continue
				}
				r, q := touch(p, n, e, ball.Radius)
				if r < ball.Radius {
					ball = Ball{r, q, m}
					cx, cy = p.X+n.X*r, p.Y+n.Y*r
					r2 = r * r * (1 - ballSlack)
				}
			}
		}
	}
	return ball
}

// touch returns the radius at which the growing ball that touches p in
// direction n first meets edge e, and where; at most the radius given.
func touch(p, n outline.Point, e *Edge, radius float64) (float64, outline.Point) {
	best, at := radius, e.A
	// A ball through p and x has radius |x-p|²/(2 n·(x-p)).
	for _, x := range [2]outline.Point{e.A, e.B} {
		d := x.Sub(p)
		if ahead := n.Dot(d); ahead > 0 {
			if r := d.Dot(d) / (2 * ahead); r < best {
				best, at = r, x
			}
		}
	}
	// Tangent to the edge's line: distance of the centre from it equals r. With m
	// the line's unit normal towards p and h the distance of p: h + r n·m = r.
	m := e.U.Perp()
	h := m.Dot(p.Sub(e.A))
	if h < 0 {
		h, m = -h, m.Mul(-1)
	}
	if k := 1 - n.Dot(m); k > 0 {
		if r := h / k; r < best {
			c := p.Add(n.Mul(r))
			if t := c.Sub(e.A).Dot(e.U); t > 0 && t < e.Length {
				best, at = r, e.At(t)
			}
		}
	}
	return best, at
}

// Clear reports whether no border comes nearer to c than radius.
func (b *Boundary) Clear(c outline.Point, radius float64) bool {
	g := &b.grid
	r2 := radius * radius * (1 - ballSlack)
	for j := g.row(c.Y - radius); j <= g.row(c.Y+radius); j++ {
		for i := g.column(c.X - radius); i <= g.column(c.X+radius); i++ {
			k := j*g.cols + i
			for _, m := range g.items[g.start[k]:g.start[k+1]] {
				d := b.Edges[m].Nearest(c).Sub(c)
				if d.Dot(d) < r2 {
					return false
				}
			}
		}
	}
	return true
}

// Distance returns the distance of the segment from a to c from the border, at
// most the given reach.
func (b *Boundary) Distance(a, c outline.Point, reach float64) float64 {
	g := &b.grid
	best := reach
	probe := Edge{A: a, B: c}
	d := c.Sub(a)
	if probe.Length = math.Hypot(d.X, d.Y); probe.Length > 0 {
		probe.U = d.Mul(1 / probe.Length)
	}
	for j := g.row(min(a.Y, c.Y) - reach); j <= g.row(max(a.Y, c.Y)+reach); j++ {
		for i := g.column(min(a.X, c.X) - reach); i <= g.column(max(a.X, c.X)+reach); i++ {
			k := j*g.cols + i
			for _, m := range g.items[g.start[k]:g.start[k+1]] {
				e := &b.Edges[m]
				if _, crossed := cross(&probe, e); crossed {
					return 0
				}
				for _, q := range [4][2]outline.Point{{a, e.Nearest(a)}, {c, e.Nearest(c)}, {e.A, probe.Nearest(e.A)}, {e.B, probe.Nearest(e.B)}} {
					best = min(best, q[0].Distance(q[1]))
				}
			}
		}
	}
	return best
}
