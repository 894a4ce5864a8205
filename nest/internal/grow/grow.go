package grow

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// Options say how far an outline is grown and what may be lost.
type Options struct {
	// Distance is how far the outline grows, in millimetres. Zero or less leaves it.
	Distance float64
	// Angles are rotations, in radians, at which the shape must reach beyond the outline's box by Distance and no more.
	Angles []float64
	// HoleSide is the least side of a hole's box that is worth keeping: no piece fits into a smaller one.
	HoleSide float64
	// AreaShare is by how much simplifying may enlarge the area, as a share of it. Zero means not at all.
	AreaShare float64
	// KeepCorners allows only steps that make no new vertices, so that no rounding is involved.
	KeepCorners bool
}

// quadrantSegments is the number of chords in a quarter of a round corner.
const quadrantSegments = 12

// arcFactor enlarges the radius so that the chords of a round corner do not cut the arc. The buffer divides a corner into
// the nearest whole number of steps, so that a step is up to half as long again as a quarter by quadrantSegments.
func arcFactor() float64 { return 1 / math.Cos(1.5*math.Pi/(4*quadrantSegments)) }

// Outline returns the grown and simplified outline: outer rings counter-clockwise, holes clockwise, first points repeated.
// The input must be free of crossings and is not modified.
func Outline(outline orb.MultiPolygon, o Options) (grown orb.MultiPolygon, err error) {
	defer func() {
		if r := recover(); r != nil {
			grown, err = nil, fmt.Errorf("growing the outline failed: %v", r)
		}
	}()
	grown = tidy(outline)
	for depth := o.Distance * shallowNotch; depth > 0 && depth <= o.Distance && Vertices(grown) > notchesFrom; depth *= 2 {
		fillNotches(grown, depth)
	}
	if o.Distance > 0 {
		grown = bounded(grown)
		if grown, err = offset(grown, o.Distance, o.Angles); err != nil {
			return nil, err
		}
	}
	if len(grown) == 0 {
		return nil, errors.New("the outline is empty")
	}
	for i := range grown {
		kept := grown[i][:1]
		for _, hole := range grown[i][1:] {
			b := hole.Bound()
			if min(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) >= o.HoleSide {
				kept = append(kept, hole)
			}
		}
		grown[i] = kept
	}
	if o.AreaShare > 0 {
		simplify(grown, o.AreaShare, !o.KeepCorners)
	}
	return bounded(grown), nil
}

const (
	// mostVertices is how many vertices a shape may have: the time to grow it, and to find out where two of them meet,
	// grows with the square.
	mostVertices = 1000
	// notchesFrom is the number of vertices above which notches are filled before growing.
	notchesFrom = 400
	// shallowNotch is how deep, as a share of the distance, the notches are that are filled first where there are too many
	// vertices. Growing closes most of such a notch anyhow, and the grown outline moves by no more than that.
	shallowNotch = 0.02
	// firstShare and lastShare are the areas that bounded pays for fewer vertices before it takes the convex hull.
	firstShare = 0.001
	lastShare  = 1
)

// bounded is the shape with at most mostVertices vertices: simplified outward, by more and more of its area until that is
// enough. What cannot be simplified so far, such as a thousand dots, becomes its convex hull.
func bounded(m orb.MultiPolygon) orb.MultiPolygon {
	for share := firstShare; Vertices(m) > mostVertices; share *= 2 {
		if share > lastShare {
			return hull(m)
		}
		simplify(m, share, true)
	}
	return m
}

