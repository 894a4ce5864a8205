package cutpath

import (
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Job is everything the knife does to one load, in order. The zero Job cuts
// nothing.
type Job struct {
	Name        string // the sheet's name
	Description string // free text for the file's reader
	Film        layout.Film
	Length      units.Length // of the load, along x
	Strokes     []Stroke

	// Home is where the knife stands before the first stroke.
	Home outline.Point
	// Return reports that it goes back there after the last one.
	Return bool

	// places are where each stroke might have begun, for LowerBound; nil where
	// the job was not made by Plan.
	places   [][]outline.Point
	grouping Grouping
}

// Bounds returns the box of all strokes, empty for a job without any.
func (j Job) Bounds() outline.Box {
	b := outline.EmptyBox()
	for _, s := range j.Strokes {
		b = b.Union(s.Curve.Bounds())
	}
	return b
}

// CutLength returns the length of everything the knife cuts, overcut included
// once [Job.For] has added it.
func (j Job) CutLength() units.Length {
	var sum float64
	for _, s := range j.Strokes {
		sum += curveLength(s.Curve)
	}
	return units.Length(sum)
}

// Travel returns the way of the lifted knife: from Home to the first stroke,
// from each to the next, and back if Return is set.
func (j Job) Travel() units.Length {
	var sum float64
	at := j.Home
	for _, s := range j.Strokes {
		sum += at.Distance(s.Curve.Start)
		at = s.Curve.End()
	}
	if j.Return && len(j.Strokes) > 0 {
		sum += at.Distance(j.Home)
	}
	return units.Length(sum)
}

// Lifts returns how often the knife is lifted: once after every stroke, except
// where the next one starts exactly where it ends.
func (j Job) Lifts() int {
	n := 0
	for i, s := range j.Strokes {
		if i+1 == len(j.Strokes) || j.Strokes[i+1].Curve.Start != s.Curve.End() {
			n++
		}
	}
	return n
}
