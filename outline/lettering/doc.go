// Package lettering sets text as outlines that can be cut: fonts, shaping, and
// paths whose every segment knows the letter it came from.
//
// A shop asks for "2 inch letters" and means the capitals: [Options.Height] is
// the cap height unless [Options.HeightOf] says otherwise. Lengths are
// millimetres, y is up, the first line's baseline is y = 0 and the text starts
// at x = 0; further lines have negative y. Outer contours run
// counter-clockwise, counters clockwise.
//
//	text, err := lettering.Set("MARLOW", lettering.Options{Height: 2 * units.Inch})
//	if err != nil { ... }
//	fmt.Println(text.Describe(text.Path[0].Segments[0].Origin)) // the M in MARLOW
//
// Shaping (kerning, ligatures, joining scripts, marks) is done in whole font
// units and scaled afterwards, so that a letter has the same shape and the
// same neighbours at every size.
//
// Sources: OpenType 1.9 (cmap, GSUB, GPOS, OS/2, fvar), Unicode Standard
// Annexes 9 (bidirectional text), 14 and 24 (scripts). The default font is Go
// Bold by Bigelow & Holmes, under the Go project's licence.
package lettering
