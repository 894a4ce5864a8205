package main

import (
	"bytes"
	"context"
	"encoding/json"
	"image/png"
	"os"
	"path/filepath"
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
