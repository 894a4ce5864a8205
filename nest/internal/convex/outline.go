package convex

import (
	"math"

	"github.com/paulmach/orb"
)

// Outline is a shape cut up once, so that poses are cheap.
type Outline struct {
	// Points are the distinct vertices of all rings.
	Points []Point
	// Rings index Points; outer rings counter-clockwise, holes clockwise.
	Rings [][]int32
	// Triangles cover the shape without overlap; counter-clockwise.
	Triangles [][3]int32
	// Parts are convex polygons that cover the shape; counter-clockwise.
	Parts [][]int32
	// Area covered, holes taken off.
	Area float64
}

// FromMultiPolygon cuts up a welded shape: rings without crossings, holes
// inside their outer ring. Ring direction does not matter. Rings with fewer
// than three distinct vertices or no area are dropped.
func FromMultiPolygon(mp orb.MultiPolygon) *Outline {
	o := &Outline{}
	for _, poly := range mp {
		o.addPolygon(poly)
	}
	return o
}

func (o *Outline) addPolygon(poly orb.Polygon) {
	var rings [][]int32
	for i, r := range poly {
		idx := o.addRing(r, i > 0)
		if idx == nil {
			if i == 0 {
				return
			}
			continue
		}
		rings = append(rings, idx)
		o.Area += o.ringArea(idx)
	}
	if len(rings) == 0 {
		return
	}
	o.Rings = append(o.Rings, rings...)
	tris := triangulate(o.Points, rings)
	o.Triangles = append(o.Triangles, tris...)
	o.Parts = append(o.Parts, mergeConvex(o.Points, tris)...)
}

// addRing stores the distinct consecutive vertices in the wanted direction.
func (o *Outline) addRing(r orb.Ring, hole bool) []int32 {
	start := len(o.Points)
	var idx []int32
	for _, v := range r {
		p := Point{v[0], v[1]}
		if n := len(idx); n > 0 && o.Points[idx[n-1]] == p {
			continue
		}
		idx = append(idx, int32(len(o.Points)))
		o.Points = append(o.Points, p)
	}
	for len(idx) > 1 && o.Points[idx[len(idx)-1]] == o.Points[idx[0]] {
		idx = idx[:len(idx)-1]
	}
	a := o.ringArea(idx)
	if len(idx) < 3 || a == 0 || math.IsNaN(a) {
		o.Points = o.Points[:start]
		return nil
	}
	if (a < 0) != hole {
		for i, j := 0, len(idx)-1; i < j; i, j = i+1, j-1 {
			idx[i], idx[j] = idx[j], idx[i]
		}
	}
	return idx
}

func (o *Outline) ringArea(idx []int32) float64 {
	if len(idx) == 0 {
		return 0
	}
	var s float64
	c := o.Points[idx[0]]
	for i := range idx {
		p, q := o.Points[idx[i]], o.Points[idx[(i+1)%len(idx)]]
		s += float64((p.X-c.X)*(q.Y-c.Y)) - float64((p.Y-c.Y)*(q.X-c.X))
	}
	return s / 2
}

// quarterTolerance: an angle this near a multiple of a quarter turn, in
// radians, is taken to mean it, and turned without rounding.
const quarterTolerance = 1e-12

// Turn is cosine and sine of an angle, exact for quarter turns.
func Turn(angle float64) (c, s float64) {
	q := angle / (math.Pi / 2)
	n := math.Round(q)
	if math.Abs(q-n) < quarterTolerance {
		switch int(math.Mod(math.Mod(n, 4)+4, 4)) {
		case 0:
			return 1, 0
		case 1:
			return 0, 1
		case 2:
			return -1, 0
		default:
			return 0, -1
		}
	}
	s, c = math.Sincos(angle)
	return c, s
}

// Turned gives the vertices turned about the origin.
func (o *Outline) Turned(angle float64) []Point {
	c, s := Turn(angle)
	pts := make([]Point, len(o.Points))
	for i, p := range o.Points {
		pts[i] = Point{float64(c*p.X) - float64(s*p.Y), float64(s*p.X) + float64(c*p.Y)}
	}
	return pts
}

// Box is an axis-parallel rectangle.
type Box struct{ MinX, MinY, MaxX, MaxY float64 }

// BoxOf is the smallest box around the points; of none it is inverted.
func BoxOf(pts []Point) Box {
	b := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range pts {
		b.MinX = min(b.MinX, p.X)
		b.MinY = min(b.MinY, p.Y)
		b.MaxX = max(b.MaxX, p.X)
		b.MaxY = max(b.MaxY, p.Y)
	}
	return b
}

// Hull is the convex hull, counter-clockwise, without collinear vertices.
func Hull(pts []Point) []Point {
	p := append([]Point(nil), pts...)
	sortPoints(p)
	var h []Point
	for pass := 0; pass < 2; pass++ {
		base := len(h)
		for _, v := range p {
			for len(h) >= base+2 && Orient(h[len(h)-2], h[len(h)-1], v) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, v)
		}
		if len(h) > 0 {
			h = h[:len(h)-1]
		}
		for i, j := 0, len(p)-1; i < j; i, j = i+1, j-1 {
			p[i], p[j] = p[j], p[i]
		}
	}
	return h
}

// AreaOf is the signed area of a ring, positive if counter-clockwise.
func AreaOf(ring []Point) float64 {
	var s float64
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		s += float64(p.X*q.Y) - float64(p.Y*q.X)
	}
	return s / 2
}
