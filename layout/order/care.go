package order

import (
	"fmt"
	"math"
	"strings"

	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// kindWords say what a finding is, for the job sheet.
var kindWords = map[weedability.Kind]struct{ one, many string }{
	weedability.CounterSmall: {"counter too narrow for a pick tool", "counters too narrow for a pick tool"},
	weedability.IslandArea:   {"piece with little adhesive", "pieces with little adhesive"},
	weedability.IslandNarrow: {"narrow piece", "narrow pieces"},
	weedability.StrokeThin:   {"thin stroke", "thin strokes"},
	weedability.GapNarrow:    {"narrow gap", "narrow gaps"},
	weedability.TipSharp:     {"sharp tip", "sharp tips"},
	weedability.WasteNeck:    {"place where the waste may tear", "places where the waste may tear"},
}

// unitWord writes the unit of a finding for people.
func unitWord(unit string) string {
	if unit == "mm2" {
		return "mm²"
	}
	return unit
}

// short names what a finding is part of, without the design's name, which
// stands beside it.
func (d Design) short(of string) string {
	name := d.Letter + " " + d.Name
	of = strings.ReplaceAll(of, " in "+name, "")
	if of == "" || of == name {
		return "the art"
	}
	return strings.ReplaceAll(of, name, "the art")
}

// care tells what to take care of in a design: what should not be cut and at
// what size it could, then the milder findings kind by kind with the worst
// place of each, then its notes.
func (d Design) care() []string {
	var out []string
	if note := d.refused(); note != "" {
		out = append(out, note)
	}
	for _, k := range weedability.Kinds() {
		var worst weedability.Finding
		n := 0
		for _, f := range d.Report.Findings {
			if f.Kind != k {
				continue
			}
			if n == 0 || f.Value < worst.Value {
				worst = f
			}
			n++
		}
		if n == 0 {
			continue
		}
		words := kindWords[k].many
		if n == 1 {
			words = kindWords[k].one
		}
		out = append(out, fmt.Sprintf("%d %s, %.2f %s at %s (%s)", n, words, worst.Value, unitWord(worst.Unit), d.short(worst.Of), worst.Severity))
	}
	return append(out, d.Notes...)
}

// refused tells how many places of the design should not be cut as they are,
// and from what size on they could be; empty where there is none.
func (d Design) refused() string {
	n, scale, curable := 0, 1.0, true
	for _, f := range d.Report.Findings {
		if f.Severity == weedability.Refuse {
			n++
			curable = curable && f.SafeScale > 0
			scale = math.Max(scale, f.Limit/f.Value)
		}
	}
	if n == 0 {
		return ""
	}
	note := fmt.Sprintf("DO NOT CUT as it is: %d places are below the least the film allows", n)
	if n == 1 {
		note = "DO NOT CUT as it is: a place is below the least the film allows"
	}
	if curable && !math.IsInf(scale, 0) {
		b := d.Path.Bounds()
		// Up to the next hundredth of an inch, so that the printed size passes.
		const step = units.Inch / 100
		up := func(mm float64) string {
			return (units.Length(math.Ceil(mm*scale/float64(step))) * step).InchString()
		}
		note += fmt.Sprintf("; from %s × %s on it could be cut", up(b.Width()), up(b.Height()))
	}
	return note + `, or let the order "mend" it`
}
