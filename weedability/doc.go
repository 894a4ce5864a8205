// Package weedability tells, before a decal is cut from self-adhesive film, what
// must be picked out by hand, what may lift with the waste and where the waste
// may tear, and puts it right.
//
// Weeding is the removal of the waste film around and inside a decal once it is cut.
// A counter is a piece of waste enclosed by film, such as the inside of an O:
// it has to be picked. An island is a separate piece of film: if it is
// too small its adhesive does not hold it down. [Inspect] lists both, and finds every place below
// the [Limits] of a film:
//
//	limits := weedability.LimitsFor(weedability.Cast)
//	report, err := weedability.Inspect(ctx, decal, limits, weedability.Options{})
//
// Coordinates are millimetres in the decal's own system, y up. A decal is a
// welded [outline.Path] at its final size: outer contours counter-clockwise,
// holes clockwise, nothing crossing. Widths are diameters of circles that fit
// inside: an island's or counter's width is that of the largest such circle,
// a stroke's or gap's thickness that of the largest one that touches there.
//
// # What is found, and how well
//
// A [Report] lists every [Counter] in the order of picking, every [Island], and as
// [Finding] what breaks a limit, with its place, value, limit, source, severity and remedy.
// Thickness is measured by the largest circle that touches the border at a place and
// holds no other (the shrinking ball of Ma, Bae and Choi, The Visual Computer 28, 2012), against
// the curves themselves: within 1 % or 0.02 mm, whichever is more, on rings, bars, wedges and letter
// stems, and measured against a raster and its exact distance transform
// (Felzenszwalb and Huttenlocher, Theory of Computing 8, 2012) on random shapes.
// Thin samples that are neighbours or face each other make one stretch; a circle between
// sides that open by more than 40 degrees sits in a corner and is none. Widths of
// pieces are those of largest inscribed circles, searched best first in squares
// (Garcia-Castellanos and Lombardo, Scottish Geographical Journal 123, 2007) and moved uphill on the
// curves; radii are right to about 1 % against GEOS where two places are nearly as wide, and to
// 0.002 mm where one is. Areas are exact.
//
// The [Waste] sheet between weed border and film is cut by its narrow places into pieces; a
// piece that hangs on the rest by places that tear comes off loose (a widest
// spanning tree, Kruskal 1956). [WeedLines], in the report too, part the sheet before it
// drags or tears. [Pull] and the counters' numbers are the order of work; the minutes are [Effort]'s.
//
// # Putting it right
//
// [Thicken], [WidenGaps], [FillCounters], [DropSpecks], [Bridge] and [BluntTips] each return
// a new path, the list of what they changed, what breaks a limit since ([Mended].New) and
// what they could not mend (Left). Applied twice they change nothing more. [Mend] weighs
// them against one another. [SmallestSafeSize] is the other way out: how large to cut.
//
// # JSON, errors
//
// Reports and their parts, [Limits], [Change] and [SafeSize] are written to JSON and read back;
// the names are documented at each MarshalJSON. Lengths end in _mm, areas in _mm2.
// Limits write lengths with their unit, and [ReadLimits] reads a shop's own.
//
// Every error is a [*ShapeError] (which contour, node and place, and what to do) or a
// [*LimitsError] (which limit, option or text), wraps one of the causes below, or is
// the context's. Nothing panics on bad input, and nothing is returned half done.
//
// # Speed
//
// Processor time of one [Inspect] of a decal of rings the size of letters (half the nodes of
// an outline in counters, every border of curves), measured on one core of a shared machine
// that was busy with twenty other jobs (AMD EPYC, Go 1.26), and of the raster of 0.1 mm that
// judges the tests, in the same run (go test -bench 'Inspect|Raster'):
//
//	nodes    Inspect   per node   raster   ratio
//	   500     3.4 ms     6.7 µs    39 ms      12
//	  2000    14.1 ms     7.0 µs   148 ms      11
//	 10000    74.4 ms     7.4 µs  1076 ms      14
//	100000   798   ms     8.0 µs
//
// The pieces, the strokes and the gaps are measured side by side where there are cores.
//
// No figure here is a law of nature. The default limits are shop rules that
// disagree with one another (see [LimitsFor]), and the minutes of [Effort] are
// common practice without a published source; a shop replaces both with its own.
// Findings name the rule that fired and where it comes from.
package weedability
