package boundary

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Edge is a straight piece of border with film to its left.
type Edge struct {
	A, B    outline.Point
	U       outline.Point // unit direction from A to B
	Length  float64
	Arc     float64 // length of the ring from its first edge to A
	Bulge   float64 // how far the curve runs to the right of the middle of its chord, in millimetres
	Contour int32
	Segment int32 // index of the contour's segment that the edge is a chord of
}

// At returns the point a length s from A.
func (e *Edge) At(s float64) outline.Point {
	return outline.Point{X: e.A.X + s*e.U.X, Y: e.A.Y + s*e.U.Y}
}

// BulgeAt returns how far the curve runs to the right of its chord at the point q
// of the chord, taking the curve for a parabola.
func (e *Edge) BulgeAt(q outline.Point) float64 {
	if e.Bulge == 0 {
		return 0
	}
	t := q.Sub(e.A).Dot(e.U) / e.Length
	return e.Bulge * 4 * t * (1 - t)
}

// Nearest returns the point of e nearest to q.
func (e *Edge) Nearest(q outline.Point) outline.Point {
	s := (q.X-e.A.X)*e.U.X + (q.Y-e.A.Y)*e.U.Y
	switch {
	case s <= 0:
		return e.A
	case s >= e.Length:
		return e.B
	}
	return e.At(s)
}

// NearestOnCurve returns the point nearest to q of the curve whose chord e is, taking the
// curve for a parabola: one step of Newton's from where the chord is nearest.
func (e *Edge) NearestOnCurve(q outline.Point) outline.Point {
	x, y := q.X-e.A.X, q.Y-e.A.Y
	s := min(max(x*e.U.X+y*e.U.Y, 0), e.Length)
	if e.Bulge == 0 {
		return e.At(s)
	}
	// The curve's offset to the left at s, its slope and the change of that.
	k := 4 * e.Bulge / (e.Length * e.Length)
	offset := func(s float64) float64 { return -k * s * (e.Length - s) }
	slope := -k * (e.Length - 2*s)
	height := e.U.X*y - e.U.Y*x - offset(s)
	if d := 1 + slope*slope - height*2*k; d > 0 {
		s = min(max(s+height*slope/d, 0), e.Length)
	}
	at, o := e.At(s), offset(s)
	return outline.Point{X: at.X - o*e.U.Y, Y: at.Y + o*e.U.X}
}

// square returns the squared distance of q from e.
func (e *Edge) square(q outline.Point) float64 {
	x, y := q.X-e.A.X, q.Y-e.A.Y
	t := min(max(x*e.U.X+y*e.U.Y, 0), e.Length)
	x, y = x-t*e.U.X, y-t*e.U.Y
	return x*x + y*y
}

// side is what measuring a distance takes of an edge, side by side in memory.
type side struct {
	x, y, ux, uy, length float64
	edge                 int32
}

func (e *Edge) side(n int32) side {
	return side{e.A.X, e.A.Y, e.U.X, e.U.Y, e.Length, n}
}

// Ring is the run of edges of one contour: First to End-1, in the contour's
// direction, the last ending where the first starts. A contour without extent
// has none.
type Ring struct {
	First, End int32
	Area       float64 // signed, of the polygon of edges
	Box        outline.Box
	Length     float64
	leftmost   int32 // edge that starts at the leftmost, of those the lowest, vertex
}

// Boundary is a set of rings. It is not changed after New and is safe for
// concurrent use.
type Boundary struct {
	Edges []Edge
	Rings []Ring
	Box   outline.Box
	turns []float64 // at the end of every edge
	grid  grid
	halo  halo
}

// edgesPerCurve is how many chords a curve has on average, to get memory in one go.
const edgesPerCurve = 4

