// Package rect packs rectangles on a strip of fixed width so that the strip becomes short. Rectangles may be turned by a
// quarter where they allow it. Lengths are millimetres; the strip lies along x.
//
// Two searches work side by side on whole numbers: an exhaustive one, which looks for a packing of the least length that
// the areas allow and finds it when little or nothing is wasted, and late-acceptance hill climbing over the order in which
// a skyline rule takes the rectangles.
//
// Sources: N. Lesh, J. Marks, A. McMahon, M. Mitzenmacher, Exhaustive approaches to 2D rectangular perfect packings,
// Information Processing Letters 90 (2004) 7; S. C. H. Leung, D. Zhang, A fast layer-based heuristic for non-guillotine
// strip packing, Expert Systems with Applications 38 (2011) 13032; E. K. Burke, Y. Bykov, The late acceptance hill-climbing
// heuristic, European J. Oper. Res. 258 (2017) 70.
package rect
