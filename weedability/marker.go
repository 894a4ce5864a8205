package weedability

import (
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
)

// MarkerShape tells markers on a proof apart without colour, and in the same
// way as the letter of their label.
type MarkerShape uint8

// The shapes of markers.
const (
	MarkCircle   MarkerShape = iota // C: a counter to pick
	MarkSquare                      // I: an island, a separate piece of film
	MarkTriangle                    // S: a thin stroke
	MarkDiamond                     // G: a narrow gap
	MarkPentagon                    // T: a sharp tip
	MarkHexagon                     // N: a neck of waste that tears
	MarkFlag                        // L: a weed line
)

var markerNames = [...]string{MarkCircle: "circle", MarkSquare: "square", MarkTriangle: "triangle", MarkDiamond: "diamond",
	MarkPentagon: "pentagon", MarkHexagon: "hexagon", MarkFlag: "flag"}

// String returns the shape's name.
func (s MarkerShape) String() string {
	if int(s) < len(markerNames) {
		return markerNames[s]
	}
	return fmt.Sprintf("unknown marker %d", s)
}

// Marker is a place to mark on a proof, and its line in the table that goes with it.
type Marker struct {
	Label string // letter of the shape and number, such as "S3"
	Shape MarkerShape
	At    outline.Point   // millimetres, in the decal's coordinates
	Lines []outline.Curve // what to draw besides: a centre line, a neck, a weed line
	Alert bool            // whether a limit is broken
	Text  string          // the line of the table
}

// Markers returns what a proof of the decal shows: counters and islands, then
// findings, then the given weed lines. Labels are those of the report's lists,
// and the same in its JSON.
func (r Report) Markers(lines []WeedLine) []Marker {
	out := []Marker{}
	counters, islands := map[int]bool{}, map[int]bool{}
	for _, f := range r.Findings {
		switch f.Kind {
		case CounterSmall:
			counters[f.Number] = true
		case IslandArea, IslandNarrow:
			islands[f.Number] = true
		}
	}
	for _, c := range r.Counters {
		text := fmt.Sprintf("counter, %.1f mm wide, %.1f mm2", c.Width, c.Area)
		if !c.Pickable {
			text += ", too narrow for a pick tool"
		}
		out = append(out, Marker{Label: c.Label(), Shape: MarkCircle, At: c.At, Alert: counters[c.Number], Text: withOf(text, c.Of)})
	}
	for _, i := range r.Islands {
		text := fmt.Sprintf("piece of film, %.1f mm wide, %.1f mm2, lifting %s", i.Width, i.Area, i.Lift)
		out = append(out, Marker{Label: i.Label(), Shape: MarkSquare, At: i.At, Alert: islands[i.Number], Text: withOf(text, i.Of)})
	}
	for _, f := range r.Findings {
		shape := MarkTriangle
		switch f.Kind {
		case GapNarrow:
			shape = MarkDiamond
		case TipSharp:
			shape = MarkPentagon
		case WasteNeck:
			shape = MarkHexagon
		case CounterSmall, IslandArea, IslandNarrow:
			continue // marked above
		}
		text := fmt.Sprintf("%s, %.2f mm where %.2f mm is asked: %s; %s", f.Kind, f.Value, f.Limit, f.Severity, f.Remedy)
		out = append(out, Marker{Label: f.Label, Shape: shape, At: f.At, Lines: f.Outline, Alert: true, Text: withOf(text, f.Of)})
	}
	for k, l := range lines {
		at := l.Curve.Start
		if points := l.Curve.Flatten(nil, 0); len(points) > 1 {
			at = points[0].Lerp(points[1], weedLabelShare)
		}
		out = append(out, Marker{Label: fmt.Sprintf("L%d", k+1), Shape: MarkFlag, At: at, Lines: []outline.Curve{l.Curve}, Text: "weed line: " + l.Benefit()})
	}
	return out
}

// weedLabelShare is where along its first piece a weed line carries its label:
// near the border, where there is no artwork.
const weedLabelShare = 0.05

func withOf(text, of string) string {
	if of == "" {
		return text
	}
	return text + " (" + of + ")"
}

// Label returns the counter's label on a proof, such as "C2".
func (c Counter) Label() string { return fmt.Sprintf("C%d", c.Number) }

// Label returns the island's label on a proof, such as "I2".
func (i Island) Label() string { return fmt.Sprintf("I%d", i.Number) }

// label numbers the findings, in their order, for the proof.
func (in *inspection) label() {
	letters := map[Kind]string{StrokeThin: "S", GapNarrow: "G", TipSharp: "T", WasteNeck: "N"}
	count := map[Kind]int{}
	for i := range in.out.Findings {
		f := &in.out.Findings[i]
		switch f.Kind {
		case CounterSmall:
			f.Label = Counter{Number: f.Number}.Label()
		case IslandArea, IslandNarrow:
			f.Label = Island{Number: f.Number}.Label()
		default:
			count[f.Kind]++
			f.Label = fmt.Sprintf("%s%d", letters[f.Kind], count[f.Kind])
		}
	}
}
