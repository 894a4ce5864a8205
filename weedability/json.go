package weedability

import (
	"encoding/json"
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// figureSteps is how many steps a millimetre has in JSON: a nanometre, so that
// figures look like figures and do not differ between processors.
const figureSteps = 1e6

// figure rounds for JSON, which also cannot hold infinity or NaN.
func figure(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return math.Round(v*figureSteps) / figureSteps
}

// MarshalJSON writes the report with lengths in millimetres under names that
// end in _mm, areas in _mm2; a finding's value and limit have its unit.
func (r Report) MarshalJSON() ([]byte, error) {
	counters, islands, findings := r.Counters, r.Islands, r.Findings
	if counters == nil {
		counters = []Counter{}
	}
	if islands == nil {
		islands = []Island{}
	}
	if findings == nil {
		findings = []Finding{}
	}
	return json.Marshal(struct {
		Film     string    `json:"film"`
		Counters []Counter `json:"counters"`
		Islands  []Island  `json:"islands"`
		Findings []Finding `json:"findings"`
		Scale    float64   `json:"smallest_safe_scale"`
		Minutes  float64   `json:"weed_minutes"`
		Waste    Waste     `json:"waste"`
		Pull     Pull      `json:"pull"`
	}{r.Film, counters, islands, findings, figure(r.SmallestSafeScale), figure(r.WeedMinutes), r.Waste, r.Pull})
}

// MarshalJSON writes the counter as an element of a report's "counters".
func (c Counter) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Label    string  `json:"label"`
		X        float64 `json:"x_mm"`
		Y        float64 `json:"y_mm"`
		Area     float64 `json:"area_mm2"`
		Width    float64 `json:"width_mm"`
		Pickable bool    `json:"pickable"`
		Islands  int     `json:"islands"`
		Of       string  `json:"of"`
	}{c.Label(), figure(c.At.X), figure(c.At.Y), figure(c.Area), figure(c.Width), c.Pickable, c.Islands, c.Of})
}

// MarshalJSON writes the island as an element of a report's "islands".
func (i Island) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Label    string  `json:"label"`
		X        float64 `json:"x_mm"`
		Y        float64 `json:"y_mm"`
		Area     float64 `json:"area_mm2"`
		Width    float64 `json:"width_mm"`
		Lift     Lift    `json:"lift"`
		Counters int     `json:"counters"`
		Inside   bool    `json:"inside_counter"`
		Of       string  `json:"of"`
	}{i.Label(), figure(i.At.X), figure(i.At.Y), figure(i.Area), figure(i.Width), i.Lift, i.Counters, i.Inside, i.Of})
}

// MarshalJSON writes the finding as an element of a report's "findings".
func (f Finding) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
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
		Scale    float64    `json:"safe_scale,omitempty"`
		Outline  [][]jsonXY `json:"outline_mm,omitempty"`
	}{f.Kind, f.Severity, figure(f.At.X), figure(f.At.Y), figure(f.Value), figure(f.Limit), f.Unit, f.Source, f.Of, f.Remedy,
		figure(f.Length), figure(f.Degrees), f.Label, figure(f.SafeScale), jsonLines(f.Outline)})
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

// MarshalJSON writes the sheet as a report's "waste".
func (w Waste) MarshalJSON() ([]byte, error) {
	necks := w.Necks
	if necks == nil {
		necks = []Neck{}
	}
	return json.Marshal(struct {
		Border [4]float64 `json:"border_mm"` // least x and y, greatest x and y
		Area   float64    `json:"area_mm2"`
		Pieces int        `json:"pieces"`
		Necks  []Neck     `json:"necks"` // in the order in which they would tear
	}{[4]float64{figure(w.Border.Min.X), figure(w.Border.Min.Y), figure(w.Border.Max.X), figure(w.Border.Max.Y)}, figure(w.Area), w.Pieces, necks})
}

// MarshalJSON writes the neck as an element of a waste sheet's "necks".
func (n Neck) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		X       float64 `json:"x_mm"`
		Y       float64 `json:"y_mm"`
		Width   float64 `json:"width_mm"`
		Loose   float64 `json:"loose_mm2"`
		LooseX  float64 `json:"loose_x_mm"`
		LooseY  float64 `json:"loose_y_mm"`
		Counter bool    `json:"in_counter"`
		Of      string  `json:"of"`
	}{figure(n.At.X), figure(n.At.Y), figure(n.Width), figure(n.Loose), figure(n.LooseAt.X), figure(n.LooseAt.Y), n.Counter, n.Of})
}

// MarshalJSON writes the pull as a report's "pull".
func (p Pull) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		X       float64 `json:"from_x_mm"`
		Y       float64 `json:"from_y_mm"`
		Degrees float64 `json:"direction_deg"`
		Tips    int     `json:"tips_end_first"`
	}{figure(p.From.X), figure(p.From.Y), figure(p.Degrees), p.Tips})
}

// MarshalJSON writes the line with its points.
func (l WeedLine) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Points    []jsonXY `json:"points_mm"`
		Clearance float64  `json:"clearance_mm"`
		Before    int      `json:"pieces"`
		First     int      `json:"left"`
		Second    int      `json:"right"`
		Necks     int      `json:"necks"`
		Benefit   string   `json:"benefit"`
	}{jsonLines([]outline.Curve{l.Curve})[0], figure(l.Clearance), l.Before, l.First, l.Second, l.Necks, l.Benefit()})
}
