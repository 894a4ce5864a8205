package order

import (
	"fmt"

	"github.com/vinylgeom/vinyl/layout/jobsheet"
	"github.com/vinylgeom/vinyl/units"
)

// page gathers what the job sheet and the approval page tell.
func (r *Result) page(pictures [][]byte) jobsheet.Job {
	o := r.Order
	job := jobsheet.Job{
		Title: o.Title, Customer: o.Customer,
		Film: o.Film.Name, FilmColour: o.Film.Colour, FilmWidth: o.Film.Width, FilmLength: r.FilmUsed(),
		Gap: o.Gap, EdgeMargin: o.EdgeMargin,
	}
	for i, load := range r.Loads {
		l := jobsheet.Load{
			Name: load.Sheet.Name, Length: load.Sheet.Length, UsedFraction: load.Sheet.UsedFraction(), Picture: pictures[i],
			Counters: r.Report.Loads[i].Counters, CutSeconds: load.Cut.Seconds(),
		}
		for j, d := range load.Sheet.Decals {
			l.Decals = append(l.Decals, d.ID)
			l.WeedMinutes += r.Designs[load.Placed[j].Design].Report.WeedMinutes
		}
		job.Loads = append(job.Loads, l)
	}
	for _, d := range r.Designs {
		b := d.Path.Bounds()
		jd := jobsheet.Design{
			Letter: d.Letter, Name: d.Name, Copies: d.Copies, Mirrored: d.Item.InsideGlass,
			Width: units.Length(b.Width()), Height: units.Length(b.Height()), Colour: d.Film.Colour, Path: d.Path,
			Counters: len(d.Report.Counters), Islands: len(d.Report.Islands), Notes: notes(d),
		}
		for _, w := range d.Filled.Words {
			jd.Words = append(jd.Words, jobsheet.Words{Slot: w.Slot, Text: w.Text})
		}
		job.Designs = append(job.Designs, jd)
	}
	return job
}

// notes sums the findings of a design up, kind by kind, in their order.
func notes(d Design) []string {
	var kinds []string
	count := map[string]int{}
	for _, f := range d.Report.Findings {
		k := f.Kind.String()
		if count[k] == 0 {
			kinds = append(kinds, k)
		}
		count[k]++
	}
	var out []string
	for _, k := range kinds {
		out = append(out, fmt.Sprintf("%d × %s", count[k], k))
	}
	return append(out, d.Notes...)
}
