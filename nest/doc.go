// Package nest places pieces on a strip of film of fixed width so that as little film as possible is used.
//
// # Units and axes
//
// Coordinates are millimetres. The strip lies along x, its open direction: x = 0 is the end that enters the cutter first.
// Its width lies along y, which runs up: the film is 0 ≤ y ≤ Strip.Width. Angles are counter-clockwise. A [Placement] mirrors
// the outline (x becomes -x) if it says so, turns it about the outline's own origin (0, 0), then shifts it by (X, Y).
// Every [Load] has coordinates of its own that start at x = 0.
//
// # What is promised
//
// Nest never returns a layout that fails [Result.Verify], which works on the original outlines in float64 with exact
// predicates and shares no code with the search: no two pieces nearer than the gap, no piece nearer to an edge than its
// margin, every copy placed once or listed in Result.Unplaced, every rotation allowed. With a gap of zero pieces may touch.
//
// Nest is anytime: a first complete layout is there at once, and the rest of the budget improves it. When the context is
// cancelled the best layout so far comes back together with ctx.Err(). A run with a number of Iterations instead of a
// Budget gives the same layout for the same seed, on any number of workers.
//
// [Gang] is the second method: rows and columns that are parted by straight trims from edge to edge.
//
// # Memory
//
// The tables of the search grow with the square of the number of different outlines times their rotations, not with the
// number of copies; see package nest/internal/search. The first layout needs a few hundred bytes for each piece.
//
// # Sources
//
// J. Gardeyn, G. Vanden Berghe, T. Wauters, An open-source heuristic to reboot 2D nesting research, arXiv:2509.13329 (2025);
// A. M. Gomes, J. F. Oliveira, European J. Oper. Res. 171 (2006) 811; J. R. Shewchuk, Adaptive precision floating-point
// arithmetic, Discrete & Comput. Geometry 18 (1997) 305; E. Hopper, B. C. H. Turton, European J. Oper. Res. 128 (2001) 34.
package nest
