package convex

import "math"

// HalfPlane is the side NX*x + NY*y < D of a line, (NX, NY) of length 1.
type HalfPlane struct{ NX, NY, D float64 }

// parallelTolerance: unit normals that differ by less count as the same
// direction; the tighter of the two half-planes is kept.
const parallelTolerance = 1e-12

// Part is a convex polygon with its edges in order of the direction of their
// outer normals, ready to be met with others.
type Part struct {
	Box   Box
	edges []edge
}

// edge has the outer normal (nx, ny), begins at u and ends where the next edge
// begins.
type edge struct {
	nx, ny float64
	u      Point
	turn   float64 // grows with the angle of the normal, see turnOf
}

// turnOf grows from -2 to 2 as the angle of (x, y) grows from -pi to pi.
func turnOf(x, y float64) float64 {
	t := x / (math.Abs(x) + math.Abs(y))
	if y < 0 {
		return t - 1
	}
	return 1 - t
}

// NewPart reads a convex polygon, counter-clockwise.
func NewPart(ring []Point) *Part {
	p := &Part{Box: BoxOf(ring), edges: make([]edge, 0, len(ring))}
	for i, u := range ring {
		v := ring[(i+1)%len(ring)]
		ex, ey := v.X-u.X, v.Y-u.Y
		l := math.Hypot(ex, ey)
		if l == 0 {
			continue
		}
		nx, ny := ey/l, -ex/l
		p.edges = append(p.edges, edge{nx, ny, u, turnOf(nx, ny)})
	}
	p.begin()
	return p
}

// Edges is the number of edges.
func (p *Part) Edges() int { return len(p.edges) }

// begin rotates the edges so that their turns grow: counter-clockwise they do,
// but for where the turn jumps from 2 to -2, and for rounding. Sorting would
// mix up edges of one direction, which follow one another on one line.
func (p *Part) begin() {
	first, most := 0, math.Inf(-1)
	for i, e := range p.edges {
		if drop := p.edges[(i+len(p.edges)-1)%len(p.edges)].turn - e.turn; drop > most {
			first, most = i, drop
		}
	}
	p.edges = append(p.edges[first:len(p.edges):len(p.edges)], p.edges[:first]...)
}

// Opposite is the polygon turned by half about the origin.
func (p *Part) Opposite() *Part {
	o := &Part{Box: Box{-p.Box.MaxX, -p.Box.MaxY, -p.Box.MinX, -p.Box.MinY}, edges: make([]edge, len(p.edges))}
	for i, e := range p.edges {
		nx, ny := -e.nx, -e.ny
		o.edges[i] = edge{nx, ny, Point{-e.u.X, -e.u.Y}, turnOf(nx, ny)}
	}
	o.begin()
	return o
}

// NoFit appends to buf the half-planes whose common part holds the shifts t at
// which b, shifted by t, overlaps a. opposite is b.Opposite(). The edges of the
// Minkowski sum of the two are those of both, in order of direction; an edge of
// one is met by the vertex of the other where its direction fits in.
func NoFit(a, opposite *Part, buf []HalfPlane) []HalfPlane {
	first := len(buf)
	p, q := a.edges, opposite.edges
	if len(p) == 0 || len(q) == 0 {
		return buf
	}
	i, j := 0, 0
	for i < len(p) || j < len(q) {
		var e *edge
		var w Point
		if j == len(q) || i < len(p) && p[i].turn <= q[j].turn {
			e, w = &p[i], q[j%len(q)].u
			i++
		} else {
			e, w = &q[j], p[i%len(p)].u
			j++
		}
		h := HalfPlane{e.nx, e.ny, float64(e.nx*(e.u.X+w.X)) + float64(e.ny*(e.u.Y+w.Y))}
		if n := len(buf); n > first && parallel(buf[n-1], h) {
			buf[n-1].D = min(buf[n-1].D, h.D)
			continue
		}
		buf = append(buf, h)
	}
	if n := len(buf) - 1; n > first && parallel(buf[n], buf[first]) {
		buf[first].D = min(buf[first].D, buf[n].D)
		buf = buf[:n]
	}
	return buf
}

func parallel(a, b HalfPlane) bool {
	return math.Abs(a.NX-b.NX)+math.Abs(a.NY-b.NY) < parallelTolerance
}
