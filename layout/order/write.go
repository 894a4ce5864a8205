package order

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/dxf"
	"github.com/vinylgeom/vinyl/layout/hpgl"
	"github.com/vinylgeom/vinyl/layout/jobsheet"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/layout/svgsheet"
)

// Write writes every file of the order to dir, which is made if it does not
// exist:
//
//	load-01.plt, load-01.svg, load-01.dxf, proof-01.png   for each load
//	layout.json, report.json, approval.html, jobsheet.html, jobsheet.pdf
//
// A load that is cut with another's file has none of its own. What was made by
// [Layout.Recut] or [Layout.Resume] is named recut-01 or rest-of-load-03, and
// its papers recut-report.json and so on.
//
// All files are first written to a folder beside their places; only when every
// one of them is complete are they renamed into dir, and load and proof files
// of an earlier order there that this one does not have are removed, so that
// nobody cuts them. The error is an [*Error] wrapping [ErrOutput] and the disk's
// own; then dir is as it was.
func (r *Result) Write(dir string) error { return r.writeTo(dir, createFile) }

// createFile is how files are made; tests put a failing disk in its place.
func createFile(name string) (io.WriteCloser, error) { return os.Create(name) }

func (r *Result) writeTo(dir string, create func(string) (io.WriteCloser, error)) error {
	fail := func(err error) error {
		return &Error{Where: dir, Cause: fmt.Errorf("%w: %w", ErrOutput, err), Fix: "choose a folder that can be written, with room on the disk"}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fail(err)
	}
	removeUnfinished(dir)
	stage, err := os.MkdirTemp(dir, unfinished)
	if err != nil {
		return fail(err)
	}
	defer os.RemoveAll(stage)
	names, err := r.writeAll(stage, create)
	if err != nil {
		return fail(err)
	}
	if err := takePlaces(stage, dir, names); err != nil {
		return fail(err)
	}
	if r.prefix != "" {
		return nil
	}
	if err := removeStale(dir, names); err != nil {
		return fail(err)
	}
	return nil
}

// unfinished begins the names of folders in which files wait for their places.
const unfinished = ".unfinished-"

// abandonedAfter is how old such a folder is before it counts as left by a run
// that was killed; writing takes a minute at most.
const abandonedAfter = time.Hour

// removeUnfinished removes what killed runs have left in dir. What cannot be
// removed does no harm.
func removeUnfinished(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		if info, err := e.Info(); err == nil && e.IsDir() && strings.HasPrefix(e.Name(), unfinished) && time.Since(info.ModTime()) > abandonedAfter {
			_ = os.RemoveAll(filepath.Join(dir, e.Name()))
		}
	}
}

