// Package production plans the work round the cutter and prices it.
//
// [Schedule] lets loads flow through stages (cut, weed, tape, trim and pack):
// while one load is weeded the next is cut. Times are minutes; a stage has one
// person or machine, or more. For two stages of one each Johnson's rule gives
// the shortest finish; otherwise loads are inserted one by one where they
// delay least, and moved while that helps.
//
// Quote prices an order in exact decimal money.
//
// Sources: S. M. Johnson, Naval Research Logistics Quarterly 1 (1954) 61-68;
// M. Nawaz, E. E. Enscore, I. Ham, Omega 11 (1983) 91-95; E. Taillard,
// European Journal of Operational Research 47 (1990) 65-74 and 64 (1993)
// 278-285.
package production
