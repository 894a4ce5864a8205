package order

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/jobsheet"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/units"
)

// manyWordings is from how many wordings of an item on the job sheet says no
// more than the worst of each: a table that is read at the cutting table.
const manyWordings = 12

// page gathers what the job sheet and the approval page tell.
func (r *Result) page(pictures [][][]byte) (jobsheet.Job, error) {
	o := r.Order
	job := jobsheet.Job{
		Title: o.Title, Customer: o.Customer,
		Films: r.filmsUsed(), Blade: o.Machine.blade(), Gap: o.Gap, EdgeMargin: o.EdgeMargin, Change: r.changes(), Packing: r.packing(), Notes: r.Report.Notes,
	}
	for i, load := range r.Loads {
		l := jobsheet.Load{
			Name: load.Sheet.Name, From: load.from(), Length: load.Sheet.Length, UsedFraction: load.Sheet.UsedFraction(), Pictures: pictures[i],
			Counters: r.Report.Loads[i].Counters, CutSeconds: load.Cut.Seconds(), WeedMinutes: r.Report.Loads[i].WeedMinutes, Tape: tapeWords(r.Report.Loads[i].Tape),
		}
		if load.SameAs >= 0 {
			l.SameAs = r.Loads[load.SameAs].Sheet.Name
		}
		if load.Rest != nil {
			l.Rest = load.Rest.Name
		}
		for _, d := range load.Sheet.Decals {
			l.Decals = append(l.Decals, d.ID)
		}
		if same := r.samePicks(i); same >= 0 {
			l.PicksAs = r.Loads[same].Sheet.Name
		} else {
			l.Picks = r.pickList(i)
		}
		job.Loads = append(job.Loads, l)
	}
	wordings := map[int]int{} // of each item
	type told struct {
		item int
		note string
	}
	times := map[told]int{}
	for _, d := range r.Designs {
		wordings[d.item]++
		for _, n := range d.Notes {
			times[told{d.item, n}]++
		}
	}
	for i, d := range r.Designs {
		copies := d.Copies
		ids := d.ids(1, d.Copies, digits(r.Designs))
		if r.prefix != "" {
			if copies = r.cut(i); copies == 0 {
				continue
			}
			ids = r.idsCut(i)
		}
		b := d.Path.Bounds()
		jd := jobsheet.Design{
			Letter: d.Letter, Name: d.Name, Copies: copies, Mirrored: d.Item.InsideGlass,
			Width: units.Length(b.Width()), Height: units.Length(b.Height()), Colour: d.Film.Colour, Film: d.Film.Name, Path: d.Path,
			Counters: len(d.Report.Counters), Islands: len(d.Report.Islands), Notes: d.care(), Changed: d.mended(), IDs: ids,
		}
		if wordings[d.item] > manyWordings {
			// report.json has them all, and what many share stands at the top.
			jd.Notes = slices.DeleteFunc(d.brief(), func(n string) bool { return times[told{d.item, n}] > fewWordings })
		}
		for _, w := range d.Filled.Words {
			jd.Words = append(jd.Words, jobsheet.Words{Slot: w.Slot, Text: w.Text, Readable: readable(w)})
		}
		job.Designs = append(job.Designs, jd)
	}
	plan, err := r.Plan(context.Background()) // moments: a few dozen loads
	if err != nil {
		return job, err
	}
	var chart, picture bytes.Buffer
	if err := plan.WriteSVG(&chart); err != nil {
		return job, err
	}
	if err := plan.WritePNG(&picture); err != nil {
		return job, err
	}
	job.Plan, job.PlanPicture = chart.Bytes(), picture.Bytes()
	if deadline := o.Shop.Deadline; !deadline.IsZero() {
		begin, err := production.StartBy(deadline, plan.Span, time.Time{}) // whatever the time is now, so that the same order gives the same sheet
		if err != nil {
			return job, err
		}
		const day = "Monday 2 January 2006, 15:04"
		job.Begin = "Begin by " + begin.Format(day) + " to be finished by " + deadline.Format(day)
	}
	job.Finish = fmt.Sprintf("%d:%02d hours", int(plan.Span+0.5)/60, int(plan.Span+0.5)%60)
	if o.Shop.priced() {
		return job, r.addPrices(&job)
	}
	return job, nil
}

func (r *Result) addPrices(job *jobsheet.Job) error {
	q, err := r.Quote()
	if err != nil {
		return err
	}
	add := func(what, amount string) {
		job.Prices = append(job.Prices, jobsheet.Price{What: what, Amount: q.Currency + amount})
	}
	for _, l := range q.Lines {
		add(l.What, l.Amount.StringFixed(2))
	}
	add("cost", q.Cost.StringFixed(2))
	add("price", q.Price.StringFixed(2))
	add("a decal", q.PerDecal.StringFixed(2))
	job.Rounding = q.Rounding
	for _, p := range q.Packs {
		amount := func(m production.Money) string { return q.Currency + m.StringFixed(2) }
		job.Packs = append(job.Packs, jobsheet.PackPrice{Size: p.Size, PerDecal: amount(p.PerDecal), Pack: amount(p.Pack), Buyer: amount(p.Buyer), ClubKeeps: amount(p.ClubKeeps)})
	}
	return nil
}

