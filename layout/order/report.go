package order

import (
	"fmt"
	"math"
)

// Report is the figures of an order, written as report.json. Lengths are
// millimetres; x runs along the film, y across it, y up.
type Report struct {
	Title        string         `json:"title"`
	FilmWidthMM  float64        `json:"film_width_mm"`
	GapMM        float64        `json:"gap_mm"`
	EdgeMarginMM float64        `json:"edge_margin_mm"`
	FilmLengthMM float64        `json:"film_length_mm"` // of all loads
	Counters     int            `json:"counters"`       // to pick out, in all decals
	Findings     []Finding      `json:"findings"`       // below a limit, once a design
	Seconds      float64        `json:"seconds"`        // the machine's, all loads
	WeedMinutes  float64        `json:"weed_minutes"`   // estimate, all decals
	Designs      []DesignReport `json:"designs"`
	Loads        []LoadReport   `json:"loads"`
	Notes        []string       `json:"notes"` // what somebody should look at
}

// Finding is something about a design that breaks a limit of the film.
type Finding struct {
	Design   string  `json:"design"`
	Kind     string  `json:"kind"`
	Severity string  `json:"severity"`
	XMM      float64 `json:"x_mm"` // in the design, from the lower left corner of its box
	YMM      float64 `json:"y_mm"`
	Value    float64 `json:"value"`
	Limit    float64 `json:"limit"`
	Unit     string  `json:"unit"` // of value and limit: mm or mm2
	Source   string  `json:"source"`
	Of       string  `json:"of"` // what it is part of, such as "the A of MARLOW"
	Decals   int     `json:"decals"`
}

// DesignReport is the figures of one design.
type DesignReport struct {
	Letter      string             `json:"letter"`
	Design      string             `json:"design"`
	Words       map[string]string  `json:"words"`
	CapHeightMM map[string]float64 `json:"cap_height_mm"`
	Film        string             `json:"film"`
	For         string             `json:"for,omitempty"`
	First       int                `json:"first"` // number of its first decal
	Copies      int                `json:"copies"`
	Spares      int                `json:"spares,omitempty"` // of the copies
	WidthMM     float64            `json:"width_mm"`
	HeightMM    float64            `json:"height_mm"`
	Counters    int                `json:"counters"`
	Islands     int                `json:"islands"`
	Nodes       int                `json:"nodes"`
	WeedMinutes float64            `json:"weed_minutes"`
	// SmallestSafeScale is Design.SafeScale, to 0.1 %; 1 or less: it breaks no limit that size can
	// cure. It is absent where it is 0.
	SmallestSafeScale float64        `json:"smallest_safe_scale,omitempty"`
	Changes           []ChangeReport `json:"changes"` // what Order.Mend did
	// Reading says from how far each slot's words can be read; Across how the
	// design goes across each of the order's films.
	Reading map[string]ReadingReport `json:"reading"`
	Across  []AcrossReport           `json:"across"`
}

// ChangeReport is one place that was mended.
type ChangeReport struct {
	Kind   string  `json:"kind"` // of the finding that is gone
	Done   string  `json:"done"` // such as "widened"
	XMM    float64 `json:"x_mm"` // in the design, about; see Finding
	YMM    float64 `json:"y_mm"`
	Before float64 `json:"before"`
	After  float64 `json:"after"` // 0: the thing is gone
	Unit   string  `json:"unit"`  // mm or mm2
	Of     string  `json:"of"`
}

// LoadReport is the figures of one load.
type LoadReport struct {
	Name         string  `json:"name"` // the file stem
	Film         string  `json:"film"`
	Roll         int     `json:"roll,omitempty"`     // from 1, of the film's rolls
	Leftover     string  `json:"leftover,omitempty"` // cut from this instead of the roll
	SameAs       string  `json:"same_as,omitempty"`  // cut that load's file again
	Rest         string  `json:"rest,omitempty"`     // what of it is worth keeping
	LengthMM     float64 `json:"length_mm"`
	UsedFraction float64 `json:"used_fraction"` // film that stays as decals, 0 to 1
	CutLengthMM  float64 `json:"cut_length_mm"` // everything the file cuts
	// SmallestGapMM is a distance that no two decals come closer than, right
	// to 0.02 mm; absent in a load of one decal.
	SmallestGapMM *float64 `json:"smallest_gap_mm,omitempty"`
	// SmallestEdgeDistanceMM is from the outermost cut, border included, to the
	// film's long edges.
	SmallestEdgeDistanceMM float64       `json:"smallest_edge_distance_mm"`
	Seconds                float64       `json:"seconds"`
	Counters               int           `json:"counters"`
	WeedMinutes            float64       `json:"weed_minutes"`
	Decals                 []DecalReport `json:"decals"`
	Picks                  []PickReport  `json:"picks"` // counters in the order of picking
	Tape                   []TapeReport  `json:"tape"`
}

// DecalReport is the place of one decal: its box on the sheet.
type DecalReport struct {
	ID          string  `json:"id"`
	Design      string  `json:"design"`
	Copy        int     `json:"copy"`
	For         string  `json:"for,omitempty"`
	Spare       bool    `json:"spare,omitempty"`
	XMM         float64 `json:"x_mm"`
	YMM         float64 `json:"y_mm"`
	WidthMM     float64 `json:"width_mm"`
	HeightMM    float64 `json:"height_mm"`
	RotationDeg float64 `json:"rotation_deg"`
	Mirrored    bool    `json:"mirrored"`
}

// reportSteps is how many steps a millimetre has in the report, whose figures are rounded to a
// nanometre so that they look like figures and add up.
const reportSteps = 1e6

func figure(v float64) float64 { return math.Round(v*reportSteps) / reportSteps }

