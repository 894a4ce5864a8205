// Package check judges finished sheets by plain means of its own: it shares no
// code with the nest that laid them out, and compares segment with segment.
//
// [Sheet] says whether every cut is closed, finite and on the film, every
// decal keeps its gap to every other, everything keeps the margin, and no weed
// line, border, trim line or mark crosses a decal or lies in its film.
// Distances are exact for the flattened curves, which lie within [Tolerance]
// of the true ones; a distance counts as too small only when it is so by more
// than that.
package check
