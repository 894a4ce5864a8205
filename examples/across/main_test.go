package main

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAcross(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run([]string{"-height", "5.25in", "-width", "4.8in", "-json"}, &out, &out))
	var got struct {
		Films []struct {
			FilmMM float64 `json:"film_width_mm"`
			Across int     `json:"across"`
			More   float64 `json:"one_more_width_mm"`
		} `json:"films"`
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &got))
	require.NotEmpty(t, got.Films)
	// Common practice, no source: two across on 12 in film.
	assert.InDelta(t, 304.8, got.Films[0].FilmMM, 1e-9)
	assert.Equal(t, 2, got.Films[0].Across)
	// (304.8 - 20 - 2 x 6.35) / 3
	assert.InDelta(t, 90.7, got.Films[0].More, 1e-6)
	out.Reset()
	require.NoError(t, run([]string{"-height", "5.25in", "-width", "4.8in"}, &out, &out))
	assert.Contains(t, out.String(), "12 in")
}

func TestErrors(t *testing.T) {
	for _, args := range [][]string{
		{}, {"-height", "5", "-width", "4in"}, {"-height", "5in", "-width", "-4in"},
		{"-height", "5in", "-width", "4in", "-films", "wide"}, {"-height", "5in", "-width", "4in", "-films", "10mm"},
	} {
		var out bytes.Buffer
		assert.Error(t, run(args, &out, &out), args)
	}
}
