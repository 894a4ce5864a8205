// Package svgsheet writes a planned sheet as SVG: millimetres, exact curves,
// one group per film and decal, strokes in the film's colour.
//
//	err := job.Write(svgsheet.NewWriter(w, svgsheet.Options{}))
//
// The page is the load: its width is the load's length (x, along the film),
// its height the film's width. SVG has y down; the writer flips at the last
// moment, so that the picture stands as the sheet lies. One user unit is one
// millimetre. Files are the same to the byte for the same job and options.
//
// Source: W3C SVG 2 (paths, coordinate systems) and CSS Values and Units 3.
package svgsheet
