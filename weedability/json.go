package weedability

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// figureSteps is how many steps a millimetre has in JSON: a nanometre, so that
// figures look like figures and do not differ between processors.
const figureSteps = 1e6

// wholeFigures is the size of a figure beyond which a float64 has no more digits than
// figureSteps asks for.
const wholeFigures = 1 << 33

// figure rounds for JSON, which also cannot hold infinity or NaN.
func figure(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	if math.Abs(v) > wholeFigures {
		return v
	}
	return math.Round(v*figureSteps) / figureSteps
}

// readJSON reads data as one of the types below and hands it over.
func readJSON[J any](what string, data []byte, take func(J)) error {
	var j J
	if err := json.Unmarshal(data, &j); err != nil {
		return &LimitsError{Field: what, Cause: fmt.Errorf("%w: %w", ErrFormat, err), Fix: "give what MarshalJSON of the " + what + " writes"}
	}
	take(j)
	return nil
}

// list returns a list that is not nil, which JSON would write as null.
func list[T any](of []T) []T {
	if of == nil {
		return []T{}
	}
	return of
}

type jsonReport struct {
	Film     string     `json:"film"`
	Counters []Counter  `json:"counters"`
	Islands  []Island   `json:"islands"`
	Findings []Finding  `json:"findings"`
	Minutes  float64    `json:"weed_minutes"`
	Work     Work       `json:"work"`
	Waste    Waste      `json:"waste"`
	Pull     Pull       `json:"pull"`
	Lines    []WeedLine `json:"weed_lines"`
}

// MarshalJSON writes the report with lengths in millimetres under names that
// end in _mm, areas in _mm2, both to a nanometre; a finding's value and limit have
// its unit. The fields are film, counters, islands, findings, weed_minutes, work,
// waste, pull and weed_lines.
func (r Report) MarshalJSON() ([]byte, error) {
	work := r.Work
	work.PerimeterMM = figure(work.PerimeterMM)
	return json.Marshal(jsonReport{r.Film, list(r.Counters), list(r.Islands), list(r.Findings), figure(r.WeedMinutes),
		work, r.Waste, r.Pull, list(r.WeedLines)})
}

// UnmarshalJSON reads what MarshalJSON writes. Outlines come back as the polylines
// that were written. Fields that it does not know are passed over.
func (r *Report) UnmarshalJSON(data []byte) error {
	return readJSON("report", data, func(j jsonReport) {
		*r = Report{Film: j.Film, Counters: list(j.Counters), Islands: list(j.Islands), Findings: list(j.Findings),
			WeedMinutes: j.Minutes, Work: j.Work, Waste: j.Waste, Pull: j.Pull, WeedLines: list(j.Lines)}
		r.Waste.Necks = list(r.Waste.Necks)
	})
}

type jsonCounter struct {
	Label    string  `json:"label"`
	Number   int     `json:"number"`
	X        float64 `json:"x_mm"`
	Y        float64 `json:"y_mm"`
	Area     float64 `json:"area_mm2"`
	Width    float64 `json:"width_mm"`
	Pickable bool    `json:"pickable"`
	Islands  int     `json:"islands"`
	Contour  int     `json:"contour"`
	Of       string  `json:"of"`
}

// MarshalJSON writes the counter as an element of a report's "counters": label,
// number, x_mm, y_mm, area_mm2, width_mm, pickable, islands, contour, of.
func (c Counter) MarshalJSON() ([]byte, error) {
	return json.Marshal(jsonCounter{c.Label(), c.Number, figure(c.At.X), figure(c.At.Y), figure(c.Area), figure(c.Width), c.Pickable, c.Islands, c.Contour, c.Of})
}

// UnmarshalJSON reads what MarshalJSON writes; the label follows from the number.
func (c *Counter) UnmarshalJSON(data []byte) error {
	return readJSON("counter", data, func(j jsonCounter) {
		*c = Counter{Number: j.Number, At: outline.Pt(j.X, j.Y), Area: j.Area, Width: j.Width, Pickable: j.Pickable, Islands: j.Islands, Contour: j.Contour, Of: j.Of}
	})
}

type jsonIsland struct {
	Label    string  `json:"label"`
	Number   int     `json:"number"`
	X        float64 `json:"x_mm"`
	Y        float64 `json:"y_mm"`
	Area     float64 `json:"area_mm2"`
	Width    float64 `json:"width_mm"`
	Lift     Lift    `json:"lift"`
	Counters int     `json:"counters"`
	Inside   bool    `json:"inside_counter"`
	Contour  int     `json:"contour"`
	Of       string  `json:"of"`
}

