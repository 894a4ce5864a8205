// Package search places outlines on a strip so that the strip becomes as short
// as possible, or so that all of them fit within a given length.
//
// Coordinates are plain float64 in one unit (package nest uses millimetres), y
// up, angles in radians counter-clockwise. The strip is 0 <= y <= Width, x >= 0.
// Outlines are already grown by half the gap: touching is allowed, crossing is
// not. Holes of an outline are room for other pieces.
//
// The method is guided local search through overlapping layouts on no-fit
// regions (package region), compaction by linear programming after every
// success (package compact) and, for many copies, units that repeat on a ring.
// Every Solution has passed an exact test of all pairs of pieces (package
// convex).
//
//	sol, err := search.Minimise(ctx, problem, search.Options{Deadline: time.Now().Add(10 * time.Second)})
//
// Sources: J. Egeblad, B. K. Nielsen, A. Odgaard, European J. Oper. Res. 183
// (2007) 1249; S. Umetani et al., Int. Trans. Oper. Res. 16 (2009) 661; T.
// Imamichi, M. Yagiura, H. Nagamochi, Discrete Optimization 6 (2009) 345; A.
// Elkeran, European J. Oper. Res. 231 (2013) 757; J. Gardeyn, G. Vanden Berghe,
// T. Wauters, arXiv:2509.13329 (2025).
package search
