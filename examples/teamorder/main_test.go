package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
)

// small has two designs, wordings of two members and a price: quick to run,
// and every part of the output has something to say.
const small = `{"title": "Chess club", "film": {"name": "navy", "colour": "#1d3557", "width": "12 in", "rolls": ["2 m"]}, "gap": "1/4 in", "edge_margin": "10 mm", "lead": "25 mm", "max_load": "15 in",
  "words": {"upper": "CHESS", "lower": "CLUB"}, "shop": {"rates": {"currency": "£", "film_per_metre": "4", "per_hour": "20"}},
  "items": [
    {"design": "gear", "height": "5 in", "copies": 2, "wordings": [{"words": {"lower": "Anna"}}, {"words": {"lower": "Boris"}}]},
    {"design": "leaf", "height": "5 in", "copies": 3, "spares": 1, "turn": "any"}]}`

func write(t *testing.T, text string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "order.json")
	require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	return name
}

func call(t *testing.T, args ...string) string {
	t.Helper()
	var out, noise bytes.Buffer
	require.NoError(t, run(context.Background(), args, &out, &noise))
	assert.Empty(t, noise.String(), "no bar where nobody looks")
	return out.String()
}

// report is what the test reads of report.json.
type report struct {
	FilmMM   float64 `json:"film_length_mm"`
	Counters int
	Loads    []struct {
		Name     string
		LengthMM float64 `json:"length_mm"`
		Counters int
		Decals   []struct{ ID string }
	}
}

func readJSON(t *testing.T, name string, v any) {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, v))
}

func TestOrderFile(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	out := call(t, "-order", write(t, small), "-out", dir, "-budget", "0")
	var r report
	readJSON(t, filepath.Join(dir, "report.json"), &r)
	film, counters := 0.0, 0
	var ids []string
	for _, l := range r.Loads {
		film += l.LengthMM
		counters += l.Counters
		own := len(ids)
		for _, d := range l.Decals {
			ids = append(ids, d.ID)
		}
		assert.Contains(t, out, layout.JoinIDs(ids[own:]))
		for _, suffix := range []string{".plt", ".dxf", ".svg"} {
			assert.FileExists(t, filepath.Join(dir, l.Name+suffix))
		}
	}
	assert.InDelta(t, film, r.FilmMM, 1e-3)
	assert.Equal(t, counters, r.Counters)
	assert.ElementsMatch(t, []string{"A-01", "A-02", "A-03", "A-04", "B-01", "B-02", "B-03", "B-04"}, ids, "two of each wording, three and a spare")
	for _, part := range []string{
		"Chess club\n", fmt.Sprintf("%.2f m", film/1000), "decals     8 of 2 designs, 3 wordings", fmt.Sprintf("%d to pick", counters),
		"Finished after", "Price £", "Cheaper way to gang: ", "Written to " + dir,
	} {
		assert.Contains(t, out, part)
	}
	lines := strings.Split(strings.TrimSpace(out), "\n")
	assert.Equal(t, caution, lines[len(lines)-1], "the caution comes last")
}

// A spoiled decal is cut again, the rest of a load too, and nothing else.
func TestAgain(t *testing.T) {
	first := t.TempDir()
	call(t, "-order", write(t, small), "-out", first, "-budget", "0")
	layout := filepath.Join(first, "layout.json")
	dir := t.TempDir()
	call(t, "-layout", layout, "-recut", "A-03,B-02", "-out", dir, "-budget", "0")
	var again report
	readJSON(t, filepath.Join(dir, "recut-report.json"), &again)
	var ids []string
	for _, l := range again.Loads {
		for _, d := range l.Decals {
			ids = append(ids, d.ID)
		}
	}
	assert.ElementsMatch(t, []string{"A-03", "B-02"}, ids)
	assert.NoFileExists(t, filepath.Join(dir, "approval.html"), "it has been approved")

	var l struct {
		Loads []struct {
			Name   string
			Decals []struct{ ID string }
		}
	}
	readJSON(t, layout, &l)
	load := l.Loads[0]
	k := len(load.Decals) / 2
	rest := t.TempDir()
	out := call(t, "-layout", layout, "-resume", load.Name+":"+load.Decals[k].ID, "-out", rest)
	var left report
	readJSON(t, filepath.Join(rest, "rest-report.json"), &left)
	require.Len(t, left.Loads, 1)
	assert.Len(t, left.Loads[0].Decals, len(load.Decals)-k)
	assert.NotContains(t, out, load.Decals[0].ID)
}

// Two runs with the same seed and count of iterations write the same bytes.
func TestRepeats(t *testing.T) {
	file := write(t, small)
	var first map[string]string
	var said string
	for range 2 {
		dir := t.TempDir()
		out := strings.ReplaceAll(call(t, "-order", file, "-out", dir, "-iterations", "20", "-seed", "3"), dir, "DIR")
		files := map[string]string{}
		names, err := os.ReadDir(dir)
		require.NoError(t, err)
		for _, n := range names {
			data, err := os.ReadFile(filepath.Join(dir, n.Name()))
			require.NoError(t, err)
			files[n.Name()] = string(data)
		}
		if first == nil {
			first, said = files, out
			continue
		}
		assert.Equal(t, said, out)
		require.Len(t, files, len(first))
		for name, data := range files {
			assert.True(t, data == first[name], "%s differs", name)
		}
	}
}