// idsCut lists the ids of a design's decals that are in the loads.
func (r *Result) idsCut(design int) string {
	var ids []string
	for _, l := range r.Loads {
		for k, p := range l.Placed {
			if p.Design == design {
				ids = append(ids, l.Sheet.Decals[k].ID)
			}
		}
	}
	slices.Sort(ids)
	return layout.JoinIDs(ids)
}

// filmsUsed lists the films in the order of use.
func (r *Result) filmsUsed() []jobsheet.Film {
	var out []jobsheet.Film
	for _, l := range r.Loads {
		k := slices.IndexFunc(out, func(f jobsheet.Film) bool { return f.Name == l.Sheet.Film.Name })
		if k < 0 {
			k = len(out)
			film, _ := r.Order.film(Item{Film: l.Sheet.Film.Name}) // its loads are named after it
			out = append(out, jobsheet.Film{Name: film.Name, Colour: film.Colour, Width: film.Width, Class: filmClasses[film.Class].String()})
		}
		out[k].Loads++
		if l.Leftover == "" {
			out[k].Length += l.Sheet.Length
		}
	}
	return out
}

// pickList is the list of a load's picks, decal by decal.
func (r *Result) pickList(load int) []jobsheet.DecalPicks {
	var out []jobsheet.DecalPicks
	l := r.Loads[load]
	for _, p := range r.Picks(load) {
		id := l.Sheet.Decals[p.Decal].ID
		if len(out) == 0 || out[len(out)-1].ID != id {
			out = append(out, jobsheet.DecalPicks{ID: id})
		}
		last := &out[len(out)-1]
		last.Picks = append(last.Picks, jobsheet.Pick{Number: p.Number, What: p.what(r.Designs[l.Placed[p.Decal].Design]), Width: units.Length(p.Counter.Width), Narrow: !p.Counter.Pickable})
	}
	return out
}

// from says what a load is cut from.
func (l Load) from() string {
	switch {
	case l.Leftover != "":
		return "from leftover " + l.Leftover
	case l.Roll > 0:
		return fmt.Sprintf("%s, roll %d", l.Sheet.Film.Name, l.Roll)
	}
	return l.Sheet.Film.Name
}

// what names the film, roll or leftover that a load is cut from.
func (l Load) what() string { return strings.TrimPrefix(l.from(), "from ") }

// changes says before which loads film is changed, and what is left on each
// roll.
func (r *Result) changes() []string {
	var out []string
	several := slices.ContainsFunc(r.Loads, func(l Load) bool { return l.from() != r.Loads[0].from() })
	for i, l := range r.Loads {
		if i == 0 && several {
			out = append(out, fmt.Sprintf("%s: begin with %s", l.Sheet.Name, l.what()))
		}
		if i > 0 && r.Loads[i-1].from() != l.from() {
			out = append(out, fmt.Sprintf("before %s: change to %s", l.Sheet.Name, l.what()))
		}
	}
	for _, f := range append([]Film{r.Order.Film}, r.Order.Films...) {
		for k, left := range f.Rolls {
			used := false
			for _, l := range r.Loads {
				if l.Sheet.Film.Name == f.Name && l.Roll == k+1 {
					left -= l.Sheet.Length
					used = true
				}
			}
			if used {
				out = append(out, fmt.Sprintf("%s, roll %d: %.2f m left afterwards", f.Name, k+1, left.Metres()))
			}
		}
	}
	return out
}

// packing lists what goes to whom: each wording's decals that were cut.
func (r *Result) packing() []jobsheet.Parcel {
	numbers := make([][]int, len(r.Designs))
	for _, l := range r.Loads {
		for _, p := range l.Placed {
			numbers[p.Design] = append(numbers[p.Design], p.Number)
		}
	}
	var out []jobsheet.Parcel
	for i, d := range r.Designs {
		if len(numbers[i]) == 0 {
			continue
		}
		slices.Sort(numbers[i])
		first, last := numbers[i][0], numbers[i][len(numbers[i])-1]
		line := jobsheet.ParcelLine{IDs: d.ids(first, last, digits(r.Designs)), Design: d.Name, Words: strings.Join(d.Words(), " ")}
		for _, n := range numbers[i] {
			if n > d.Copies-d.Spares {
				line.Spares++
			} else {
				line.Copies++
			}
		}
		if size := d.Item.PackSize; size > 0 {
			line.Packs = packs(line.Copies, size)
		}
		k := slices.IndexFunc(out, func(p jobsheet.Parcel) bool { return p.For == d.Item.For })
		if k < 0 {
			k = len(out)
			out = append(out, jobsheet.Parcel{For: d.Item.For})
		}
		out[k].Lines = append(out[k].Lines, line)
	}
	return out
}

// packs says how copies are packed, such as "4 × 25 and 10".
func packs(copies, size int) string {
	full, rest := copies/size, copies%size
	switch {
	case full == 0:
		return fmt.Sprintf("%d, short of a pack of %d", rest, size)
	case rest > 0:
		return fmt.Sprintf("%d × %d and %d", full, size, rest)
	}
	return fmt.Sprintf("%d × %d", full, size)
}
