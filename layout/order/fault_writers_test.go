package order

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/shopspring/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/dxf"
	"github.com/vinylgeom/vinyl/layout/hpgl"
	"github.com/vinylgeom/vinyl/layout/jobsheet"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/layout/svgsheet"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

// fullWriter takes so many writes, then none.
type fullWriter struct{ left, taken int }

func (w *fullWriter) Write(p []byte) (int, error) {
	if w.left--; w.left < 0 {
		return 0, errDisk
	}
	w.taken++
	return len(p), nil
}

// one is the result of an order of one decal.
func one(t *testing.T) *Result {
	t.Helper()
	o := tiny()
	o.Items = o.Items[:1]
	o.Items[0].Height, o.Items[0].Copies = 3*units.Inch, 1
	o.Shop.Rates.FilmPerMetre = decimal.NewFromInt(6)
	r, err := Run(context.Background(), o, Options{Budget: nest.FirstLayoutOnly})
	require.NoError(t, err)
	return r
}

// Every writer of the library stops at the very write that fails, whichever it
// is, and its error is that of the disk.
func TestEveryWriterAtEveryWrite(t *testing.T) {
	r := one(t)
	l := r.Loads[0]
	page, err := r.page([][][]byte{nil})
	require.NoError(t, err)
	cut := func(to func(io.Writer) cutpath.Writer) func(io.Writer) error {
		return func(w io.Writer) error { return l.Job.Write(to(w)) }
	}
	for name, write := range map[string]func(io.Writer) error{
		"hpgl":     cut(func(w io.Writer) cutpath.Writer { return hpgl.NewWriter(w, hpgl.Options{}) }),
		"dxf":      cut(func(w io.Writer) cutpath.Writer { return dxf.NewWriter(w, dxf.Options{}) }),
		"svgsheet": cut(func(w io.Writer) cutpath.Writer { return svgsheet.NewWriter(w, svgsheet.Options{}) }),
		"svg":      func(w io.Writer) error { return svg.Write(w, r.Designs[0].Path, svg.WriteOptions{}) },
		"proof":    func(w io.Writer) error { return proof.WritePNG(w, l.Sheet, proof.Options{PixelsPerMM: 1}) },
		"shape": func(w io.Writer) error {
			return proof.WriteShapePNG(w, r.Designs[0].Path, "#000", proof.Options{PixelsPerMM: 1})
		},
		"job sheet":      func(w io.Writer) error { return jobsheet.Write(w, page) },
		"job sheet, PDF": func(w io.Writer) error { return jobsheet.WritePDF(w, page, jobsheet.PDFOptions{}) },
		"approval":       func(w io.Writer) error { return jobsheet.WriteApproval(w, page) },
		"layout.json":    func(w io.Writer) error { return writeJSON(w, r.Layout()) },
		"report.json":    func(w io.Writer) error { return writeJSON(w, r.Report) },
	} {
		t.Run(name, func(t *testing.T) {
			all := &fullWriter{left: 1 << 30}
			require.NoError(t, write(all))
			require.Positive(t, all.taken)
			// Writers of many small pieces: every write at first, then wider apart.
			for k := 0; k < all.taken; k += 1 + k/64 {
				w := &fullWriter{left: k}
				require.ErrorIs(t, write(w), errDisk, "write %d of %d", k, all.taken)
				require.Equal(t, k, w.taken, "nothing is written after the disk is full")
			}
		})
	}
}

// A quote that nobody can read is none: its JSON goes to the disk or fails.
func TestQuoteOnAFullDisk(t *testing.T) {
	r := one(t)
	quote, err := r.Quote()
	require.NoError(t, err)
	require.NoError(t, json.NewEncoder(&bytes.Buffer{}).Encode(quote))
	require.ErrorIs(t, json.NewEncoder(&fullWriter{}).Encode(quote), errDisk)
}

// files returns what lies in a folder and below it, by name.
func files(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(name string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		out[name] = string(data)
		return err
	}))
	return out
}

// Where a file cannot take its place, the files of the earlier order in the
// folder stay as they were.
func TestFailedRenameLeavesTheFolderAsItWas(t *testing.T) {
	t.Parallel()
	r := one(t)
	for _, name := range []string{"load-01.plt", "jobsheet.pdf", "layout.json"} {
		dir := t.TempDir()
		require.NoError(t, r.Write(dir))
		for file := range files(t, dir) {
			require.NoError(t, os.WriteFile(file, []byte("earlier"), 0o644))
		}
		require.NoError(t, os.Remove(filepath.Join(dir, name)))
		require.NoError(t, os.MkdirAll(filepath.Join(dir, name, "in the way"), 0o755)) // a folder of that name
		require.NoError(t, os.WriteFile(filepath.Join(dir, name, "note"), []byte("theirs"), 0o644))
		before := files(t, dir)
		err := r.Write(dir)
		require.ErrorIs(t, err, ErrOutput)
		var typed *Error
		require.ErrorAs(t, err, &typed)
		assert.NotEmpty(t, typed.Fix)
		assert.Equal(t, before, files(t, dir), name)
	}
}

// A folder that cannot be made or written is said to be so, and nothing else is
// touched.
func TestUnwritableFolder(t *testing.T) {
	r := one(t)
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, []byte("theirs"), 0o644))
	for _, dir := range []string{file, filepath.Join(file, "below"), string([]byte{'a', 0, 'b'})} {
		err := r.Write(dir)
		require.ErrorIs(t, err, ErrOutput)
	}
	assert.Equal(t, map[string]string{file: "theirs"}, files(t, filepath.Dir(file)))

	locked := t.TempDir()
	require.NoError(t, os.Chmod(locked, 0o555))
	defer os.Chmod(locked, 0o755) //nolint: for the clean-up
	probe, err := os.Create(filepath.Join(locked, "probe"))
	if err == nil { // root writes everywhere
		probe.Close()
		t.Log("the read-only folder is not tested: this user may write it; ", runtime.GOOS)
		return
	}
	require.ErrorIs(t, r.Write(locked), ErrOutput)
	assert.Empty(t, files(t, locked))
}

// What a killed run has left is gone after the next one; what another run may
// still be writing stays.
func TestAbandonedFoldersAreRemoved(t *testing.T) {
	t.Parallel()
	r := one(t)
	dir := t.TempDir()
	old, fresh := filepath.Join(dir, ".unfinished-1"), filepath.Join(dir, ".unfinished-2")
	for _, name := range []string{old, fresh} {
		require.NoError(t, os.Mkdir(name, 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(name, "load-01.plt"), []byte("IN;"), 0o644))
	}
	yesterday := time.Now().Add(-24 * time.Hour)
	require.NoError(t, os.Chtimes(old, yesterday, yesterday))
	require.NoError(t, r.Write(dir))
	assert.NoDirExists(t, old)
	assert.DirExists(t, fresh)
	assert.FileExists(t, filepath.Join(dir, "load-01.plt"))
}
