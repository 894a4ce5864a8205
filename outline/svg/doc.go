// Package svg reads artwork from SVG into [outline.Path]s in millimetres, and
// writes Paths as SVG.
//
// [Read] gives every shape of a drawing as a filled area (strokes become the
// areas they paint) together with the geometry as it was drawn, its id, its
// class, the groups around it and its colour. Coordinates are millimetres at
// the drawing's physical size, y UP, with (0, 0) at the lower left corner of
// the page: SVG's own y runs down, and is flipped once, here.
//
//	drawing, err := svg.Read(file, svg.Options{})
//	if err != nil {
//		return err
//	}
//	for _, w := range drawing.Warnings {
//		log.Print(w)
//	}
//	for _, s := range drawing.Shapes {
//		fmt.Println(s.ID, s.Fill, s.Path.Bounds())
//	}
//
// What cannot be cut (text, images, gradients, filters, clipping, masks) is
// named with its element and line in Drawing.Warnings. Geometry that cannot
// be understood is an error: half a path would be cut as confidently as a
// whole one.
//
// A file is untrusted input: its size, nesting, use elements and nodes are
// bounded by the Max constants.
//
// Sources: W3C Scalable Vector Graphics 2 (Candidate Recommendation, 2018),
// chapters 5 (structure), 8 (coordinates), 9 (paths), 10 (basic shapes) and 13
// (painting); Scalable Vector Graphics 1.1 (Second Edition, 2011), appendix
// F.6 (arcs); CSS Values and Units Level 3 (96 px and 72 pt to the inch); CSS
// Color Level 4 (named colours).
package svg
