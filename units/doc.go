// Package units holds the quantities a cutting job is described in: [Length],
// [Area], [Angle] and [Speed], with the manners of [time.Duration].
//
// A quantity is a float64 in its base unit (millimetres, square millimetres,
// radians, millimetres per second), so it multiplies with untyped constants:
//
//	gap := units.Inch / 4
//	height, err := units.Parse("5 1/4 in")
//	fmt.Println(height.Millimetres()) // 133.35
//
// [Parse] reads shop notation: "5 3/8 in", `5-3/8"`, "12in", "30.5 cm",
// "1 ft 2 in", "63pt", "480px", "40 mil". String writes text that Parse reads
// back to the same value; [Length.Fraction] writes inches as 1/16, 1/32 or 1/64.
//
// In JSON a quantity goes in as text with its unit, never as a bare number.
// Results of other packages leave as plain numbers whose field names end in
// _mm or _mm2.
//
// Sources: NIST SP 811 (2008), appendix B.8: 1 in = 25.4 mm exactly,
// 1 ft = 12 in; W3C CSS Values and Units Level 3, absolute lengths: 96 px and
// 72 pt to the inch, 6 pc to the inch.
package units
