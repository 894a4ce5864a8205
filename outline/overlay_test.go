package outline

import (
	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// The overlay of simplefeatures/geom, a port of the one that GIS systems use, is
// the judge of ours: other algorithms, other code.

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
