package jobsheet_test

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/jobsheet"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/outline"
)

var gear = outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(100, 0), outline.Pt(100, 120), outline.Pt(0, 120))}

// picture is the proof of a load, drawn once: under the race detector that takes
// a while.
var picture = sync.OnceValues(func() ([]byte, error) {
	var b bytes.Buffer
	err := proof.WritePNG(&b, layout.Sheet{Name: "load-01", Film: layout.Film{Name: "navy", Colour: "#1d3557", Width: 304.8}, Length: 350,
		Decals: []layout.PlacedDecal{{ID: "A-01", Path: gear.Transform(outline.Translate(outline.Pt(50, 50)))}}}, proof.Options{PixelsPerMM: 1})
	return b.Bytes(), err
})

func job(t testing.TB) jobsheet.Job {
	t.Helper()
	drawn, err := picture()
	require.NoError(t, err)
	j := jobsheet.Job{
		Title: "Marlow Creek Science Fair", Customer: "the committee", Films: []jobsheet.Film{{Name: "matt navy", Colour: "#1d3557", Width: 304.8, Length: 1050, Loads: 3}, {Name: "gloss red", Colour: "#d62828", Class: "cast", Width: 381}}, Gap: 6.35, EdgeMargin: 10,
		Designs: []jobsheet.Design{{Letter: "A", Name: "gear", Words: []jobsheet.Words{{Slot: "upper", Text: "MARLOW"}}, Copies: 3, Width: 100, Height: 120, Colour: "#1d3557", Path: gear, Counters: 4, Islands: 1, IDs: "A-01 to A-03", Notes: []string{"2 sharp tips"}, Changed: []string{"narrow gap widened at the K in CREEK"}}},
		Change:  []string{"change to roll 2 before load-03"},
		Plan:    []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="180mm" height="40mm" viewBox="0 0 180 40" role="img"><title>Plan</title></svg>`),
		Finish:  "1:20 hours", Begin: "Begin by Friday 9:00", Blade: "offset 0.25 mm",
		Packs: []jobsheet.PackPrice{{Size: 25, PerDecal: "$3.10", Pack: "$77.50", Buyer: "$5.17", ClubKeeps: "$51.75"}}, Rounding: "to 0.05",
		Packing: []jobsheet.Parcel{{For: "Class 4", Lines: []jobsheet.ParcelLine{{IDs: "A-01 to A-03", Design: "gear", Words: "MARLOW", Copies: 3, Packs: "1 pack of 3"}}}},
		Prices:  []jobsheet.Price{{What: "film", Amount: "$6.00"}},
	}
	for i := range 3 {
		j.Loads = append(j.Loads, jobsheet.Load{Name: fmt.Sprintf("load-%02d", i+1), From: "roll 1", Length: 350, UsedFraction: 0.4, Pictures: [][]byte{slices.Clone(drawn)}, Decals: []string{"A-01"}, Counters: 4, CutSeconds: 65, WeedMinutes: 4})
	}
	return j
}

func write(t testing.TB, j jobsheet.Job, approval bool) string {
	t.Helper()
	var b bytes.Buffer
	if approval {
		require.NoError(t, jobsheet.WriteApproval(&b, j))
	} else {
		require.NoError(t, jobsheet.Write(&b, j))
	}
	return b.String()
}

func TestJobSheetSaysWhatIsNeeded(t *testing.T) {
	page := write(t, job(t), false)
	for _, says := range []string{"Marlow Creek Science Fair", "matt navy", "12 in wide", "roll 2 before load-03", "Class 4", "A-01 to A-03", "1 pack of 3", "$6.00", "1:20 hours", "Begin by Friday 9:00", "$77.50", "to 0.05", "gloss red", "cast", "offset 0.25 mm", "narrow gap widened",
		// cautions
		"Blades", "flash point 12 °C", "Never put PVC film under a laser", "check your local law", "10 °C"} {
		assert.Contains(t, page, says)
	}
	for _, outside := range []string{"http://", "https://", "src=\"/", "<link", "@import"} {
		assert.NotContains(t, strings.ReplaceAll(page, "http://www.w3.org/2000/svg", ""), outside, "everything is inside")
	}
}

// A picture on the approval page has its size in millimetres.
func TestApproval(t *testing.T) {
	page := write(t, job(t), true)
	assert.Contains(t, page, `width="100.00mm" height="120.00mm"`)
	assert.Contains(t, page, "M A R L O W")
	assert.Contains(t, page, "#1d3557")
	assert.Contains(t, page, "name and date")
}

// Every image and every drawing has a text for those who do not see it, every
// section a heading, and headings do not skip a level.
func TestAccessible(t *testing.T) {
	for _, page := range []string{write(t, job(t), false), write(t, job(t), true)} {
		assert.Contains(t, page, `<html lang="en">`)
		assert.Len(t, regexp.MustCompile(`<img `).FindAllString(page, -1), len(regexp.MustCompile(`<img [^>]*alt="[^"]+"`).FindAllString(page, -1)))
		assert.Len(t, regexp.MustCompile(`<svg `).FindAllString(page, -1), len(regexp.MustCompile(`<svg [^>]*(role="img")`).FindAllString(page, -1)))
		last := 0
		for _, m := range regexp.MustCompile(`<h([1-6])`).FindAllStringSubmatch(page, -1) {
			level, err := strconv.Atoi(m[1])
			require.NoError(t, err)
			assert.LessOrEqual(t, level, last+1)
			last = level
		}
	}
}

