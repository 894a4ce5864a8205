// Package order runs a whole order: from a JSON file to loads of film with cut
// files, proofs, a page for the customer's approval and a job sheet.
//
//	o, err := order.Read(file)
//	result, err := order.Run(ctx, o, order.Options{Budget: 5 * time.Second})
//	err = result.Write(dir)
//
// [Run] fills every design's slots with the order's words, brings it to size,
// inspects it for what will be hard to weed, nests all copies on the film in
// loads, and plans the cut. Nothing is written before all of that has
// succeeded; [Result.Write] writes files beside their places and renames them.
//
// # The order file
//
// Text with a unit for every length; an unknown field is an error.
//
//	{
//	  "title": "Marlow Creek Science Fair",
//	  "film": {"name": "matt navy", "colour": "#1d3557", "width": "12 in"},
//	  "gap": "1/4 in", "edge_margin": "10 mm", "lead": "25 mm", "max_load": "15 in",
//	  "words": {"upper": "MARLOW", "lower": "CREEK"},
//	  "items": [
//	    {"design": "telescope", "height": "5.25 in", "copies": 8},
//	    {"file": "owl.svg", "width": "4 in", "copies": 2, "turn": "any", "words": {"upper": "OWLS"}}
//	  ]
//	}
//
// The fields are those of [Order], [Film], [Leftover], [Shop], [Machine],
// [Lettering] and [Item]; a list of names beside the order is read by
// [ReadRoster]. What an order contradicts itself in is reported all at once,
// field by field ([Order.Check]).
//
// # What comes of it
//
// Each [Load] holds its sheet, the ordered cut and the counters to pick
// ([Result.Picks]). [Result.Report] is the figures, [Result.Plan] the timetable,
// [Result.Quote] the price, [Compare] the two ways to gang, [CompareLengths] the
// best length of loads. [Layout] keeps where everything lies, so that spoiled
// decals can be cut again ([Layout.Recut]) and a load that stopped goes on
// ([Layout.Resume]).
//
// Order, Report, Layout, Comparison, LengthPlan and production's types travel as
// JSON; the names of their fields do not change. Lengths in an order are text
// with a unit; figures of a report are numbers whose name ends in their unit.
//
// # Units and axes
//
// Sheets are millimetres: x along the film from the load's start, y across it
// from one edge, y up; angles are counter-clockwise. Mirrored decals (inside
// glass) are mirrored before they are placed.
//
// # Sources
//
// Least letter height: 3M Product Bulletin 7725 (2016). Legibility: package
// layout. Flow of loads: package production. Handling times, widths of tape and
// the least leftover are common practice without a source, for a shop to
// replace by its own.
package order
