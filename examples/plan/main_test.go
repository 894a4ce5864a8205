package main

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var today = time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC)

// timetable is what -json prints, read without the library's types.
type timetable struct {
	Stages []struct {
		Name    string
		Workers int
	}
	Loads []struct {
		Name    string
		Minutes []float64
	}
	Order []int
	Tasks []struct {
		Load, Stage, Worker int
		Start               float64 `json:"start_minutes"`
		End                 float64 `json:"end_minutes"`
	}
	Span    float64    `json:"span_minutes"`
	Begin   *time.Time `json:"begin_by"`
	Lengths []struct {
		Max  float64 `json:"max_load_mm"`
		Span float64 `json:"span_minutes"`
	}
}

func plan(t *testing.T, args ...string) timetable {
	t.Helper()
	var out, noise bytes.Buffer
	require.NoError(t, run(context.Background(), append(args, "-json"), &out, &noise, today))
	assert.Empty(t, noise.String())
	var got timetable
	require.NoError(t, json.Unmarshal(out.Bytes(), &got))
	return got
}

// keepsItsRules sees that nobody does two things at once, that every load goes
// through the stages one after the other, and that the span is the last end
// and no less than what any stage has to do.
func (p timetable) keepsItsRules(t *testing.T) {
	t.Helper()
	require.Len(t, p.Tasks, len(p.Loads)*len(p.Stages))
	last := 0.0
	work := make([]float64, len(p.Stages))
	for i, a := range p.Tasks {
		assert.InDelta(t, p.Loads[a.Load].Minutes[a.Stage], a.End-a.Start, 1e-9)
		work[a.Stage] += a.End - a.Start
		last = max(last, a.End)
		for _, b := range p.Tasks[:i] {
			apart := a.Start >= b.End-1e-9 || b.Start >= a.End-1e-9
			if a.Stage == b.Stage && a.Worker == b.Worker {
				assert.True(t, apart, "a worker of stage %d does two loads at once", a.Stage)
			}
			if a.Load == b.Load && b.Stage < a.Stage {
				assert.GreaterOrEqual(t, a.Start, b.End-1e-9, "load %d", a.Load)
			}
		}
	}
	assert.InDelta(t, last, p.Span, 1e-9)
	for s, w := range work {
		assert.GreaterOrEqual(t, p.Span, w/float64(max(1, p.Stages[s].Workers))-1e-9)
	}
}

func write(t *testing.T, text string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "order.json")
	require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	return name
}

const small = `{"title": "Four loads", "film": {"name": "navy", "colour": "#1d3557", "width": "12 in"}, "gap": "1/4 in", "edge_margin": "10 mm", "max_load": "8 in",
  "words": {"upper": "MARLOW", "lower": "CREEK"}, "shop": {"people": {"weed": 2}, "deadline": "2026-11-25T17:00:00Z"},
  "items": [{"design": "gear", "height": "5 in", "copies": 7}]}`

func TestPlan(t *testing.T) {
	dir := t.TempDir()
	svg, picture := filepath.Join(dir, "plan.svg"), filepath.Join(dir, "plan.png")
	p := plan(t, "-order", write(t, small), "-svg", svg, "-png", picture)
	p.keepsItsRules(t)
	require.Len(t, p.Loads, 4)
	assert.Equal(t, 2, p.Stages[1].Workers)
	require.NotNil(t, p.Begin)
	deadline := time.Date(2026, 11, 25, 17, 0, 0, 0, time.UTC)
	assert.InDelta(t, p.Span, deadline.Sub(*p.Begin).Minutes(), 1e-6)

	data, err := os.ReadFile(svg)
	require.NoError(t, err)
	for d, err := xml.NewDecoder(bytes.NewReader(data)), error(nil); !errors.Is(err, io.EOF); {
		if _, err = d.Token(); err != nil {
			require.ErrorIs(t, err, io.EOF)
		}
	}
	f, err := os.Open(picture)
	require.NoError(t, err)
	defer f.Close()
	img, err := png.Decode(f)
	require.NoError(t, err)
	assert.Greater(t, img.Bounds().Dx(), img.Bounds().Dy())
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 2, "nothing unfinished is left behind")
}

// One more person at the longest stage never delays the end.
func TestMorePeople(t *testing.T) {
	two := plan(t, "-order", write(t, small))
	one := plan(t, "-order", write(t, strings.Replace(small, `"weed": 2`, `"weed": 1`, 1)))
	one.keepsItsRules(t)
	assert.Less(t, two.Span, one.Span)
}

func TestBestLength(t *testing.T) {
	p := plan(t, "-order", write(t, small), "-lengths", "8in,16in")
	require.Len(t, p.Lengths, 2)
	assert.InDelta(t, 8*25.4, p.Lengths[0].Max, 1e-9)
	assert.InDelta(t, min(p.Lengths[0].Span, p.Lengths[1].Span), p.Span, 1e-6, "the best is planned")
}

func TestText(t *testing.T) {
	var out, noise bytes.Buffer
	require.NoError(t, run(context.Background(), []string{"-order", write(t, small), "-lengths", "8in,16in"}, &out, &noise, today))
	for _, part := range []string{"loads of at most", "finished after", "begin by Wednesday 25 November 2026", "load-01", "trim, pack", "common practice"} {
		assert.Contains(t, out.String(), part)
	}
}

func TestDemo(t *testing.T) {
	p := plan(t)
	p.keepsItsRules(t)
	// 96 decals, each cut out in a minute and packed in half of one: common
	// practice, no source.
	handled := 0.0
	for _, l := range p.Loads {
		handled += l.Minutes[len(l.Minutes)-1]
	}
	assert.InDelta(t, 96*1.5, handled, 1e-9)
	assert.Nil(t, p.Begin)
}

func TestErrors(t *testing.T) {
	file := write(t, small)
	for name, test := range map[string]struct {
		args []string
		says string
	}{
		"no such file":        {[]string{"-order", "nowhere.json"}, "check the path of the order file"},
		"impossible deadline": {[]string{"-order", write(t, strings.Replace(small, "T17:00", "T08:05", 1))}, "deadline cannot be met"},
		"no deadline at all":  {[]string{"-order", write(t, strings.Replace(small, "2026-11-25T17:00:00Z", "soon", 1))}, "soon"},
		"nobody weeds":        {[]string{"-order", write(t, strings.Replace(small, `"weed": 2`, `"weed": -1`, 1))}, "shop.people.weed"},
		"fits nothing":        {[]string{"-order", write(t, strings.Replace(small, `"12 in"`, `"3 in"`, 1))}, "items[0]"},
		"length in words":     {[]string{"-order", file, "-lengths", "long"}, "-lengths"},
		"length of zero":      {[]string{"-order", file, "-lengths", "0in"}, "above zero"},
		"length too short":    {[]string{"-order", file, "-lengths", "2in"}, "loads of at most 50.8 mm"},
		"no such folder":      {[]string{"-order", file, "-svg", filepath.Join(t.TempDir(), "no", "plan.svg")}, "choose a folder"},
		"unknown argument":    {[]string{"order.json"}, "order.json"},
	} {
		t.Run(name, func(t *testing.T) {
			var out, noise bytes.Buffer
			err := run(context.Background(), test.args, &out, &noise, today)
			require.Error(t, err)
			assert.Contains(t, err.Error()+noise.String(), test.says)
			assert.Empty(t, out.String())
		})
	}
}