func TestNothingIsRunFromNames(t *testing.T) {
	j := job(t)
	const evil = `"><script>alert(1)</script>`
	j.Title, j.Customer, j.Films[0].Name, j.Films[0].Colour = evil, evil, evil, `red;background:url(x)`
	j.Designs[0].Name, j.Designs[0].Words[0].Text, j.Designs[0].Colour = evil, evil, evil
	j.Packing[0].For, j.Packing[0].Lines[0].Words = evil, evil
	for _, page := range []string{write(t, j, false), write(t, j, true)} {
		assert.NotContains(t, page, "<script>")
		assert.NotContains(t, page, "url(x)")
	}
}

type failing struct{ after int }

func (f *failing) Write(p []byte) (int, error) {
	if f.after -= len(p); f.after < 0 {
		return 0, errors.New("disk full")
	}
	return len(p), nil
}

func TestWriteErrors(t *testing.T) {
	for _, after := range []int{0, 100, 5000} {
		assert.Error(t, jobsheet.Write(&failing{after}, job(t)))
	}
	assert.NoError(t, jobsheet.Write(io.Discard, jobsheet.Job{}), "an empty job is an empty sheet")
}

// chromium runs the browser on a page and returns what it prints.
func chromium(t *testing.T, page string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("chromium is not installed: the page is not looked at in a browser")
	}
	dir := t.TempDir()
	name := filepath.Join(dir, "page.html")
	require.NoError(t, os.WriteFile(name, []byte(page), 0o644))
	args = append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--user-data-dir=" + filepath.Join(dir, "profile"), "--virtual-time-budget=3000"}, args...)
	var out bytes.Buffer
	cmd := exec.Command(path, append(args, "file://"+name)...)
	cmd.Stdout = &out
	require.NoError(t, cmd.Run())
	return out.String()
}

// As wide as a phone (360 px), and as a page of A4 or Letter between margins of
// 12 mm (186 and 191.9 mm at 96 px an inch), nothing sticks out sideways, and all
// images load.
func TestInABrowser(t *testing.T) {
	t.Parallel() // with TestOnPaper: most of the time is the browsers' start
	if testing.Short() {
		t.Skip("the browser takes seconds")
	}
	const probe = `<script>window.addEventListener("load",()=>{
document.body.setAttribute("data-probe", document.documentElement.scrollWidth+" "+document.documentElement.clientWidth+" "+[...document.images].filter(i=>!(i.complete&&i.naturalWidth>0)).length+" "+document.images.length)})</script></body>`
	for _, approval := range []bool{false, true} {
		page := strings.Replace(write(t, job(t), approval), "</body>", probe, 1)
		// Frames: the browser's own window does not get that narrow.
		frames := "<!DOCTYPE html>"
		for _, width := range []int{360, 703, 725} {
			frames += fmt.Sprintf(`<iframe width="%d" height="800" style="border:0" srcdoc="%s"></iframe>`, width, escapeAttribute(page))
		}
		frames += `<script>window.addEventListener("load",()=>setTimeout(()=>{document.body.setAttribute("data-answer",[...document.querySelectorAll("iframe")].map(f=>f.contentDocument.body.getAttribute("data-probe")).join(";"))},500))</script>`
		dom := chromium(t, frames, "--dump-dom", "--window-size=900,1000")
		m := regexp.MustCompile(`data-answer="([\d ;]+)"`).FindStringSubmatch(dom)
		require.NotNil(t, m, "the probes answered")
		answers := strings.Split(m[1], ";")
		require.Len(t, answers, 3)
		for k, width := range []int{360, 703, 725} {
			var scroll, client, broken, images int
			_, err := fmt.Sscan(answers[k], &scroll, &client, &broken, &images)
			require.NoError(t, err)
			assert.Contains(t, []int{width, width - 15}, client, "with or without a scroll bar")
			assert.Equal(t, client, scroll, "nothing sticks out at %d px", width)
			assert.Zero(t, broken, "all images load")
			if !approval {
				assert.Equal(t, len(job(t).Loads), images)
			}
		}
	}
}