// hull is the convex hull of all points (A. M. Andrew, Information Processing Letters 9 (1979) 216).
func hull(m orb.MultiPolygon) orb.MultiPolygon {
	var points []orb.Point
	for _, polygon := range m {
		points = append(points, polygon[0]...)
	}
	slices.SortFunc(points, func(a, b orb.Point) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	var ring orb.Ring
	for range 2 {
		base := len(ring)
		for _, p := range points {
			for len(ring) >= base+2 && cross(ring[len(ring)-2], ring[len(ring)-1], p) <= 0 {
				ring = ring[:len(ring)-1]
			}
			ring = append(ring, p)
		}
		ring = ring[:len(ring)-1] // it begins the other half
		slices.Reverse(points)
	}
	return orb.MultiPolygon{{append(ring, ring[0])}}
}

// Vertices counts the vertices of all rings, the repeated first ones included.
func Vertices(m orb.MultiPolygon) int {
	n := 0
	for _, polygon := range m {
		for _, ring := range polygon {
			n += len(ring)
		}
	}
	return n
}

// Simplified is a copy of a grown shape with fewer vertices, larger by no more than share of its area.
func Simplified(shape orb.MultiPolygon, share float64) orb.MultiPolygon {
	c := tidy(shape)
	simplify(c, share, true)
	return c
}

// offset grows by d. The radius is a little larger than d, for the chords of the round corners. That would make a piece
// that just fits the strip too large, so the shape is cut back to the box of the outline, larger by d on every side, at
// each of the angles: everything within d of the outline lies in these boxes.
func offset(m orb.MultiPolygon, d float64, angles []float64) (orb.MultiPolygon, error) {
	g, err := geom.Buffer(ToGeometry(m), d*arcFactor(), geom.BufferQuadSegments(quadrantSegments))
	if err != nil {
		return nil, err
	}
	var done []float64
	for _, a := range angles {
		if len(done) == mostBoxes {
			break
		}
		// A quarter turn has the same box.
		if slices.ContainsFunc(done, func(b float64) bool { return math.Abs(math.Remainder(a-b, math.Pi/2)) < boxTolerance }) {
			continue
		}
		done = append(done, a)
		if g, err = geom.Intersection(g, ToGeometry(orb.MultiPolygon{{boxAt(m, a, d)}})); err != nil {
			return nil, err
		}
	}
	return fromGeometry(g), nil
}

// mostBoxes is at how many angles a shape is cut back; boxTolerance is how near two angles are the same, in radians.
const (
	mostBoxes    = 16
	boxTolerance = 1e-9
)

// boxAt is the box of the outline turned by the angle, larger by d, turned back.
func boxAt(m orb.MultiPolygon, angle, d float64) orb.Ring {
	sin, cos := math.Sincos(angle)
	if math.Abs(math.Remainder(angle, math.Pi/2)) < boxTolerance {
		sin, cos = 0, 1
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, polygon := range m {
		for _, p := range polygon[0] {
			x, y := cos*p[0]-sin*p[1], sin*p[0]+cos*p[1]
			x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
		}
	}
	back := func(x, y float64) orb.Point { return orb.Point{cos*x + sin*y, cos*y - sin*x} }
	return orb.Ring{back(x0-d, y0-d), back(x1+d, y0-d), back(x1+d, y1+d), back(x0-d, y1+d)}
}

// buffer grows by d, with round corners.
func buffer(m orb.MultiPolygon, d float64) (orb.MultiPolygon, error) {
	g, err := geom.Buffer(ToGeometry(m), d, geom.BufferQuadSegments(quadrantSegments))
	if err != nil {
		return nil, err
	}
	return fromGeometry(g), nil
}

// Around returns everything within d of the area, or, if d is negative, what is farther than -d from its outside. It may
// be a little more, never less.
func Around(area orb.MultiPolygon, d float64) (grown orb.MultiPolygon, err error) {
	defer func() {
		if r := recover(); r != nil {
			grown, err = nil, fmt.Errorf("growing the area failed: %v", r)
		}
	}()
	switch {
	case len(area) == 0 || d == 0:
		return tidy(area), nil
	case d < 0:
		// The chords lie inside the discs that are taken away, so this leaves a little too much.
		return buffer(tidy(area), d)
	}
	return buffer(tidy(area), d*arcFactor())
}

// ToGeometry converts for simplefeatures.
func ToGeometry(m orb.MultiPolygon) geom.Geometry {
	coords := make([][][]float64, 0, len(m))
	for _, polygon := range m {
		rings := make([][]float64, 0, len(polygon))
		for _, ring := range polygon {
			if len(ring) < 3 {
				continue
			}
			flat := make([]float64, 0, 2*len(ring)+2)
			for _, p := range ring {
				flat = append(flat, p[0], p[1])
			}
			if ring[0] != ring[len(ring)-1] {
				flat = append(flat, ring[0][0], ring[0][1])
			}
			rings = append(rings, flat)
		}
		coords = append(coords, rings)
	}
	return geom.NewMultiPolygonXY(coords...).AsGeometry()
}

// fromGeometry takes the polygons of a geometry.
func fromGeometry(g geom.Geometry) orb.MultiPolygon {
	var m orb.MultiPolygon
	add := func(p geom.Polygon) {
		var polygon orb.Polygon
		for _, line := range append([]geom.LineString{p.ExteriorRing()}, interiorRings(p)...) {
			seq := line.Coordinates()
			ring := make(orb.Ring, seq.Length())
			for i := range ring {
				xy := seq.GetXY(i)
				ring[i] = orb.Point{xy.X, xy.Y}
			}
			polygon = append(polygon, ring)
		}
		m = append(m, polygon)
	}
	if p, ok := g.AsPolygon(); ok && !p.IsEmpty() {
		add(p)
	}
	if mp, ok := g.AsMultiPolygon(); ok {
		for i := range mp.NumPolygons() {
			add(mp.PolygonN(i))
		}
	}
	return tidy(m)
}

func interiorRings(p geom.Polygon) []geom.LineString {
	rings := make([]geom.LineString, p.NumInteriorRings())
	for i := range rings {
		rings[i] = p.InteriorRingN(i)
	}
	return rings
}

// tidy copies an outline without repeated points, closes its rings and lets outer ones run counter-clockwise, holes
// clockwise. Rings of fewer than three points vanish.
func tidy(m orb.MultiPolygon) orb.MultiPolygon {
	out := make(orb.MultiPolygon, 0, len(m))
	for _, polygon := range m {
		var clean orb.Polygon
		for i, ring := range polygon {
			r := make(orb.Ring, 0, len(ring)+1)
			for _, p := range ring {
				if len(r) == 0 || r[len(r)-1] != p {
					r = append(r, p)
				}
			}
			for len(r) > 1 && r[0] == r[len(r)-1] {
				r = r[:len(r)-1]
			}
			if len(r) < 3 {
				if i == 0 {
					break
				}
				continue
			}
			r = append(r, r[0])
			if (ringArea(r) < 0) == (i == 0) {
				r.Reverse()
			}
			clean = append(clean, r)
		}
		if len(clean) > 0 {
			out = append(out, clean)
		}
	}
	return out
}

// ringArea is positive for a closed ring that runs counter-clockwise.
func ringArea(r orb.Ring) float64 {
	sum := 0.0
	for i := 1; i+1 < len(r); i++ {
		sum += (r[i][0]-r[0][0])*(r[i+1][1]-r[0][1]) - (r[i][1]-r[0][1])*(r[i+1][0]-r[0][0])
	}
	return sum / 2
}

// Area is the area of an outline, holes taken off, whichever way its rings run.
func Area(m orb.MultiPolygon) float64 {
	sum := 0.0
	for _, polygon := range m {
		for i, ring := range polygon {
			if len(ring) < 3 {
				continue
			}
			if a := math.Abs(ringArea(closed(ring))); i == 0 {
				sum += a
			} else {
				sum -= a
			}
		}
	}
	return sum
}

func closed(r orb.Ring) orb.Ring {
	if r[0] == r[len(r)-1] {
		return r
	}
	return append(append(orb.Ring{}, r...), r[0])
}
