package svg

import (
	"github.com/peterstace/simplefeatures/geom"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// unite returns the union of contours that each turn counter-clockwise.
func unite(p outline.Path, tolerance units.Length) (outline.Path, error) {
	var all []geom.Geometry
	for _, c := range p {
		var xy []float64
		for _, q := range c.Flatten(nil, tolerance) {
			xy = append(xy, q.X, q.Y)
		}
		if len(xy) < 6 {
			continue
		}
		xy = append(xy, xy[0], xy[1])
		g := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(xy, geom.DimXY))}).AsGeometry()
		if g.Validate() != nil {
			continue
		}
		all = append(all, g)
	}
	g, err := geom.UnionMany(all)
	if err != nil {
		return nil, err
	}
	return fromGeometry(g), nil
}

func fromGeometry(g geom.Geometry) outline.Path {
	var p outline.Path
	ring := func(l geom.LineString, ccw bool) {
		s := l.Coordinates()
		var pts []outline.Point
		for i := 0; i+1 < s.Length(); i++ {
			xy := s.GetXY(i)
			pts = append(pts, outline.Pt(xy.X, xy.Y))
		}
		c := outline.Polygon(pts...)
		if (c.Area() > 0) != ccw {
			c = c.Reversed()
		}
		p = append(p, c)
	}
	for _, part := range g.Dump() {
		if poly, ok := part.AsPolygon(); ok && !poly.IsEmpty() {
			ring(poly.ExteriorRing(), true)
			for i := range poly.NumInteriorRings() {
				ring(poly.InteriorRingN(i), false)
			}
		}
	}
	return p
}
