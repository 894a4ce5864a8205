// Package layout holds what lies on the film: a [Film], a [Sheet] (one load
// of decals with its weed border, weed lines and cut-off line), sizing, and
// how many decals go across a film.
//
// A sheet's coordinates are millimetres, y up: x runs along the film from the
// start of the load, y across it from one edge. Packages below this one fill
// designs with words (artwork), order the cut (cutpath), write files (hpgl,
// dxf, svgsheet), draw proofs (proof) and job sheets (jobsheet), plan and
// price (production), and run a whole order (order).
package layout
