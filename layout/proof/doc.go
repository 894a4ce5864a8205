// Package proof draws pictures of sheets and single designs: anti-aliased PNG
// images for the customer to approve and for the cutting table.
//
// A picture of a sheet shows it as it is cut: x along the film to the right, y
// across it upwards, mirrored decals mirrored. Film is filled in its own
// colour, cuts that only help (weed border, weed lines, trim lines) are drawn
// as thin lines, and each decal carries its id. Markers use shapes and numbers
// rather than colours, for people who do not see red and green apart.
package proof
