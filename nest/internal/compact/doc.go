// Package compact solves small linear programs with bounded variables, from a
// feasible point, without a phase one: what the compaction of a layout needs.
//
//	minimise c·v   subject to   b + A·v >= 0,   low <= v <= high
//
// where b >= 0 and v = 0 is the starting point. The method is the primal
// simplex method on a dense dictionary: every row starts as basic, every
// variable starts nonbasic at 0, which may lie strictly between its bounds.
//
// Sources: G. B. Dantzig, Linear Programming and Extensions (1963); its use
// for layouts: Z. Li, V. Milenkovic, European J. Oper. Res. 84 (1995) 539; A.
// M. Gomes, J. F. Oliveira, European J. Oper. Res. 171 (2006) 811.
package compact
