// Package artwork fills the named lettering slots of a design with words.
//
// A [Design] is artwork with slots: each [Slot] is bounded by two curves, its
// bottom and its top, run in reading direction. [Design.Fill] sets the words,
// bends them between the two curves and welds them to the art or knocks them
// out of it, as the slot says. Capitals fill the slot; words whose accents or
// descenders would be cut through the art's edge are set smaller.
//
// In an SVG file a slot is a group of class "slot" whose id is the slot's
// name, with two open paths of class "bottom" and "top":
//
//	<g class="slot" id="upper" data-mode="subtract">
//	  <path class="bottom" fill="none" d="M20 40 Q50 30 80 40"/>
//	  <path class="top"    fill="none" d="M20 25 Q50 15 80 25"/>
//	</g>
//
// data-mode is "weld" (the default: the letters are film) or "subtract" (the
// letters are cut out of film). Whatever is filled elsewhere in the file is
// the art.
//
// Coordinates are millimetres, y up. Words that are too long for their slot
// are condensed to a stated limit, then set smaller down to a stated height;
// past that a [*FitError] names the wording and the slot.
package artwork
