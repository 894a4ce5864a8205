// Package vinyl is the root of a library that computes the job of a small shop
// that cuts decals from self-adhesive film: from a group's words and a set of
// designs to cut files, proofs, papers, time and price.
//
// The packages, from the bottom up:
//
//   - units: lengths, areas, angles and speeds in shop notation
//   - outline, outline/lettering, outline/svg: shapes, text and artwork
//   - weedability: what must be picked, what may lift, what tears
//   - nest: pieces on a strip of fixed width, verified exactly
//   - layout and below: sheets, designs with slots, the cut and its files,
//     proofs, job sheets, plan and price, and whole orders
//
// Coordinates are millimetres in float64, y up, angles counter-clockwise; a
// strip of film lies along x. The Example runs a whole order.
package vinyl
