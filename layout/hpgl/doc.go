// Package hpgl writes and reads the plotter language that roll cutters take:
// HP-GL as Hewlett-Packard documented it, and nothing of any cutter's maker.
//
// One plotter unit is 0.025 mm: 40 to the millimetre, 1016 to the inch. x of
// the sheet (along the film) is the plotter's X unless Options.Axes turns it;
// both have y up. Coordinates are rounded each by itself, so that errors do
// not add up along the strip.
//
//	err := job.Write(hpgl.NewWriter(w, hpgl.Options{}))
//
// The commands are IN, SP, PA or PR, PU and PD; VS and FS only where they are
// asked for, because machines read their numbers differently. Whatever else a
// machine wants is the caller's own text in Options.Before and Options.After.
//
// Sources: HP 7470A Interfacing and Programming Manual, 07470-90001
// (1982/1984); The HP-GL/2 and HP RTL Reference Guide, 5961-3526 (1996).
package hpgl