// takePlaces moves the finished files from stage to dir. Files of an earlier
// order that have their names step aside into stage; where one cannot be moved,
// they come back, so that dir holds one order or the other, never parts of both.
func takePlaces(stage, dir string, names []string) (err error) {
	aside, err := os.MkdirTemp(stage, "earlier-")
	if err != nil {
		return err
	}
	var moved, placed []string
	defer func() {
		if err == nil {
			return
		}
		for _, name := range placed {
			err = errors.Join(err, os.Remove(filepath.Join(dir, name)))
		}
		for _, name := range moved {
			err = errors.Join(err, os.Rename(filepath.Join(aside, name), filepath.Join(dir, name)))
		}
	}()
	for _, name := range names {
		place := filepath.Join(dir, name)
		switch info, err := os.Lstat(place); {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return err
		case info.IsDir():
			return &fs.PathError{Op: "replace", Path: place, Err: errors.New("a folder is in the way")}
		default:
			if err := os.Rename(place, filepath.Join(aside, name)); err != nil {
				return err
			}
			moved = append(moved, name)
		}
		if err := os.Rename(filepath.Join(stage, name), place); err != nil {
			return err
		}
		placed = append(placed, name)
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
	for _, e := range entries {
		if loadFile.MatchString(e.Name()) && !slices.Contains(keep, e.Name()) {
			if err := os.Remove(filepath.Join(dir, e.Name())); err != nil {
				return err
			}
		}
	}
	return nil
}

// proofName returns the name of a load's proof: proof-01.png of load-01.
func proofName(load string) string { return "proof-" + strings.TrimPrefix(load, "load-") + ".png" }

// The job sheet's pictures are drawn coarser than the proofs, to keep the page
// small: jobSheetScale pixels per millimetre. Their text is higher, in
// millimetres of film, so that pick numbers are still legible on paper, where
// a load is about half its size.
const (
	jobSheetScale = 2.5
	jobSheetText  = 6.0
)

// pictureScale is jobSheetScale, or less for a load so long that its picture
// would have more than half of what a picture may have in pixels; the rest is
// room for its title and margins.
func pictureScale(s layout.Sheet) float64 {
	area := max(float64(s.Length)*float64(s.Film.Width), 1)
	return min(jobSheetScale, math.Sqrt(proof.MaxPixels/2/area))
}

// A load longer than foldFrom times its film's width is shown on the job sheet in
// stretches of at most stretchLength times the width, so that numbers can be
// read.
const (
	foldFrom      = 1.75
	stretchLength = 1.5
)

// jobSheetPictures draws a load for the job sheet, stretch by stretch.
func (r *Result) jobSheetPictures(load int) ([][]byte, error) {
	l := r.Loads[load]
	n := 1
	if folds := float64(l.Sheet.Length / l.Sheet.Film.Width); folds > foldFrom {
		n = min(int(math.Ceil(folds/stretchLength)), proof.MaxStretches)
	}
	stretches, err := proof.Stretches(l.Sheet, proof.Options{PixelsPerMM: pictureScale(l.Sheet), Title: l.title(), Film: l.Film, TextHeight: jobSheetText, Markers: r.pickMarkers(load)}, n)
	if err != nil {
		return nil, err
	}
	out := make([][]byte, n)
	for k, img := range stretches {
		var picture bytes.Buffer
		if err := proof.Encode(&picture, img); err != nil {
			return nil, err
		}
		out[k] = picture.Bytes()
	}
	return out, nil
}

// pickMarkers are the numbers on the job sheet's picture of a load.
func (r *Result) pickMarkers(load int) []proof.Marker {
	var out []proof.Marker
	for _, p := range r.Picks(load) {
		out = append(out, proof.Marker{At: p.At, Label: p.label()})
	}
	return out
}

// classicReach is the furthest coordinate of classic plotters, ±32767 units of
// 0.025 mm (HP 7470A manual: PA).
const classicReach = 32767 * 0.025

// beyondClassic reports whether a job needs a machine that takes larger numbers.
func beyondClassic(job cutpath.Job) bool {
	b := job.Bounds()
	return b.Max.X > classicReach || b.Max.Y > classicReach
}

// plotterOptions returns how a job's HP-GL is written: within the classic range
// where it fits, which every machine takes, else beyond it; the report says so.
func plotterOptions(job cutpath.Job) hpgl.Options {
	if beyondClassic(job) {
		return hpgl.Options{Range: hpgl.Wide}
	}
	return hpgl.Options{}
}

// title stands above a load's pictures: empty, for the usual one, or what
// leftover to lay in.
func (l Load) title() string {
	if l.Leftover == "" {
		return ""
	}
	return fmt.Sprintf("%s   leftover %s, %s   %s × %s   as cut", l.Sheet.Name, l.Leftover, l.Sheet.Film.Name, l.Sheet.Length.InchString(), l.Sheet.Film.Width.InchString())
}

// file is a file's name and how it is written.
type file struct {
	name  string
	write func(io.Writer) error
}

// writeAll writes the files to dir and returns their names.
func (r *Result) writeAll(dir string, create func(string) (io.WriteCloser, error)) ([]string, error) {
	var own []int // loads with files of their own
	for i, l := range r.Loads {
		if l.SameAs < 0 {
			own = append(own, i)
		}
	}
	pictures := make([][][]byte, len(r.Loads))
	if err := each(len(own), r.workers, func(k int) (err error) {
		pictures[own[k]], err = r.jobSheetPictures(own[k])
		return err
	}); err != nil {
		return nil, err
	}
	page, err := r.page(pictures)
	if err != nil {
		return nil, err
	}
	var files []file
	for _, i := range own {
		l := r.Loads[i]
		files = append(files,
			file{l.Sheet.Name + ".plt", func(w io.Writer) error { return l.Job.Write(hpgl.NewWriter(w, plotterOptions(l.Job))) }},
			file{l.Sheet.Name + ".dxf", func(w io.Writer) error { return l.Job.Write(dxf.NewWriter(w, dxf.Options{})) }},
			file{l.Sheet.Name + ".svg", func(w io.Writer) error { return l.Job.Write(svgsheet.NewWriter(w, svgsheet.Options{})) }},
			file{proofName(l.Sheet.Name), func(w io.Writer) error {
				return proof.WritePNG(w, l.Sheet, proof.Options{Title: l.title(), Film: l.Film})
			}},
		)
	}
	files = append(files,
		file{r.prefix + "layout.json", func(w io.Writer) error { return writeJSON(w, r.Layout()) }},
		file{r.prefix + "report.json", func(w io.Writer) error { return writeJSON(w, r.Report) }},
		file{r.prefix + "jobsheet.html", func(w io.Writer) error { return jobsheet.Write(w, page) }},
		file{r.prefix + "jobsheet.pdf", func(w io.Writer) error { return jobsheet.WritePDF(w, page, jobsheet.PDFOptions{}) }},
	)
	if r.prefix == "" { // what is cut again has been approved
		files = append(files, file{"approval.html", func(w io.Writer) error { return jobsheet.WriteApproval(w, page) }})
	}
	names := make([]string, len(files))
	return names, each(len(files), r.workers, func(i int) error {
		names[i] = files[i].name
		return writeFile(filepath.Join(dir, names[i]), create, files[i].write)
	})
}

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// writeFile creates a file and reports every error of writing and closing it.
func writeFile(name string, create func(string) (io.WriteCloser, error), write func(io.Writer) error) error {
	f, err := create(name)
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
