// Package outline holds the shapes a knife cuts: a [Path] of closed contours
// made of lines, quadratic and cubic Béziers, and a [Curve], an open run of
// the same segments.
//
// Coordinates are millimetres in float64, x to the right, y UP, angles
// counter-clockwise. The area of a Path is meant by the non-zero rule; after
// any boolean operation outer contours run counter-clockwise and holes
// clockwise, and no contour crosses itself or another.
//
// Operations do not modify their arguments. What they return may share segments
// with them where nothing changed, as Curve does with its Contour and ByOrigin
// with its Path: [Path.Clone] parts them. All of it is safe for concurrent use as
// long as nobody modifies what others read. An operation that approximates takes
// a tolerance and keeps to it; where it has no error to return, a tolerance below
// zero counts as the default.
//
// Booleans and offsets decide on chords whose ends lie on a fine grid, by snap
// rounding (Hobby, Computational Geometry 13, 1999) and winding numbers, and give
// back the curves that the chords were cut from; curves are fitted by least squares
// (Schneider, Graphics Gems, 1990), arcs by the usual cubics (Goldapp, CAGD 8,
// 1991).
//
// outline knows nothing of film, text or machines; lettering and svg, below
// it, make Paths from fonts and artwork.
package outline