func escapeAttribute(s string) string {
	return strings.NewReplacer("&", "&amp;", `"`, "&quot;").Replace(s)
}

// Printed, the sheet has whole pages and no load is torn in two: as many pages
// as the paper needs, each with the size of the paper.
func TestOnPaper(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("the browser takes seconds")
	}
	if _, err := exec.LookPath("pdfinfo"); err != nil {
		t.Skip("pdfinfo (poppler-utils) is not installed: the print is not measured")
	}
	dir := t.TempDir()
	for paper, size := range map[string][2]float64{"Letter": {612, 792}, "A4": {595.28, 841.89}} { // points; ISO 216 and ANSI Y14.1
		page := strings.Replace(write(t, job(t), false), "@page { margin: 12mm; }", "@page { margin: 12mm; size: "+paper+"; }", 1)
		name := filepath.Join(dir, paper+".pdf")
		chromium(t, page, "--no-pdf-header-footer", "--print-to-pdf="+name)
		out, err := exec.Command("pdfinfo", name).Output()
		require.NoError(t, err)
		m := regexp.MustCompile(`Page size:\s+([\d.]+) x ([\d.]+)`).FindStringSubmatch(string(out))
		require.NotNil(t, m)
		w, _ := strconv.ParseFloat(m[1], 64)
		h, _ := strconv.ParseFloat(m[2], 64)
		assert.InDelta(t, size[0], w, 2, paper)
		assert.InDelta(t, size[1], h, 2, paper)
		checkPagesOfLoads(t, name)
	}
}

// checkPagesOfLoads sees that every load begins a page of its own.
func checkPagesOfLoads(t *testing.T, name string) {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext (poppler-utils) is not installed: the pages are not read")
	}
	text, err := exec.Command("pdftotext", "-layout", name, "-").Output()
	require.NoError(t, err)
	loads := 0
	for _, page := range strings.Split(string(text), "\f") {
		if n := len(regexp.MustCompile(`(?m)^\s*load-\d+: `).FindAllString(page, -1)); n > 0 {
			assert.Equal(t, 1, n, "one load on a page")
			loads++
		}
	}
	assert.Equal(t, len(job(t).Loads), loads)
}

// A load without a picture shows none, and no sign of one that is missing.
func TestLoadWithoutPicture(t *testing.T) {
	j := job(t)
	j.Loads[1].Pictures, j.Loads[2].Pictures, j.Loads[2].SameAs = nil, nil, "load-01"
	assert.Equal(t, 1, strings.Count(write(t, j, false), "<img"))
}

func TestPictureIsXML(t *testing.T) {
	page := write(t, job(t), true)
	svg := page[strings.Index(page, "<svg"):]
	svg = svg[:strings.Index(svg, "</svg>")+len("</svg>")]
	assert.NoError(t, xml.Unmarshal([]byte(svg), new(struct{})))
	assert.True(t, strings.Contains(html.UnescapeString(write(t, job(t), false)), base64.StdEncoding.EncodeToString(job(t).Loads[0].Pictures[0])[:100]))
}

// White film is seen on white paper; the decal keeps its size.
func TestLightFilmOnDarkGround(t *testing.T) {
	for colour, want := range map[string]bool{"#ffffff": true, "#F4E04D": true, "#1d3557": false, "#d62828": false, "white": false} {
		j := job(t)
		j.Designs[0].Colour = colour
		j.Designs[0].Film = "gloss <b>"
		assert.Contains(t, write(t, j, true), "</span> gloss &lt;b&gt;</dd>")
		for _, approval := range []bool{false, true} {
			page := write(t, j, approval)
			assert.Equal(t, want, strings.Contains(page, `viewBox="0 0 106.000 126.000"><rect width="106.000" height="126.000" fill="#5a616b"/><path fill="`+colour+`" d="M3,`), colour)
			assert.Equal(t, !want, strings.Contains(page, `width="100.00mm" height="120.00mm"`), colour)
		}
	}
}
