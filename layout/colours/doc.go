// Package colours parts a design in several colours into one film for each, so
// that the films register and no gap opens between them.
//
// A design is a stack of layers, the lowest first, each painted over those
// below. Where an upper colour meets a lower one, the lower is spread under the
// upper by the trap: films shrink and hands are never exact, and an overlap
// hides both. What is seen stays as drawn.
//
//	s, err := colours.Split(layers, colours.Options{})
//	for _, f := range s.Films {
//		sheet := s.Sheet(f, film, bed)
//		...
//	}
//
// Coordinates are millimetres, y up. Every film carries the same two crosses
// beside the design; lay one film's crosses on the other's.
//
// Sources: reference data of the trade: overlaps of 1 to 2 mm are usual (common
// practice, no source); a trap should exceed twice the film's tested shrinkage
// (0.4 mm, polymeric film by FINAT FTM 14) and what registration by hand misses
// (about 0.5 mm, common practice).
package colours
