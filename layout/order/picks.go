package order

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// Pick is a counter that is picked out of a load by hand.
type Pick struct {
	Number  int           // from 1, in the order of picking; the number on the job sheet's picture
	Decal   int           // index of the sheet's decals
	At      outline.Point // millimetres on the sheet, centre of the counter's largest inscribed circle
	Counter weedability.Counter
}

// Picks returns the counters of the load with the given index, numbered in a
// short walk over it: from the load's start decal by decal to the nearest one
// not yet picked, and within a decal in the order of its report, forwards or
// backwards.
func (r *Result) Picks(load int) []Pick {
	if load < 0 || load >= len(r.Loads) {
		return nil
	}
	l := r.Loads[load]
	groups := make([][]Pick, 0, len(l.Placed))
	for k, p := range l.Placed {
		var group []Pick
		place := p.transform()
		for _, c := range r.Designs[p.Design].Report.Counters {
			group = append(group, Pick{Decal: k, At: place.Apply(c.At), Counter: c})
		}
		if len(group) > 0 {
			groups = append(groups, group)
		}
	}
	out := []Pick{}
	at := outline.Pt(0, float64(l.Sheet.Film.Width))
	for len(groups) > 0 {
		best, backwards, least := 0, false, math.Inf(1)
		for i, g := range groups {
			if d := g[0].At.Distance(at); d < least {
				best, backwards, least = i, false, d
			}
			if d := g[len(g)-1].At.Distance(at); d < least {
				best, backwards, least = i, true, d
			}
		}
		g := groups[best]
		groups = slices.Delete(groups, best, best+1)
		if backwards {
			slices.Reverse(g)
		}
		out = append(out, g...)
		at = g[len(g)-1].At
	}
	for i := range out {
		out[i].Number = i + 1
	}
	return out
}

// what names the counter: its letter and word, or the art, without the design's name.
func (p Pick) what(d Design) string {
	what, _, _ := strings.Cut(p.Counter.Of, " in "+d.Letter+" ")
	if what == "" || what == d.Letter+" "+d.Name {
		return "counter"
	}
	return what
}

// samePicks returns the first load of those before the given one whose decals
// lie at the same places, so that its picks have the same numbers; -1: none.
func (r *Result) samePicks(load int) int {
	return slices.IndexFunc(r.Loads[:load], func(l Load) bool { return samePlaces(l, r.Loads[load]) })
}

// PickReport is one pick in the report.
type PickReport struct {
	Number   int     `json:"number"`
	Decal    string  `json:"decal"` // its id
	XMM      float64 `json:"x_mm"`  // on the sheet
	YMM      float64 `json:"y_mm"`
	WidthMM  float64 `json:"width_mm"` // diameter of its largest inscribed circle
	AreaMM2  float64 `json:"area_mm2"`
	Of       string  `json:"of"`       // such as "the A of MARLOW"
	Pickable bool    `json:"pickable"` // whether it is wide enough for a pick tool
}

func (r *Result) pickReports(load int) []PickReport {
	out := []PickReport{}
	for _, p := range r.Picks(load) {
		c := p.Counter
		out = append(out, PickReport{p.Number, r.Loads[load].Sheet.Decals[p.Decal].ID, figure(p.At.X), figure(p.At.Y), figure(c.Width), figure(c.Area),
			p.what(r.Designs[r.Loads[load].Placed[p.Decal].Design]), c.Pickable})
	}
	return out
}

// label is the pick's number on a picture.
func (p Pick) label() string { return fmt.Sprint(p.Number) }
