// Package cutpath turns a [layout.Sheet] into what the knife does: the order
// of the cuts, where each starts and in which direction it runs, the way of a
// drag knife's swivel axis, the travel in between, and the time it takes.
//
// Coordinates are the sheet's: millimetres, x along the film (the direction it
// is fed), y across it, y up.
//
//	job, err := cutpath.Plan(ctx, sheet, cutpath.Options{})
//	if err != nil { ... }
//	job, err = job.For(cutpath.Device{Knife: cutpath.Knife{Offset: 0.25, Overcut: 0.5}})
//	if err != nil { ... }
//	err = job.Write(hpgl.NewWriter(file, hpgl.Options{}))
//
// What lies inside is cut before what encloses it, and a decal is finished
// before the next is begun, so that whatever has been cut when film runs out
// is whole. Weed lines, the weed border and the trim lines come last, the
// cut-off line last of all, so that the film is held while pieces are cut.
//
// A [Writer] receives the strokes one after the other; packages hpgl, dxf and
// svgsheet have one each, and a shop's own is some fifty lines.
//
// Sources: Bentley, "Fast algorithms for geometric traveling salesman
// problems", ORSA Journal on Computing 4 (1992), for neighbour lists and
// don't-look bits; Held and Karp, Operations Research 18 (1970) and Mathematical Programming 1
// (1971), for the lower bound. The geometry of the drag knife is derived in
// the comments; blade offsets are data of the blade, never computed.
package cutpath
