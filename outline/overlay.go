package outline

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// toGeom returns polygons as one geometry of simplefeatures.
func toGeom(polygons orb.MultiPolygon) geom.Geometry {
	out := make([]geom.Polygon, 0, len(polygons))
	for _, polygon := range polygons {
		rings := make([]geom.LineString, 0, len(polygon))
		for _, r := range polygon {
			coords := make([]float64, 0, 2*len(r))
			for _, q := range r {
				coords = append(coords, q[0], q[1])
			}
			rings = append(rings, geom.NewLineString(geom.NewSequence(coords, geom.DimXY)))
		}
		out = append(out, geom.NewPolygon(rings))
	}
	return geom.NewMultiPolygon(out).AsGeometry()
}

// fromGeom returns the areas of g as polygons.
func fromGeom(g geom.Geometry) orb.MultiPolygon {
	var out orb.MultiPolygon
	for _, part := range g.Dump() {
		polygon, ok := part.AsPolygon()
		if !ok || polygon.IsEmpty() {
			continue
		}
		var rings orb.Polygon
		for _, line := range polygon.DumpRings() {
			seq := line.Coordinates()
			ring := make(orb.Ring, seq.Length())
			for i := range ring {
				xy := seq.GetXY(i)
				ring[i] = orb.Point{xy.X, xy.Y}
			}
			rings = append(rings, ring)
		}
		out = append(out, rings)
	}
	return out
}

var errOverlay = errors.New("the overlay failed")

// overlay calls f and turns a panic of the ported code into an error.
func overlay(f func() (geom.Geometry, error)) (g geom.Geometry, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%w: %v", errOverlay, r)
		}
	}()
	return f()
}

// nonZeroGeom returns the area of p by the non-zero rule where its contours are
// simple: each outer contour with the holes inside it, united.
func nonZeroGeom(p Path, opt BooleanOptions) (geom.Geometry, error) {
	type ring struct {
		path  Path
		area  float64
		holes []int
	}
	rings := make([]ring, len(p))
	var total float64
	for i, c := range p {
		rings[i] = ring{path: Path{c}, area: float64(c.Area())}
	}
	tree := p.Tree()
	for i := range rings {
		if tree[i].Parent < 0 {
			total += rings[i].area
		}
	}
	isHole := func(i int) bool { return tree[i].Parent >= 0 && (rings[i].area > 0) != (total > 0) }
	var parts []geom.Geometry
	for i := range rings {
		if isHole(i) {
			continue
		}
		part := Path{p[i]}
		for _, j := range tree[i].Children {
			if isHole(j) {
				part = append(part, p[j])
			}
		}
		parts = append(parts, toGeom(part.MultiPolygon(opt.Tolerance)))
	}
	return overlay(func() (geom.Geometry, error) { return geom.UnionMany(parts) })
}
