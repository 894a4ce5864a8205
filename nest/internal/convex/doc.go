// Package convex cuts outlines into triangles and convex parts, tests exactly
// whether two of them overlap, and forms the no-fit polygons of convex parts.
//
// Coordinates are float64 in any unit, y up. A Part lists its vertices
// counter-clockwise.
//
//	o := convex.FromMultiPolygon(outline)
//	crossing := convex.Overlap(o.Placed(0, 0, 0), o.Placed(10, 0, math.Pi))
//
// Sources: ear clipping after G. H. Meisters (1975); S. Hertel, K. Mehlhorn,
// Fast triangulation of simple polygons (1983); J. R. Shewchuk, Adaptive
// precision floating-point arithmetic and fast robust geometric predicates,
// Discrete & Computational Geometry 18 (1997) 305.
package convex
