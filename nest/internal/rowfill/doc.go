// Package rowfill makes a first layout at once: pieces are put one after another where they end furthest to the left,
// holes between earlier pieces included.
//
// The strip is cut into rows of equal height along x. Of a shape only the x-extents in each row are kept, rounded outward,
// so shapes whose extents do not overlap do not overlap either; shapes may lie at whole rows only. Finding the least x for
// one shape and one row is a walk along the occupied extents. As rows only fill up, the least x of one shape at one row
// never falls, so it is remembered and many copies cost little. Coordinates are millimetres, y up.
package rowfill
