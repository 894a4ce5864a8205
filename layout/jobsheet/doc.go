// Package jobsheet writes the pages that go with an order: the job sheet for
// the cutting table ([Write]) and the page on which the customer approves the
// designs before film is cut ([WriteApproval]).
//
// Both are single HTML files with everything inside: they print on Letter and
// A4, read on a phone, and show nothing that comes from outside. Text is
// escaped by html/template. Pictures of designs on the approval page are SVG
// in millimetres, so that a print at 100 % shows them at their size.
//
// The cautions printed on the job sheet are the usual ones; local law and the
// makers' data sheets come first. Sources: NIOSH Pocket Guide to Chemical
// Hazards (isopropyl alcohol, flash point 12 °C); 49 CFR 393.60 and California
// Vehicle Code 26708 as examples of rules on the driver's view (both from
// memory, hence "check your local law").
package jobsheet
