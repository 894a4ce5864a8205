package jobsheet_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/jobsheet"
	"github.com/vinylgeom/vinyl/layout/proof"
)

// A load of ninety picks stands on one page; one of three hundred goes on under
// its own name, and loses none.
func TestPDFOfManyPicks(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext (poppler-utils) is not installed: the pages are not read")
	}
	j := job(t)
	j.Loads = j.Loads[:2]
	for i, n := range []int{18, 60} {
		next := 1
		for k := range 5 {
			d := jobsheet.DecalPicks{ID: fmt.Sprintf("%c-01", 'A'+k)}
			for range n {
				d.Picks = append(d.Picks, jobsheet.Pick{Number: next, What: "the 2nd E of CREEK", Width: 3.4, Narrow: next%9 == 0})
				next++
			}
			j.Loads[i].Picks = append(j.Loads[i].Picks, d)
		}
	}
	name := filepath.Join(t.TempDir(), "job.pdf")
	f, err := os.Create(name)
	require.NoError(t, err)
	require.NoError(t, jobsheet.WritePDF(f, j, jobsheet.PDFOptions{}))
	require.NoError(t, f.Close())
	text, err := exec.Command("pdftotext", "-layout", name, "-").Output()
	require.NoError(t, err)
	pages := map[string][]string{}
	for _, page := range strings.Split(string(text), "\f") {
		if m := regexp.MustCompile(`(?m)^\s*(load-\d+)(: |, continued)`).FindStringSubmatch(page); m != nil {
			pages[m[1]] = append(pages[m[1]], page)
		}
	}
	require.Len(t, pages["load-01"], 1)
	require.Len(t, pages["load-02"], 2)
	for load, n := range map[string]int{"load-01": 90, "load-02": 300} {
		text := strings.Join(strings.Fields(strings.Join(pages[load], " ")), " ")
		assert.Len(t, regexp.MustCompile(`the 2nd E of CREEK, 3.4 mm`).FindAllString(text, -1), n)
		assert.Contains(t, text, fmt.Sprintf("%d the 2nd E of CREEK", n))
	}
}

// Pictures of one width are written in the order of the loads, every time.
func TestPDFRepeats(t *testing.T) {
	j := job(t)
	for i := range j.Loads {
		var picture bytes.Buffer
		sheet := layout.Sheet{Name: "load", Film: layout.Film{Width: 100}, Length: 100, Decals: []layout.PlacedDecal{{ID: string(rune('A' + i)), Path: j.Designs[0].Path}}}
		require.NoError(t, proof.WritePNG(&picture, sheet, proof.Options{PixelsPerMM: 1}))
		j.Loads[i].Pictures = [][]byte{picture.Bytes()}
	}
	var first bytes.Buffer
	require.NoError(t, jobsheet.WritePDF(&first, j, jobsheet.PDFOptions{}))
	for range 12 {
		var again bytes.Buffer
		require.NoError(t, jobsheet.WritePDF(&again, j, jobsheet.PDFOptions{}))
		require.True(t, bytes.Equal(first.Bytes(), again.Bytes()))
	}
}

func TestPDF(t *testing.T) {
	for _, paper := range []jobsheet.Paper{jobsheet.Letter, jobsheet.A4} {
		var a, b bytes.Buffer
		require.NoError(t, jobsheet.WritePDF(&a, job(t), jobsheet.PDFOptions{Paper: paper}))
		require.NoError(t, jobsheet.WritePDF(&b, job(t), jobsheet.PDFOptions{Paper: paper}))
		assert.True(t, bytes.Equal(a.Bytes(), b.Bytes()), "the same job gives the same bytes")
		assert.True(t, bytes.HasPrefix(a.Bytes(), []byte("%PDF-")))
		// MediaBox in points: 8.5 x 11 in (ANSI Y14.1), 210 x 297 mm (ISO 216).
		box := map[jobsheet.Paper]string{jobsheet.Letter: `612\.00 792\.00`, jobsheet.A4: `595\.28 841\.89`}[paper]
		assert.Regexp(t, regexp.MustCompile(`/MediaBox \[0 0 `+box), a.String())
		if _, err := exec.LookPath("pdftotext"); err != nil {
			t.Log("pdftotext (poppler-utils) is not installed: the PDF's text is not read back")
			continue
		}
		name := filepath.Join(t.TempDir(), "job.pdf")
		require.NoError(t, os.WriteFile(name, a.Bytes(), 0o644))
		text, err := exec.Command("pdftotext", "-layout", name, "-").Output()
		require.NoError(t, err)
		for _, says := range []string{"Marlow Creek Science Fair", "load-03", "A-01 to A-03", "flash point 12 °C", "laser"} {
			assert.Contains(t, string(text), says)
		}
	}
	assert.NoError(t, jobsheet.WritePDF(&bytes.Buffer{}, jobsheet.Job{}, jobsheet.PDFOptions{}))
	assert.Error(t, jobsheet.WritePDF(&failing{100}, job(t), jobsheet.PDFOptions{}))
	var none bytes.Buffer
	assert.ErrorContains(t, jobsheet.WritePDF(&none, job(t), jobsheet.PDFOptions{Paper: 7}), "use Letter or A4")
	assert.Zero(t, none.Len())
	bad := job(t)
	bad.Loads[0].Pictures = [][]byte{[]byte("not a picture")}
	err := jobsheet.WritePDF(&bytes.Buffer{}, bad, jobsheet.PDFOptions{})
	assert.True(t, err != nil && !errors.Is(err, os.ErrNotExist))
}
