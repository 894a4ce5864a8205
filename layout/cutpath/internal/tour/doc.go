// Package tour finds short ways through stops in the plane: a path, or a round
// trip, past points and open strokes, under the rules that cutting sets (what
// is enclosed comes first; the film does not run far back), and bounds from
// below how short any way can be.
//
// Coordinates are millimetres; nothing depends on the unit.
//
// Sources: Bentley, ORSA Journal on Computing 4 (1992) 387, for 2-opt and Or-opt
// with neighbour lists and don't-look bits; Martin, Otto and Felten, Complex
// Systems 5 (1991) 299, for the double-bridge kick; Held and Karp, Operations
// Research 18 (1970) 1138, for the bound.
package tour
