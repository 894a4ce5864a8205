// Package boundary holds the flattened borders of a welded path in a grid, and
// answers what weedability asks of them: which contour lies in which, whether
// two edges cross, the largest ball that touches at a point, the largest circle
// inside a region.
//
// Coordinates are millimetres, y up. Film lies to the left of every edge, waste
// to its right.
package boundary
