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
// The fields are those of [Order], [Film], [Lettering] and [Item].
package order
