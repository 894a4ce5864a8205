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
// No figure here is a law of nature. The default limits are shop rules that
// disagree with one another (see [LimitsFor]), and the minutes of [Effort] are
// common practice without a published source; a shop replaces both with its own.
// Findings name the rule that fired and where it comes from.
package weedability
