package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReportAndPictures(t *testing.T) {
	dir := t.TempDir()
	picture, art := filepath.Join(dir, "a.png"), filepath.Join(dir, "a.svg")
	var out, warnings bytes.Buffer
	require.NoError(t, run(context.Background(), []string{"-text", "MARLOW", "-height", "0.5in", "-png", picture, "-svg", art}, &out, &warnings))
	var report struct {
		Counters, Islands []map[string]any
		Findings          []struct {
			Kind, Severity, Unit, Source, Of string
			X                                *float64 `json:"x_mm"`
			Y                                *float64 `json:"y_mm"`
			Value, Limit                     float64
		}
		Scale   *float64 `json:"smallest_safe_scale"`
		Minutes *float64 `json:"weed_minutes"`
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &report))
	assert.Len(t, report.Counters, 3, "A, R, O")
	assert.Len(t, report.Islands, 6)
	require.NotEmpty(t, report.Findings)
	for _, f := range report.Findings {
		assert.Less(t, f.Value, f.Limit)
		assert.NotEmpty(t, f.Source)
		assert.Contains(t, f.Of, "MARLOW")
		assert.NotNil(t, f.X)
		assert.NotNil(t, f.Y)
	}
	require.NotNil(t, report.Scale)
	assert.Greater(t, *report.Scale, 1.0)
	require.NotNil(t, report.Minutes)
	file, err := os.Open(picture)
	require.NoError(t, err)
	defer file.Close()
	img, err := png.Decode(file)
	require.NoError(t, err)
	assert.InDelta(t, pictureWidth, img.Bounds().Dx(), 1, "whole pixels")
	// The drawing it wrote is read back with the same pieces, and mended.
	out.Reset()
	require.NoError(t, run(context.Background(), []string{"-in", art, "-fix", "-png", picture}, &out, &warnings))
	require.NoError(t, json.Unmarshal(out.Bytes(), &report))
	assert.Len(t, report.Islands, 6)
	assert.Empty(t, report.Findings)
	assert.LessOrEqual(t, *report.Scale, 1.0)
}

func TestBadInput(t *testing.T) {
	dir := t.TempDir()
	for _, args := range [][]string{
		{}, {"-text", "A"}, {"-text", "A", "-height", "0mm"}, {"-text", "A", "-height", "1 furlong"}, {"-text", "A", "-height", "1in", "-film", "paper"},
		{"-text", "A", "-in", "b.svg", "-height", "1in"}, {"-in", filepath.Join(dir, "none.svg")}, {"-text", "A", "-height", "1in", "more"},
		{"-text", "A", "-height", "1in", "-png", filepath.Join(dir, "no", "folder.png")}, {"-text", "A", "-height", "1in", "-font", filepath.Join(dir, "none.ttf")},
	} {
		var out, warnings bytes.Buffer
		assert.Error(t, run(context.Background(), args, &out, &warnings), "%v", args)
		assert.Empty(t, out.String())
	}
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left, "nothing half written")
}

var update = flag.Bool("update", false, "write the golden files anew")

// TestGolden compares the whole JSON of a drawing, as it is and mended, with files that
// were looked at; figures are rounded to 1/1000.
func TestGolden(t *testing.T) {
	for name, more := range map[string][]string{"magnet": nil, "magnet-fixed": {"-fix"}, "magnet-reflective-3in": {"-height", "3in", "-film", "reflective"}} {
		var out, warnings bytes.Buffer
		require.NoError(t, run(context.Background(), append([]string{"-in", "testdata/magnet.svg"}, more...), &out, &warnings))
		assert.Empty(t, warnings.String())
		var v any
		require.NoError(t, json.Unmarshal(out.Bytes(), &v))
		got, err := json.MarshalIndent(rounded(v), "", " ")
		require.NoError(t, err)
		file := filepath.Join("testdata", name+".golden.json")
		if *update {
			require.NoError(t, os.WriteFile(file, append(got, '\n'), 0o644))
		}
		want, err := os.ReadFile(file)
		require.NoError(t, err, "run the tests with -update")
		a, b := strings.Split(strings.TrimSpace(string(want)), "\n"), strings.Split(string(got), "\n")
		for i := range min(len(a), len(b)) {
			require.Equal(t, a[i], b[i], "%s, line %d", file, i+1)
		}
		require.Len(t, b, len(a), file)
	}
}

func rounded(v any) any {
	switch v := v.(type) {
	case float64:
		return math.Round(v*1000) / 1000
	case []any:
		for i := range v {
			v[i] = rounded(v[i])
		}
	case map[string]any:
		for k := range v {
			v[k] = rounded(v[k])
		}
	}
	return v
}

// TestKeys: the report has the fields that it promises, with their units and words,
// whatever it finds, and says so with exit status 0.
func TestKeys(t *testing.T) {
	for _, args := range [][]string{
		{"-text", "i&8", "-height", "4mm"}, {"-text", "MARLOW", "-height", "2in"}, {"-in", "testdata/magnet.svg"},
		{"-in", "testdata/magnet.svg", "-height", "20 mm", "-film", "heat-transfer"}, {"-text", "gear", "-height", "1/2 in", "-film", "calendered", "-fix"},
	} {
		var out, warnings bytes.Buffer
		require.NoError(t, run(context.Background(), args, &out, &warnings), "%v", args)
		var report struct {
			Counters, Islands *[]struct {
				Area  *float64 `json:"area_mm2"`
				Width *float64 `json:"width_mm"`
			}
			Findings *[]map[string]any
			Scale    *float64 `json:"smallest_safe_scale"`
			Minutes  *float64 `json:"weed_minutes"`
		}
		require.NoError(t, json.Unmarshal(out.Bytes(), &report))
		require.NotNil(t, report.Counters)
		require.NotNil(t, report.Islands)
		require.NotNil(t, report.Findings)
		require.NotNil(t, report.Scale)
		require.NotNil(t, report.Minutes)
		assert.Positive(t, *report.Minutes)
		cured := true
		for _, f := range *report.Findings {
			for _, k := range []string{"kind", "severity", "x_mm", "y_mm", "value", "limit", "unit", "source", "of"} {
				require.Contains(t, f, k)
			}
			assert.Contains(t, []any{"counter-small", "island-area", "island-narrow", "stroke-thin", "gap-narrow", "tip-sharp", "waste-neck"}, f["kind"])
			assert.Contains(t, []any{"refuse", "warn", "caution"}, f["severity"])
			if f["kind"] == "island-area" {
				assert.Equal(t, "mm2", f["unit"])
			} else {
				assert.Equal(t, "mm", f["unit"])
			}
			cured = cured && f["kind"] == "tip-sharp"
		}
		assert.Equal(t, cured, *report.Scale <= 1, "%v: 1 or less means that it fits as it is", args)
	}
}