// What the club's share and the rates come to stands on the job sheet too.
func TestPriceOnJobSheet(t *testing.T) {
	dir := t.TempDir()
	out := call(t, "-order", write(t, small), "-out", dir, "-budget", "0")
	price := regexp.MustCompile(`Price (£[0-9.]+)`).FindStringSubmatch(out)
	require.Len(t, price, 2)
	page, err := os.ReadFile(filepath.Join(dir, "jobsheet.html"))
	require.NoError(t, err)
	assert.Contains(t, string(page), price[1])
}

func TestErrors(t *testing.T) {
	first := t.TempDir()
	file := write(t, small)
	call(t, "-order", file, "-out", first, "-budget", "0")
	layout := filepath.Join(first, "layout.json")
	notDir := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(notDir, nil, 0o644))
	bad := func(old, new string) []string {
		require.Contains(t, small, old)
		return []string{"-order", write(t, strings.Replace(small, old, new, 1)), "-out", filepath.Join(t.TempDir(), "none"), "-budget", "0"}
	}
	for name, test := range map[string]struct {
		args []string
		says string
	}{
		"no such order":      {[]string{"-order", "nowhere.json"}, "check the path of the order file"},
		"stray argument":     {[]string{"order.json"}, "all settings are flags"},
		"negative budget":    {[]string{"-budget", "-1s"}, "-budget"},
		"unknown flag":       {[]string{"-cut"}, "-cut"},
		"recut of nothing":   {[]string{"-recut", "A-01"}, "-layout"},
		"layout for nothing": {[]string{"-layout", layout}, "-recut or -resume"},
		"both":               {[]string{"-layout", layout, "-recut", "A-01", "-resume", "load-01:A-01"}, "-recut or -resume"},
		"no such layout":     {[]string{"-layout", "nowhere.json", "-recut", "A-01"}, "check the path after -layout"},
		"no such decal":      {[]string{"-layout", layout, "-recut", "Z-99"}, "Z-99"},
		"no such load":       {[]string{"-layout", layout, "-resume", "load-77:A-01"}, "load-77"},
		"resume in words":    {[]string{"-layout", layout, "-resume", "the first"}, "load-03:B-07"},
		"not a layout":       {[]string{"-layout", file, "-recut", "A-01"}, "layout.json"},
		"out is a file":      {[]string{"-order", file, "-budget", "0", "-out", notDir}, "choose a folder"},
		"two sizes":          {bad(`"height": "5 in", "copies": 3`, `"height": "5 in", "width": "5 in", "copies": 3`), "items[1]"},
		"roll too short":     {bad(`"2 m"`, `"200 mm"`), "add a roll"},
		"wider than film":    {bad(`"12 in"`, `"4 in"`), "items["},
		"unknown slot":       {bad(`"lower": "Anna"`, `"name": "Anna"`), "name"},
		"letter of no font":  {bad("Anna", "漢字"), "漢"},
	} {
		t.Run(name, func(t *testing.T) {
			var out, noise bytes.Buffer
			err := run(context.Background(), test.args, &out, &noise)
			require.Error(t, err)
			assert.Contains(t, err.Error()+noise.String(), test.says)
			assert.Empty(t, out.String())
			for i, a := range test.args {
				if a == "-out" && test.args[i+1] != notDir {
					assert.NoDirExists(t, test.args[i+1], "nothing half written")
				}
			}
		})
	}
}

// A customer's name with markup in it is text in every paper.
func TestMarkup(t *testing.T) {
	dir := t.TempDir()
	text := strings.Replace(small, `"title": "Chess club"`, `"title": "<script>alert(1)</script>", "customer": "=1+1\" onload=\"x"`, 1)
	call(t, "-order", write(t, text), "-out", dir, "-budget", "0")
	for _, name := range []string{"jobsheet.html", "approval.html"} {
		page, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.NotContains(t, string(page), "<script>")
		assert.Contains(t, string(page), "&lt;script&gt;")
		assert.NotContains(t, string(page), `" onload="x`)
	}
}

// An order with a roster and rates is cut again without its roster: layout.json
// holds what is needed.
func TestAgainWithoutTheRoster(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "order.json")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "class.csv"), []byte("upper\nANNA\nBEN\n"), 0o644))
	require.NoError(t, os.WriteFile(name, []byte(`{"title":"Class 4","film":{"name":"navy","colour":"#1d3557","width":"12 in"},"gap":"6 mm","edge_margin":"10 mm",
		"shop":{"rates":{"currency":"$","film_per_metre":"5.50","per_hour":"26"},"deadline":"2020-01-01T00:00:00Z"},"words":{"lower":"CLASS 4"},
		"items":[{"design":"gear","height":"100 mm","roster":"class.csv","copies":1}]}`), 0o644))
	out := call(t, "-order", name, "-out", dir, "-budget", "0")
	assert.Contains(t, out, "TOO LATE", "the deadline has passed")
	require.NoError(t, os.Remove(filepath.Join(dir, "class.csv")))
	out = call(t, "-layout", filepath.Join(dir, "layout.json"), "-recut", "A-02", "-out", dir, "-budget", "0")
	assert.Contains(t, out, "1 of 1 design")
	assert.True(t, strings.HasSuffix(strings.TrimSpace(out), caution))
}

// An interrupted run leaves the best layout so far, whole, and says so.
func TestInterrupted(t *testing.T) {
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Second)
	defer stop()
	var out, noise bytes.Buffer
	dir := t.TempDir()
	require.NoError(t, run(ctx, []string{"-order", write(t, small), "-out", dir, "-budget", "10m"}, &out, &noise))
	assert.Contains(t, out.String(), "Interrupted: this is the best layout so far")
	assert.NotContains(t, out.String(), "Cheaper way")
	assert.FileExists(t, filepath.Join(dir, "load-01.plt"))
}
