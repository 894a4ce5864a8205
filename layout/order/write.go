package order

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"

	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/dxf"
	"github.com/vinylgeom/vinyl/layout/hpgl"
	"github.com/vinylgeom/vinyl/layout/jobsheet"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/layout/svgsheet"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

func pathData(p outline.Path) string { return svg.PathData(p) }

// Write writes every file of the order to dir, which is made if it does not
// exist:
//
//	load-01.plt, load-01.svg, load-01.dxf, proof-01.png   for each load
//	layout.json, report.json, approval.html, jobsheet.html
//
// All files are first written to a folder beside their places; only when every
// one of them is complete are they renamed into dir, and load and proof files
// of an earlier order there that this one does not have are removed, so that
// nobody cuts them. The error is an [*Error] wrapping [ErrOutput].
func (r *Result) Write(dir string) error {
	fail := func(err error) error {
		return &Error{Where: dir, Cause: ErrOutput, Detail: err.Error(), Fix: "choose a folder that can be written, with room on the disk"}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fail(err)
	}
	stage, err := os.MkdirTemp(dir, ".unfinished-")
	if err != nil {
		return fail(err)
	}
	defer os.RemoveAll(stage)
	names, err := r.writeAll(stage)
	if err != nil {
		return fail(err)
	}
	for _, name := range names {
		if err := os.Rename(filepath.Join(stage, name), filepath.Join(dir, name)); err != nil {
			return fail(err)
		}
	}
	if err := removeStale(dir, names); err != nil {
		return fail(err)
	}
	return nil
}

// loadFile matches the names of load files and proofs.
var loadFile = regexp.MustCompile(`^(load-[0-9]+\.(plt|svg|dxf)|proof-[0-9]+\.png)$`)

func removeStale(dir string, keep []string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	kept := map[string]bool{}
	for _, name := range keep {
		kept[name] = true
	}
	for _, e := range entries {
		if loadFile.MatchString(e.Name()) && !kept[e.Name()] {
			if err := os.Remove(filepath.Join(dir, e.Name())); err != nil {
				return err
			}
		}
	}
	return nil
}

// writeAll writes the files to dir and returns their names.
func (r *Result) writeAll(dir string) ([]string, error) {
	var names []string
	file := func(name string, write func(io.Writer) error) error {
		names = append(names, name)
		return writeFile(filepath.Join(dir, name), write)
	}
	proofs := make([][]byte, len(r.Sheets))
	for i, s := range r.Sheets {
		job := r.Jobs[i]
		var picture bytes.Buffer
		if err := proof.WritePNG(&picture, s, proof.Options{}); err != nil {
			return nil, err
		}
		proofs[i] = picture.Bytes()
		for _, f := range []struct {
			name  string
			write func(io.Writer) error
		}{
			{s.Name + ".plt", func(w io.Writer) error { return writeJob(job, hpgl.NewWriter(w, hpgl.Options{})) }},
			{s.Name + ".dxf", func(w io.Writer) error { return writeJob(job, dxf.NewWriter(w, dxf.Options{})) }},
			{s.Name + ".svg", func(w io.Writer) error { return writeJob(job, svgsheet.NewWriter(w, svgsheet.Options{})) }},
			{"proof" + s.Name[len("load"):] + ".png", func(w io.Writer) error { _, err := w.Write(proofs[i]); return err }},
		} {
			if err := file(f.name, f.write); err != nil {
				return nil, err
			}
		}
	}
	page := r.page(proofs)
	for _, f := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"layout.json", func(w io.Writer) error { return writeJSON(w, r.Layout()) }},
		{"report.json", func(w io.Writer) error { return writeJSON(w, r.Report) }},
		{"approval.html", func(w io.Writer) error { return jobsheet.WriteApproval(w, page) }},
		{"jobsheet.html", func(w io.Writer) error { return jobsheet.Write(w, page) }},
	} {
		if err := file(f.name, f.write); err != nil {
			return nil, err
		}
	}
	return names, nil
}

func writeJob(job cutpath.Job, w cutpath.Writer) error { return job.Write(w) }

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// writeFile creates a file and reports every error of writing and closing it.
func writeFile(name string, write func(io.Writer) error) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	b := bufio.NewWriterSize(f, 1<<16)
	err = write(b)
	if err == nil {
		err = b.Flush()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	return err
}

// page gathers what the job sheet and the approval page tell.
func (r *Result) page(proofs [][]byte) jobsheet.Job {
	o := r.Order
	job := jobsheet.Job{
		Title: o.Title, Customer: o.Customer,
		Film: o.Film.Name, FilmColour: o.Film.Colour, FilmWidth: o.Film.Width, FilmLength: r.FilmUsed(),
		Gap: o.Gap, EdgeMargin: o.EdgeMargin,
	}
	for i, s := range r.Sheets {
		l := jobsheet.Load{
			Name: s.Name, Length: s.Length, UsedFraction: s.UsedFraction(), Picture: proofs[i],
			Counters: r.Report.Loads[i].Counters, CutSeconds: seconds(r.Jobs[i]),
		}
		for j, d := range s.Decals {
			l.Decals = append(l.Decals, d.ID)
			l.WeedMinutes += r.design(r.Nest.Loads[i].Placements[j].Piece).Report.WeedMinutes
		}
		job.Loads = append(job.Loads, l)
	}
	for _, d := range r.Designs {
		b := d.Path.Bounds()
		jd := jobsheet.Design{
			Letter: d.Letter, Name: d.Name, Copies: d.Item.Copies, Mirrored: d.Item.InsideGlass,
			Width: units.Length(b.Width()), Height: units.Length(b.Height()), Colour: o.Film.Colour, Path: d.Path,
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
	return out
}
