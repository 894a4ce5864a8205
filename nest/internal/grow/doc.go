// Package grow makes from an outline the shape that the search works on: grown by half the gap, so that shapes that touch
// have originals a gap apart, without holes too small to take anything, and with fewer vertices. Every step is outward: the
// shape contains every point within the distance of the original. Coordinates are millimetres.
package grow