// New flattens the contours within tolerance and files their edges in a grid
// with cells of about the given size in millimetres. All coordinates must be finite.
func New(p outline.Path, tolerance units.Length, cell float64) *Boundary {
	b := &Boundary{Rings: make([]Ring, len(p)), Box: outline.EmptyBox()}
	b.Edges = make([]Edge, 0, edgesPerCurve*p.Nodes())
	var ends []float64
	for i, c := range p {
		r := &b.Rings[i]
		r.First, r.Box = int32(len(b.Edges)), outline.EmptyBox()
		at := c.Start
		for j := range c.Segments {
			s := &c.Segments[j]
			if s.Kind == outline.Line {
				b.add(i, j, at, s.End)
				at = s.End
				continue
			}
			start, t := at, 0.0
			ends = s.ChordEnds(ends[:0], start, tolerance)
			for _, u := range ends {
				q := s.At(start, u)
				from := len(b.Edges)
				b.add(i, j, at, q)
				if len(b.Edges) > from {
					e := &b.Edges[from]
					e.Bulge = s.At(start, (t+u)/2).Sub(at.Lerp(q, 0.5)).Cross(e.U)
				}
				at, t = q, u
			}
			at = s.End
		}
		if at != c.Start {
			b.add(i, max(0, len(c.Segments)-1), at, c.Start)
		}
		r.End = int32(len(b.Edges))
		b.measure(r)
		b.Box = b.Box.Union(r.Box)
	}
	b.turns = make([]float64, len(b.Edges))
	for i := range b.turns {
		b.turns[i] = b.turn(int32(i))
	}
	b.grid = newGrid(b.Edges, b.Box, cell)
	return b
}

// WithCell returns the same rings filed in a grid with cells of about the given size.
func (b *Boundary) WithCell(cell float64) *Boundary {
	c := *b
	c.halo = halo{}
	c.grid = newGrid(c.Edges, c.Box, cell)
	return &c
}

func (b *Boundary) add(contour, segment int, from, to outline.Point) {
	d := to.Sub(from)
	l := math.Sqrt(d.X*d.X + d.Y*d.Y)
	if l == 0 { // a repeated point, bit for bit
		return
	}
	b.Edges = append(b.Edges, Edge{A: from, B: to, U: outline.Point{X: d.X / l, Y: d.Y / l}, Length: l,
		Contour: int32(contour), Segment: int32(segment)})
}

func (b *Boundary) measure(r *Ring) {
	if r.First == r.End {
		return
	}
	o := b.Edges[r.First].A // local origin, so that far-off shapes keep their digits
	r.leftmost = r.First
	for i := r.First; i < r.End; i++ {
		e := &b.Edges[i]
		r.Area += e.A.Sub(o).Cross(e.B.Sub(o)) / 2
		r.Box = r.Box.Extend(e.A)
		e.Arc = r.Length
		r.Length += e.Length
		if m := b.Edges[r.leftmost].A; e.A.X < m.X || e.A.X == m.X && e.A.Y < m.Y {
			r.leftmost = i
		}
	}
}

// Next returns the edge after i on its ring.
func (b *Boundary) Next(i int32) int32 {
	if r := &b.Rings[b.Edges[i].Contour]; i+1 == r.End {
		return r.First
	}
	return i + 1
}

// Previous returns the edge before i on its ring.
func (b *Boundary) Previous(i int32) int32 {
	if r := &b.Rings[b.Edges[i].Contour]; i == r.First {
		return r.End - 1
	}
	return i - 1
}

// Turn returns the angle in radians, -π to π, by which the border turns from
// edge i to the next: positive to the left, where film has a convex corner.
func (b *Boundary) Turn(i int32) float64 { return b.turns[i] }

// nearlyStraight is the cosine above which a turn and its sine differ by less
// than 0.0002 rad, of which the second term of the series takes care.
const nearlyStraight = 0.995

func (b *Boundary) turn(i int32) float64 {
	u, v := b.Edges[i].U, b.Edges[b.Next(i)].U
	cross, dot := u.Cross(v), u.Dot(v)
	if dot > nearlyStraight { // most are, and need no arc tangent
		return cross * (1 + cross*cross/6)
	}
	return math.Atan2(cross, dot)
}
