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
	t := trial{p: p, n: n, skip1: skip1, skip2: skip2, ball: Ball{Radius: radius, Edge: -1}}
	t.place()
	if radius < b.halo.reach {
		t.meet(b.Edges, b.halo.under(t.centre))
		return t.ball
	}
	g := &b.grid
	// Rows and columns of the first ball; those that the shrunken one has left
	// behind are passed over.
	i0, i1 := g.column(t.centre.X-radius), g.column(t.centre.X+radius)
	j0, j1 := g.row(t.centre.Y-radius), g.row(t.centre.Y+radius)
	for j := j0; j <= j1; j++ {
		low := g.origin.Y + float64(j)*g.cell
		if (low > t.centre.Y+t.ball.Radius && j > 0) || (low+g.cell < t.centre.Y-t.ball.Radius && j < g.rows-1) {
			continue
		}
		for i := i0; i <= i1; i++ {
			left := g.origin.X + float64(i)*g.cell
			if (left > t.centre.X+t.ball.Radius && i > 0) || (left+g.cell < t.centre.X-t.ball.Radius && i < g.cols-1) {
				continue
			}
			k := j*g.cols + i
			t.meet(b.Edges, g.items[g.start[k]:g.start[k+1]])
		}
	}
	return t.ball
}

// trial is a ball that shrinks as it meets edges.
type trial struct {
	p, n         outline.Point
	skip1, skip2 int32
	ball         Ball
	centre       outline.Point
	square       float64 // of the radius, less the slack
}

func (t *trial) place() {
	t.centre = outline.Point{X: t.p.X + t.n.X*t.ball.Radius, Y: t.p.Y + t.n.Y*t.ball.Radius}
	t.square = t.ball.Radius * t.ball.Radius * (1 - ballSlack)
}

// meet shrinks the ball until none of the edges named is inside.
func (t *trial) meet(edges []Edge, names []int32) {
	for _, m := range names {
		if e := &edges[m]; e.square(t.centre) < t.square {
			t.shrink(e, m)
		}
	}
}

func (t *trial) shrink(e *Edge, m int32) {
	if m == t.skip1 || m == t.skip2 {
		return
	}
	if r, q := touch(t.p, t.n, e, t.ball.Radius); r < t.ball.Radius {
		t.ball = Ball{r, q, m}
		t.place()
	}
}

// touch returns the radius at which the growing ball that touches p in
// direction n first meets edge e, and where; at most the radius given.
//
// A ball through p and q has radius |q-p|²/(2 n·(q-p)), and the balls are nested:
// along the edge's line that has one minimum, where the ball is tangent to it, so
// that the edge is met there or at its end nearest to there.
func touch(p, n outline.Point, e *Edge, radius float64) (float64, outline.Point) {
	x, y := p.X-e.A.X, p.Y-e.A.Y
	along, off := x*e.U.X+y*e.U.Y, e.U.X*y-e.U.Y*x
	nAlong, nOff := n.X*e.U.X+n.Y*e.U.Y, e.U.X*n.Y-e.U.Y*n.X
	if off < 0 {
		off, nOff = -off, -nOff
	}
	// Tangent: the centre's distance from the line, off + r nOff, equals r.
	k := 1 - nOff
	if !(k > 0) {
		return radius, e.A // straight away from the line
	}
	r := off / k
	switch t := along + r*nAlong; {
	case t <= 0:
		if ahead := -along*nAlong - off*nOff; ahead > 0 {
			if r = (along*along + off*off) / (2 * ahead); r < radius {
				return r, e.A
			}
		}
	case t >= e.Length:
		beyond := along - e.Length
		if ahead := -beyond*nAlong - off*nOff; ahead > 0 {
			if r = (beyond*beyond + off*off) / (2 * ahead); r < radius {
				return r, e.B
			}
		}
	default:
		if r < radius {
			return r, e.At(t)
		}
	}
	return radius, e.A
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
