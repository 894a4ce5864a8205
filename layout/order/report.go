package order

import (
	"math"

	"github.com/vinylgeom/vinyl/units"
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
	Copies      int                `json:"copies"`
	WidthMM     float64            `json:"width_mm"`
	HeightMM    float64            `json:"height_mm"`
	Counters    int                `json:"counters"`
	Islands     int                `json:"islands"`
	Nodes       int                `json:"nodes"`
	WeedMinutes float64            `json:"weed_minutes"`
}

// LoadReport is the figures of one load.
type LoadReport struct {
	Name         string  `json:"name"` // the file stem
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
	Decals                 []DecalReport `json:"decals"`
}

// DecalReport is the place of one decal: its box on the sheet.
type DecalReport struct {
	ID          string  `json:"id"`
	Design      string  `json:"design"`
	Copy        int     `json:"copy"`
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

func (r *Result) report() Report {
	o := r.Order
	out := Report{
		Title:       o.Title,
		FilmWidthMM: figure(float64(o.Film.Width)), GapMM: figure(float64(o.Gap)), EdgeMarginMM: figure(float64(o.EdgeMargin)),
		Findings: []Finding{}, Loads: []LoadReport{},
	}
	for _, d := range r.Designs {
		b := d.Path.Bounds()
		dr := DesignReport{
			Letter: d.Letter, Design: d.Name, Copies: d.Item.Copies,
			Words: map[string]string{}, CapHeightMM: map[string]float64{},
			WidthMM: figure(b.Width()), HeightMM: figure(b.Height()),
			Counters: len(d.Report.Counters), Islands: len(d.Report.Islands), Nodes: d.Path.Nodes(),
			WeedMinutes: figure(d.Report.WeedMinutes),
		}
		for _, w := range d.Filled.Words {
			dr.Words[w.Slot] = w.Text
			dr.CapHeightMM[w.Slot] = figure(float64(w.CapHeight))
		}
		out.Designs = append(out.Designs, dr)
		out.Counters += d.Item.Copies * len(d.Report.Counters)
		out.WeedMinutes += float64(d.Item.Copies) * d.Report.WeedMinutes
		for _, f := range d.Report.Findings {
			out.Findings = append(out.Findings, Finding{
				Design: d.Letter + " " + d.Name, Kind: f.Kind.String(), Severity: f.Severity.String(),
				XMM: figure(f.At.X), YMM: figure(f.At.Y), Value: figure(f.Value), Limit: figure(f.Limit), Unit: f.Unit,
				Source: f.Source, Of: f.Of, Decals: d.Item.Copies,
			})
		}
	}
	out.WeedMinutes = figure(out.WeedMinutes)
	for i, s := range r.Sheets {
		job := r.Jobs[i]
		lr := LoadReport{
			Name: s.Name, LengthMM: figure(float64(s.Length)), UsedFraction: figure(s.UsedFraction()),
			CutLengthMM:            figure(float64(job.CutLength())),
			SmallestEdgeDistanceMM: figure(float64(s.EdgeDistance())),
			Seconds:                figure(seconds(job)),
		}
		if gap := r.Nest.Loads[i].SmallestGap; gap.IsFinite() {
			v := figure(float64(gap - 2*flattening))
			lr.SmallestGapMM = &v
		}
		for j, d := range s.Decals {
			b := d.Path.Bounds()
			lr.Counters += len(r.design(r.Nest.Loads[i].Placements[j].Piece).Report.Counters)
			lr.Decals = append(lr.Decals, DecalReport{
				ID: d.ID, Design: d.Design, Copy: d.Copy,
				XMM: figure(b.Min.X), YMM: figure(b.Min.Y), WidthMM: figure(b.Width()), HeightMM: figure(b.Height()),
				RotationDeg: math.Round(d.Rotation.Degrees()*1e9) / 1e9, Mirrored: d.Mirrored,
			})
		}
		out.FilmLengthMM += float64(s.Length)
		out.Seconds += seconds(job)
		out.Loads = append(out.Loads, lr)
	}
	out.FilmLengthMM = figure(out.FilmLengthMM)
	out.Seconds = figure(out.Seconds)
	return out
}

// Layout is what layout.json holds: every design's outline and where each
// decal lies, so that any of them can be cut again without the artwork.
type Layout struct {
	Order   Order          `json:"order"`
	Designs []LayoutDesign `json:"designs"`
	Loads   []LayoutLoad   `json:"loads"`
}

// LayoutDesign is the outline of a design at its size.
type LayoutDesign struct {
	Letter string `json:"letter"`
	Name   string `json:"name"`
	Path   string `json:"path_mm"` // SVG path data in millimetres, y UP
}

// LayoutLoad is where the decals of a load lie.
type LayoutLoad struct {
	Name     string        `json:"name"`
	LengthMM float64       `json:"length_mm"`
	Decals   []LayoutDecal `json:"decals"`
}

// LayoutDecal turns its design's outline counter-clockwise by RotationDeg
// about (0, 0) and shifts it by (XMM, YMM).
type LayoutDecal struct {
	ID          string  `json:"id"`
	Letter      string  `json:"letter"`
	Copy        int     `json:"copy"`
	RotationDeg float64 `json:"rotation_deg"`
	XMM         float64 `json:"x_mm"`
	YMM         float64 `json:"y_mm"`
}

// Layout returns the placements for layout.json.
func (r *Result) Layout() Layout {
	out := Layout{Order: r.Order}
	for _, d := range r.Designs {
		out.Designs = append(out.Designs, LayoutDesign{d.Letter, d.Name, pathData(d.Path)})
	}
	for i, s := range r.Sheets {
		l := LayoutLoad{Name: s.Name, LengthMM: float64(s.Length)}
		for j, d := range s.Decals {
			p := r.Nest.Loads[i].Placements[j]
			l.Decals = append(l.Decals, LayoutDecal{d.ID, p.Piece, p.Copy, p.Rotation.Degrees(), float64(p.X), float64(p.Y)})
		}
		out.Loads = append(out.Loads, l)
	}
	return out
}

// FilmUsed returns the film of all loads.
func (r *Result) FilmUsed() units.Length {
	var sum units.Length
	for _, s := range r.Sheets {
		sum += s.Length
	}
	return sum
}
