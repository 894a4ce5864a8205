package order

import (
	"fmt"
	"strings"

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

// brief says the same in a line or two, for a long table of wordings: how many
// places break a limit, and the worst of the severest.
func (d Design) brief() []string {
	var out []string
	counts := map[weedability.Severity]int{}
	var worst weedability.Finding
	for _, f := range d.Report.Findings {
		if counts[f.Severity]++; worst.Limit == 0 || f.Severity > worst.Severity || f.Severity == worst.Severity && f.Value/f.Limit < worst.Value/worst.Limit {
			worst = f
		}
	}
	if worst.Limit > 0 {
		var parts []string
		for _, s := range []weedability.Severity{weedability.Refuse, weedability.Warn, weedability.Caution} {
			if n := counts[s]; n > 0 {
				parts = append(parts, fmt.Sprintf("%d %v", n, s))
			}
		}
		text := fmt.Sprintf("%s; worst: %s, %.2f %s at %s", strings.Join(parts, ", "), kindWords[worst.Kind].one, worst.Value, unitWord(worst.Unit), d.short(worst.Of))
		if counts[weedability.Refuse] > 0 {
			text = "DO NOT CUT: " + text
		}
		out = append(out, text)
	}
	return append(out, d.Notes...)
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
