// Package guillotine lays out boxes so that straight cuts, each from edge to edge of the part it divides, part them all.
// Lengths are millimetres; the strip lies along x, its width along y.
//
// A layout is made by putting boxes, in some order, into the corner of a free part, which is then cut twice: beside the box
// and above it. Which of the two cuts comes first is a rule, and rules and orders are searched by late-acceptance hill
// climbing. The free parts at the beginning are the loads.
//
// Sources: J. Jylänki, A thousand ways to pack the bin, report (2010), guillotine algorithms; E. K. Burke, Y. Bykov, The late
// acceptance hill-climbing heuristic, European J. Oper. Res. 258 (2017) 70.
package guillotine