// cut returns how many decals of a design are in the loads: all, but where only
// a part of an order is cut again.
func (r *Result) cut(design int) int {
	n := 0
	for _, l := range r.Loads {
		for _, p := range l.Placed {
			if p.Design == design {
				n++
			}
		}
	}
	return n
}

func (r *Result) report() (Report, error) {
	o := r.Order
	out := Report{
		Title:       o.Title,
		FilmWidthMM: figure(float64(o.Film.Width)), GapMM: figure(float64(o.Gap)), EdgeMarginMM: figure(float64(o.EdgeMargin)),
		Findings: []Finding{}, Designs: []DesignReport{}, Loads: []LoadReport{}, Notes: append([]string{}, r.notes...),
	}
	mended := 0
	var cut []Design
	for i, d := range r.Designs {
		if r.prefix != "" && r.cut(i) == 0 {
			continue
		}
		out.addDesign(o, d)
		cut = append(cut, d)
		if len(d.Changes) > 0 {
			mended++
		}
	}
	out.Notes = append(out.Notes, notes(cut)...)
	if mended > 0 {
		out.Notes = append(out.Notes, fmt.Sprintf("%d of %d designs were mended so that they can be cut: have the customer look at approval.html", mended, len(r.Designs)))
	}
	for i, l := range r.Loads {
		lr := r.loadReport(l)
		lr.Picks = r.pickReports(i)
		var err error
		if lr.Tape, err = r.tapeOf(l); err != nil {
			return out, err
		}
		if beyondClassic(l.Job) {
			out.Notes = append(out.Notes, fmt.Sprintf("%s reaches beyond 819 mm: its .plt is for machines that take coordinates above 32767; for others bound the loads with max_load", l.Sheet.Name))
		}
		out.Counters += lr.Counters
		out.WeedMinutes += lr.WeedMinutes
		if l.Leftover == "" {
			out.FilmLengthMM += float64(l.Sheet.Length)
		}
		out.Seconds += l.Cut.Seconds()
		out.Loads = append(out.Loads, lr)
	}
	out.FilmLengthMM = figure(out.FilmLengthMM)
	out.Seconds, out.WeedMinutes = figure(out.Seconds), figure(out.WeedMinutes)
	return out, nil
}

func (out *Report) addDesign(o Order, d Design) {
	b := d.Path.Bounds()
	dr := DesignReport{
		Letter: d.Letter, Design: d.Name, Film: d.Film.Name, For: d.Item.For, First: d.First, Copies: d.Copies, Spares: d.Spares,
		Words: map[string]string{}, CapHeightMM: map[string]float64{},
		WidthMM: figure(b.Width()), HeightMM: figure(b.Height()),
		Counters: len(d.Report.Counters), Islands: len(d.Report.Islands), Nodes: d.Path.Nodes(),
		WeedMinutes: figure(d.Report.WeedMinutes), SmallestSafeScale: figure(d.SafeScale), Changes: []ChangeReport{},
		Reading: map[string]ReadingReport{}, Across: o.across(d),
	}
	for _, c := range d.Changes {
		dr.Changes = append(dr.Changes, ChangeReport{c.Kind.String(), c.Done, figure(c.At.X), figure(c.At.Y), figure(c.Before), figure(c.After), c.Unit, c.Of})
	}
	for _, w := range d.Filled.Words {
		dr.Words[w.Slot] = w.Text
		dr.Reading[w.Slot] = reading(w)
		dr.CapHeightMM[w.Slot] = figure(float64(w.CapHeight))
	}
	out.Designs = append(out.Designs, dr)
	for _, f := range d.Report.Findings {
		out.Findings = append(out.Findings, Finding{
			Design: d.Letter + " " + d.Name, Kind: f.Kind.String(), Severity: f.Severity.String(),
			XMM: figure(f.At.X), YMM: figure(f.At.Y), Value: figure(f.Value), Limit: figure(f.Limit), Unit: f.Unit,
			Source: f.Source, Of: f.Of, Decals: d.Copies,
		})
	}
}

func (r *Result) loadReport(l Load) LoadReport {
	s := l.Sheet
	lr := LoadReport{
		Name: s.Name, Film: s.Film.Name, Roll: l.Roll, Leftover: l.Leftover,
		LengthMM: figure(float64(s.Length)), UsedFraction: figure(s.UsedFraction()),
		CutLengthMM: figure(float64(l.Job.CutLength())), SmallestEdgeDistanceMM: figure(float64(l.Edge)),
		Seconds: figure(l.Cut.Seconds()), Decals: []DecalReport{},
	}
	if l.SameAs >= 0 {
		lr.SameAs = r.Loads[l.SameAs].Sheet.Name
	}
	if l.Gap.IsFinite() {
		v := figure(float64(l.Gap))
		lr.SmallestGapMM = &v
	}
	if l.Rest != nil {
		lr.Rest = l.Rest.Name
	}
	for k, d := range s.Decals {
		design := r.Designs[l.Placed[k].Design]
		b := d.Path.Bounds()
		lr.Counters += len(design.Report.Counters)
		lr.WeedMinutes += design.Report.WeedMinutes
		lr.Decals = append(lr.Decals, DecalReport{
			ID: d.ID, Design: d.Design, Copy: d.Copy, For: design.Item.For, Spare: l.Placed[k].Number > design.Copies-design.Spares,
			XMM: figure(b.Min.X), YMM: figure(b.Min.Y), WidthMM: figure(b.Width()), HeightMM: figure(b.Height()),
			RotationDeg: math.Round(d.Rotation.Degrees()*1e9) / 1e9, Mirrored: d.Mirrored,
		})
	}
	lr.WeedMinutes = figure(lr.WeedMinutes)
	return lr
}
