package weedability_test

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

var update = flag.Bool("update", false, "write the golden files anew")

// fair is a design of the Marlow Creek Science Fair that breaks every kind of limit: a
// magnet with a slit, a ring with a wall too thin and a dot off its middle, a needle, a jar whose
// bay tears, and two rows of tiles that call for a weed line.
func fair() outline.Path {
	p := outline.Path{
		rect(0, 0, 30, 18), rect(5, 8, 25, 8.6).Reversed(), rect(10, 11, 12, 16).Reversed(),
		outline.Polygon(outline.Pt(40, 0), outline.Pt(46, 0), outline.Pt(43, 18)),
	}
	p = append(p, outline.Ring(outline.Pt(60, 9), 8, 7.2)...)
	p = append(p, outline.Circle(outline.Pt(56, 8), 0.9), jar(75, 0.8))
	for i := range 10 {
		x := 11 * float64(i)
		p = append(p, rect(x, -25, x+8, -17), rect(x, -12, x+8, -4))
	}
	return p
}

// parts names what is in the design by the origin that its segments carry.
var parts = map[int32]string{0: "", 1: "the magnet"}

func fairReport(t testing.TB) weedability.Report {
	t.Helper()
	p := fair()
	for i := range 3 {
		p[i] = outline.Path{p[i]}.WithOrigin(1)[0]
	}
	r, err := weedability.Inspect(context.Background(), p, weedability.LimitsFor(weedability.Cast),
		weedability.Options{Describe: func(origin int32) string { return parts[origin] }})
	require.NoError(t, err)
	return r
}

// golden compares with a file in testdata, or writes it.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	name = "testdata/" + name
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(name, got, 0o644))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err, "run the tests with -update")
	// The first line that differs: the whole of both is no help.
	a, b := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
	for i := range min(len(a), len(b)) {
		require.Equal(t, a[i], b[i], "%s, line %d; look at it, and run the tests with -update if it is meant", name, i+1)
	}
	require.Len(t, b, len(a), name)
}

