// Package verify measures placed outlines exactly: whether interiors overlap and how near two outlines come. It shares no
// code with the search, so that an error there cannot hide here.
//
// Coordinates are millimetres; the given float64 values are taken as exact. Decisions (on which side of an edge a point
// lies, whether a distance reaches a limit) are made in float64 with an error bound and, in doubt, in exact arithmetic, so
// there is no tolerance anywhere in this package. Touching is not overlapping.
//
// Source: J. R. Shewchuk, Adaptive precision floating-point arithmetic and fast robust geometric predicates, Discrete and
// Computational Geometry 18 (1997) 305-363.
package verify