// MarshalJSON writes the island as an element of a report's "islands": label,
// number, x_mm, y_mm, area_mm2, width_mm, lift, counters, inside_counter, contour, of.
func (i Island) MarshalJSON() ([]byte, error) {
	return json.Marshal(jsonIsland{i.Label(), i.Number, figure(i.At.X), figure(i.At.Y), figure(i.Area), figure(i.Width), i.Lift, i.Counters, i.Inside, i.Contour, i.Of})
}

// UnmarshalJSON reads what MarshalJSON writes; the label follows from the number.
func (i *Island) UnmarshalJSON(data []byte) error {
	return readJSON("island", data, func(j jsonIsland) {
		*i = Island{Number: j.Number, At: outline.Pt(j.X, j.Y), Area: j.Area, Width: j.Width, Lift: j.Lift, Contour: j.Contour, Counters: j.Counters, Inside: j.Inside, Of: j.Of}
	})
}

type jsonFinding struct {
	Kind     Kind       `json:"kind"`
	Severity Severity   `json:"severity"`
	X        float64    `json:"x_mm"`
	Y        float64    `json:"y_mm"`
	Value    float64    `json:"value"`
	Limit    float64    `json:"limit"`
	Unit     string     `json:"unit"`
	Source   string     `json:"source"`
	Of       string     `json:"of"`
	Remedy   string     `json:"remedy"`
	Length   float64    `json:"length_mm,omitempty"`
	Degrees  float64    `json:"angle_deg,omitempty"`
	Label    string     `json:"label"`
	Number   int        `json:"number,omitempty"`
	Scale    float64    `json:"safe_scale,omitempty"`
	Outline  [][]jsonXY `json:"outline_mm,omitempty"`
}

// MarshalJSON writes the finding as an element of a report's "findings": kind,
// severity, x_mm, y_mm, value, limit, unit, source, of, remedy and label, and
// where there is one length_mm, angle_deg, number, safe_scale and outline_mm, a list of
// lists of points.
func (f Finding) MarshalJSON() ([]byte, error) {
	return json.Marshal(jsonFinding{f.Kind, f.Severity, figure(f.At.X), figure(f.At.Y), figure(f.Value), figure(f.Limit), f.Unit, f.Source, f.Of, f.Remedy,
		figure(f.Length), figure(f.Degrees), f.Label, f.Number, figure(f.SafeScale), jsonLines(f.Outline)})
}

// UnmarshalJSON reads what MarshalJSON writes; outlines come back as polylines.
func (f *Finding) UnmarshalJSON(data []byte) error {
	return readJSON("finding", data, func(j jsonFinding) {
		*f = Finding{Kind: j.Kind, Severity: j.Severity, At: outline.Pt(j.X, j.Y), Value: j.Value, Limit: j.Limit, Unit: j.Unit, Source: j.Source,
			Of: j.Of, Remedy: j.Remedy, Outline: curves(j.Outline), Length: j.Length, Degrees: j.Degrees, Number: j.Number, Label: j.Label, SafeScale: j.Scale}
	})
}

// jsonXY is a point as a pair of millimetres.
type jsonXY [2]float64

// jsonLines flattens curves to lists of points.
func jsonLines(curves []outline.Curve) [][]jsonXY {
	var lines [][]jsonXY
	for _, c := range curves {
		var line []jsonXY
		for _, q := range c.Flatten(nil, 0) {
			line = append(line, jsonXY{figure(q.X), figure(q.Y)})
		}
		lines = append(lines, line)
	}
	return lines
}

// curves makes polylines of lists of points.
func curves(lines [][]jsonXY) []outline.Curve {
	var out []outline.Curve
	for _, line := range lines {
		var points []outline.Point
		for _, q := range line {
			points = append(points, outline.Pt(q[0], q[1]))
		}
		out = append(out, outline.Polyline(points...))
	}
	return out
}

type jsonWaste struct {
	Border [4]float64 `json:"border_mm"` // least x and y, greatest x and y
	Area   float64    `json:"area_mm2"`
	Pieces int        `json:"pieces"`
	Necks  []Neck     `json:"necks"`
}

