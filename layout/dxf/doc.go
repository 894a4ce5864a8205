// Package dxf writes a planned sheet as DXF of release 12 (AC1009), the
// dialect that every program reads: POLYLINE with VERTEX, arcs as bulges,
// layers by film or colour.
//
//	err := job.Write(dxf.NewWriter(w, dxf.Options{}))
//
// Coordinates are millimetres, x along the film, y across it, y up. Release 12
// carries no unit: the file says so in a comment, and whoever opens it must
// say millimetres. Curves become lines and arcs within a tolerance, tangent to
// one another. Files are the same to the byte for the same job and options.
//
// Source: Autodesk DXF Reference (POLYLINE, VERTEX: bulge, code 42, is the
// tangent of a quarter of the included angle, negative clockwise; code 70 bit
// 1 closes the polyline).
package dxf
