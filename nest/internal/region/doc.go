// Package region holds, for two outlines A and B at fixed angles, the set of
// shifts t = pos(B) - pos(A) at which their interiors overlap (the no-fit
// region) in a form that answers in nanoseconds: does t overlap, how deep is
// it, and which way out is shortest.
//
// The region is a union of convex no-fit polygons, one for each two convex
// parts. A grid of square cells lies over its box. A cell is outside, wholly
// inside, or lists the few half-planes that matter in it. Near the border the
// depth is exact (largest over the parts of the least distance to their
// half-planes); in cells wholly inside it is a plane fitted to distances to the
// outside that come from solving the eikonal equation on the grid (H. Zhao, A
// fast sweeping method for eikonal equations, Mathematics of Computation 74,
// 2005), so it is right to a share of a cell.
//
//	r := region.Build(a, b, region.Cells)
//	if depth := r.Depth(tx, ty); depth > 0 { ... }
package region