// MarshalJSON writes the sheet as a report's "waste": border_mm (least x and y,
// greatest x and y), area_mm2, pieces, and necks in the order in which they would tear.
func (w Waste) MarshalJSON() ([]byte, error) {
	return json.Marshal(jsonWaste{[4]float64{figure(w.Border.Min.X), figure(w.Border.Min.Y), figure(w.Border.Max.X), figure(w.Border.Max.Y)}, figure(w.Area), w.Pieces, list(w.Necks)})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (w *Waste) UnmarshalJSON(data []byte) error {
	return readJSON("waste", data, func(j jsonWaste) {
		b := outline.Box{Min: outline.Pt(j.Border[0], j.Border[1]), Max: outline.Pt(j.Border[2], j.Border[3])}
		*w = Waste{Border: b, Area: j.Area, Pieces: j.Pieces, Necks: list(j.Necks)}
	})
}

type jsonNeck struct {
	X       float64   `json:"x_mm"`
	Y       float64   `json:"y_mm"`
	Ends    [2]jsonXY `json:"ends_mm"`
	Width   float64   `json:"width_mm"`
	Loose   float64   `json:"loose_mm2"`
	LooseX  float64   `json:"loose_x_mm"`
	LooseY  float64   `json:"loose_y_mm"`
	Counter bool      `json:"in_counter"`
	Of      string    `json:"of"`
}

// MarshalJSON writes the neck as an element of a waste sheet's "necks": x_mm,
// y_mm, ends_mm (on the two cuts it lies between), width_mm, loose_mm2, loose_x_mm,
// loose_y_mm, in_counter, of.
func (n Neck) MarshalJSON() ([]byte, error) {
	ends := [2]jsonXY{{figure(n.From.X), figure(n.From.Y)}, {figure(n.To.X), figure(n.To.Y)}}
	return json.Marshal(jsonNeck{figure(n.At.X), figure(n.At.Y), ends, figure(n.Width), figure(n.Loose), figure(n.LooseAt.X), figure(n.LooseAt.Y), n.Counter, n.Of})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (n *Neck) UnmarshalJSON(data []byte) error {
	return readJSON("neck", data, func(j jsonNeck) {
		*n = Neck{At: outline.Pt(j.X, j.Y), From: outline.Pt(j.Ends[0][0], j.Ends[0][1]), To: outline.Pt(j.Ends[1][0], j.Ends[1][1]), Width: j.Width,
			Loose: j.Loose, LooseAt: outline.Pt(j.LooseX, j.LooseY), Counter: j.Counter, Of: j.Of}
	})
}

type jsonPull struct {
	X       float64 `json:"from_x_mm"`
	Y       float64 `json:"from_y_mm"`
	Degrees float64 `json:"direction_deg"`
	Tips    int     `json:"tips_end_first"`
}

// MarshalJSON writes the pull as a report's "pull": from_x_mm, from_y_mm,
// direction_deg, tips_end_first.
func (p Pull) MarshalJSON() ([]byte, error) {
	return json.Marshal(jsonPull{figure(p.From.X), figure(p.From.Y), figure(p.Degrees), p.Tips})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (p *Pull) UnmarshalJSON(data []byte) error {
	return readJSON("pull", data, func(j jsonPull) {
		*p = Pull{From: outline.Pt(j.X, j.Y), Degrees: j.Degrees, Tips: j.Tips}
	})
}

type jsonWeedLine struct {
	Points    []jsonXY `json:"points_mm"`
	Clearance float64  `json:"clearance_mm"`
	Before    int      `json:"pieces"`
	First     int      `json:"left"`
	Second    int      `json:"right"`
	Necks     int      `json:"necks"`
	Benefit   string   `json:"benefit"`
}

// MarshalJSON writes the line as an element of a report's "weed_lines": points_mm,
// clearance_mm, pieces, left, right, necks, benefit.
func (l WeedLine) MarshalJSON() ([]byte, error) {
	return json.Marshal(jsonWeedLine{list(jsonLines([]outline.Curve{l.Curve})[0]), figure(l.Clearance), l.Before, l.First, l.Second, l.Necks, l.Benefit()})
}

// UnmarshalJSON reads what MarshalJSON writes; the benefit follows from the rest.
func (l *WeedLine) UnmarshalJSON(data []byte) error {
	return readJSON("weed line", data, func(j jsonWeedLine) {
		*l = WeedLine{Clearance: j.Clearance, Before: j.Before, First: j.First, Second: j.Second, Necks: j.Necks}
		if len(j.Points) > 0 {
			l.Curve = curves([][]jsonXY{j.Points})[0]
		}
	})
}

type jsonChange struct {
	Kind   Kind    `json:"kind"`
	Done   string  `json:"done"`
	X      float64 `json:"x_mm"`
	Y      float64 `json:"y_mm"`
	Before float64 `json:"before"`
	After  float64 `json:"after"`
	Unit   string  `json:"unit"`
	Of     string  `json:"of"`
}

// MarshalJSON writes the change in the manner of a finding: kind, done, x_mm,
// y_mm, before, after, unit, of.
func (c Change) MarshalJSON() ([]byte, error) {
	return json.Marshal(jsonChange{c.Kind, c.Done, figure(c.At.X), figure(c.At.Y), figure(c.Before), figure(c.After), c.Unit, c.Of})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (c *Change) UnmarshalJSON(data []byte) error {
	return readJSON("change", data, func(j jsonChange) {
		*c = Change{Kind: j.Kind, Done: j.Done, At: outline.Pt(j.X, j.Y), Before: j.Before, After: j.After, Unit: j.Unit, Of: j.Of}
	})
}