// coarse rounds the figures of a JSON text to 1/1000, so that processors agree.
func coarse(t *testing.T, data []byte) []byte {
	t.Helper()
	var v any
	require.NoError(t, json.Unmarshal(data, &v))
	var walk func(v any) any
	walk = func(v any) any {
		switch v := v.(type) {
		case float64:
			return math.Round(v*1000) / 1000
		case []any:
			for i := range v {
				v[i] = walk(v[i])
			}
		case map[string]any:
			for k := range v {
				v[k] = walk(v[k])
			}
		}
		return v
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetIndent("", " ")
	require.NoError(t, e.Encode(walk(v)))
	return out.Bytes()
}

func TestReportGolden(t *testing.T) {
	r := fairReport(t)
	for _, k := range weedability.Kinds() {
		assert.NotZero(t, r.Count(k), "%v: the golden report has one of each kind", k)
	}
	require.NotEmpty(t, r.WeedLines)
	data, err := json.Marshal(r)
	require.NoError(t, err)
	golden(t, "report.golden.json", coarse(t, data))
}

// TestReportRoundTrip: what is read back is what was written, to the nanometre, and is
// written the same again.
func TestReportRoundTrip(t *testing.T) {
	r := fairReport(t)
	data, err := json.Marshal(r)
	require.NoError(t, err)
	var back weedability.Report
	require.NoError(t, json.Unmarshal(data, &back))
	again, err := json.Marshal(back)
	require.NoError(t, err)
	assert.Equal(t, string(data), string(again))
	const nanometre = 1e-6
	require.Len(t, back.Findings, len(r.Findings))
	for i, f := range r.Findings {
		g := back.Findings[i]
		assert.Equal(t, [...]any{f.Kind, f.Severity, f.Unit, f.Source, f.Of, f.Remedy, f.Number, f.Label}, [...]any{g.Kind, g.Severity, g.Unit, g.Source, g.Of, g.Remedy, g.Number, g.Label})
		assert.InDelta(t, f.Value, g.Value, nanometre)
		assert.InDelta(t, f.Limit, g.Limit, nanometre)
		assert.InDelta(t, f.SafeScale, g.SafeScale, nanometre)
		assert.InDelta(t, 0, f.At.Distance(g.At), nanometre)
		require.Len(t, g.Outline, len(f.Outline))
		for k := range f.Outline {
			assert.InDelta(t, float64(f.Outline[k].Length(0)), float64(g.Outline[k].Length(0)), 0.02, "a polyline within the tolerance")
		}
	}
	for i, c := range r.Counters {
		c.At, c.Area, c.Width = back.Counters[i].At, back.Counters[i].Area, back.Counters[i].Width
		assert.Equal(t, c, back.Counters[i])
	}
	for i, c := range r.Islands {
		c.At, c.Area, c.Width = back.Islands[i].At, back.Islands[i].Area, back.Islands[i].Width
		assert.Equal(t, c, back.Islands[i])
	}
	for i, l := range r.WeedLines {
		assert.Equal(t, l.Benefit(), back.WeedLines[i].Benefit())
	}
	assert.Equal(t, r.Pull.Degrees, back.Pull.Degrees)
	assert.Equal(t, r.Work.Picks, back.Work.Picks)
	assert.Equal(t, len(r.Waste.Necks), len(back.Waste.Necks))
	// The markers of a report that was read back are those of the original.
	for i, m := range r.Markers(r.WeedLines) {
		n := back.Markers(back.WeedLines)[i]
		assert.Equal(t, [...]any{m.Label, m.Shape, m.Alert, m.Text}, [...]any{n.Label, n.Shape, n.Alert, n.Text})
	}
}

func TestSmallerThingsRoundTrip(t *testing.T) {
	m := mend(t, weedability.Thicken, dumbbell(0.8), weedability.RemedyOptions{})
	data, err := json.Marshal(m.Changes)
	require.NoError(t, err)
	var changes []weedability.Change
	require.NoError(t, json.Unmarshal(data, &changes))
	again, err := json.Marshal(changes)
	require.NoError(t, err)
	assert.Equal(t, string(data), string(again))
	for _, class := range weedability.FilmClasses() {
		limits := weedability.LimitsFor(class)
		data, err := json.Marshal(limits)
		require.NoError(t, err)
		var back weedability.Limits
		require.NoError(t, json.Unmarshal(data, &back))
		assert.Equal(t, limits, back)
		read, err := weedability.ReadLimits(bytes.NewReader(data))
		require.NoError(t, err)
		assert.Equal(t, limits, read)
	}
	s, err := weedability.SmallestSafeSize(context.Background(), dumbbell(0.8), weedability.LimitsFor(weedability.Cast), weedability.Options{})
	require.NoError(t, err)
	data, err = json.Marshal(s)
	require.NoError(t, err)
	var size weedability.SafeSize
	require.NoError(t, json.Unmarshal(data, &size))
	assert.InDelta(t, s.Scale, size.Scale, 1e-12)
	assert.Equal(t, s.Limiting.Kind, size.Limiting.Kind)
	e := weedability.DefaultEffort()
	data, err = json.Marshal(e)
	require.NoError(t, err)
	var effort weedability.Effort
	require.NoError(t, json.Unmarshal(data, &effort))
	assert.Equal(t, e, effort)
}

func TestBadJSON(t *testing.T) {
	for text, to := range map[string]any{
		`{"counters": 3}`:                   new(weedability.Report),
		`{"findings": [{"kind": "holes"}]}`: new(weedability.Report),
		`{"severity": "awful"}`:             new(weedability.Finding),
		`{"lift": "maybe"}`:                 new(weedability.Island),
		`{"x_mm": "left"}`:                  new(weedability.Counter),
		`{"before": []}`:                    new(weedability.Change),
		`{"points_mm": [[1]], "left": ""}`:  new(weedability.WeedLine),
		`{"necks": {}}`:                     new(weedability.Waste),
		`{"ends_mm": 1}`:                    new(weedability.Neck),
		`{"direction_deg": "up"}`:           new(weedability.Pull),
	} {
		err := json.Unmarshal([]byte(text), to)
		var le *weedability.LimitsError
		require.ErrorAs(t, err, &le, text)
		assert.ErrorIs(t, err, weedability.ErrFormat)
		assert.NotEmpty(t, le.Fix)
	}
	// What is left out is empty, and lists are never null.
	var r weedability.Report
	require.NoError(t, json.Unmarshal([]byte(`{}`), &r))
	data, err := json.Marshal(r)
	require.NoError(t, err)
	assert.NotContains(t, string(data), "null")
	data, err = json.Marshal(weedability.Report{})
	require.NoError(t, err)
	assert.NotContains(t, string(data), "null")
}
