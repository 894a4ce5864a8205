// Package layout holds what lies on the film: a [Film], a [Sheet] (one load
// of decals with its weed border, weed lines and cut-off line), sizing, and
// how many decals go across a film.
//
// A sheet's coordinates are millimetres, y up: x runs along the film from the
// start of the load, y across it from one edge. Packages below this one fill
// designs with words (artwork), order the cut (cutpath), write files (hpgl,
// dxf, svgsheet), draw proofs (proof) and job sheets (jobsheet), plan and
// price (production), and run a whole order (order).
//
//	n, err := layout.Across(layout.Film{Width: 12 * units.Inch}, layout.Bed{EdgeMargin: 10}, 4.8*units.Inch, units.Inch/4)
//
// All of it travels as JSON. What a shop says ([Film], [Bed], [Size]) has
// lengths as text with a unit; what comes out ([Sheet], [PlacedDecal],
// [Leftover]) has numbers whose names end in _mm and shapes as SVG path data in
// millimetres, y UP.
//
// Sources: United States Sign Council, Sign Legibility Rules of Thumb (2006),
// for reading distances; W3C SVG 2, chapter 9, for path data.
package layout
