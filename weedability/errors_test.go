package weedability_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

func TestBadShapes(t *testing.T) {
	square := rect(0, 0, 10, 10)
	open := outline.Contour{Start: outline.Pt(0, 0), Segments: []outline.Segment{outline.LineTo(outline.Pt(10, 0)), outline.LineTo(outline.Pt(10, 10))}}
	for name, c := range map[string]struct {
		path    outline.Path
		cause   error
		contour int
	}{
		"nil":                  {nil, weedability.ErrEmpty, -1},
		"no area":              {outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(5, 0))}, weedability.ErrEmpty, -1},
		"a point":              {outline.Path{{Start: outline.Pt(1, 1)}}, weedability.ErrEmpty, -1},
		"open":                 {outline.Path{square, open}, weedability.ErrNotClosed, 1},
		"not a number":         {outline.Path{square, outline.Polygon(outline.Pt(20, 0), outline.Pt(math.NaN(), 0), outline.Pt(30, 5))}, weedability.ErrNotFinite, 1},
		"infinite":             {outline.Path{outline.Polygon(outline.Pt(20, 0), outline.Pt(math.Inf(1), 0), outline.Pt(30, 5))}, weedability.ErrNotFinite, 0},
		"far away":             {outline.Path{square, outline.Polygon(outline.Pt(1e9, 0), outline.Pt(2e9, 0), outline.Pt(1e9, 5))}, weedability.ErrTooLarge, 1},
		"overlapping":          {outline.Path{square, rect(5, 5, 15, 15)}, weedability.ErrNotWelded, 0},
		"one in another":       {outline.Path{square, rect(2, 2, 5, 5)}, weedability.ErrNotWelded, 1},
		"a hole in nothing":    {outline.Path{square, rect(20, 2, 25, 5).Reversed()}, weedability.ErrNotWelded, 1},
		"crosses itself":       {outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(10, 0), outline.Pt(10, 10), outline.Pt(4, -3))}, weedability.ErrNotWelded, 0},
		"curve crosses itself": {outline.Path{{Start: outline.Pt(0, 0), Segments: []outline.Segment{outline.CubicTo(outline.Pt(20, 10), outline.Pt(-10, 10), outline.Pt(10, 0)), outline.LineTo(outline.Pt(0, 0))}}}, weedability.ErrNotWelded, 0},
	} {
		t.Run(name, func(t *testing.T) {
			limits := weedability.LimitsFor(weedability.Cast)
			_, err := weedability.Inspect(context.Background(), c.path, limits, weedability.Options{})
			var se *weedability.ShapeError
			require.ErrorAs(t, err, &se)
			assert.ErrorIs(t, err, c.cause)
			assert.Equal(t, c.contour, se.Contour)
			assert.NotEmpty(t, se.Fix)
			assert.Contains(t, err.Error(), se.Fix)
			if c.contour >= 0 {
				assert.Contains(t, err.Error(), "mm")
			}
			// The remedies and the rest say the same.
			for name, f := range remedies {
				_, err := f(context.Background(), c.path, limits, weedability.RemedyOptions{})
				assert.ErrorIs(t, err, c.cause, name)
			}
			_, err = weedability.SmallestSafeSize(context.Background(), c.path, limits, weedability.Options{})
			assert.ErrorIs(t, err, c.cause)
			_, err = weedability.WeedLines(context.Background(), c.path, limits, weedability.WeedLineOptions{})
			assert.ErrorIs(t, err, c.cause)
		})
	}
}

func TestBadLimits(t *testing.T) {
	for name, change := range map[string]func(*weedability.Limits){
		"stroke.refuse":       func(l *weedability.Limits) { l.Stroke.Refuse = 0 },
		"stroke.warn":         func(l *weedability.Limits) { l.Stroke.Warn = -1 },
		"gap.caution":         func(l *weedability.Limits) { l.Gap.Caution = units.Length(math.NaN()) },
		"island_area.caution": func(l *weedability.Limits) { l.IslandArea.Caution = units.Area(math.Inf(1)) },
		"tip.behind":          func(l *weedability.Limits) { l.Tip.Behind = 0 },
		"waste_neck":          func(l *weedability.Limits) { l.WasteNeck.Warn = 5 },
		"class":               func(l *weedability.Limits) { l.Class = 99 },
	} {
		l := weedability.LimitsFor(weedability.Cast)
		change(&l)
		_, err := inspectLimits(outline.Path{rect(0, 0, 10, 10)}, l)
		var le *weedability.LimitsError
		require.ErrorAs(t, err, &le, name)
		assert.Equal(t, name, le.Field)
		assert.NotEmpty(t, le.Fix)
	}
	_, err := inspectLimits(outline.Path{rect(0, 0, 10, 10)}, weedability.Limits{})
	assert.ErrorIs(t, err, weedability.ErrLimit, "the zero value is no film")
}

func TestReadLimits(t *testing.T) {
	l, err := weedability.ReadLimits(strings.NewReader(`{"name": "matt black", "class": "cast", "stroke": {"refuse": "0.4 mm", "warn": "1 mm", "caution": "1/16 in"}}`))
	require.NoError(t, err)
	assert.Equal(t, "matt black", l.Name)
	assert.InDelta(t, 1.5875, float64(l.Stroke.Caution), 1e-9)
	assert.Equal(t, "shop's own", l.Stroke.Source)
	assert.Equal(t, weedability.LimitsFor(weedability.Cast).Gap, l.Gap)
	// What is written is read back.
	for _, class := range weedability.FilmClasses() {
		want := weedability.LimitsFor(class)
		require.NoError(t, want.Check())
		data, err := json.Marshal(want)
		require.NoError(t, err)
		got, err := weedability.ReadLimits(strings.NewReader(string(data)))
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	for text, cause := range map[string]error{
		``:                                       weedability.ErrFormat,
		`[]`:                                     weedability.ErrFormat,
		`{"colour": "red"}`:                      weedability.ErrFormat,
		`{"stroke": {"refuse": 0.5}}`:            weedability.ErrFormat,
		`{"stroke": {"refuse": "0 mm"}}`:         weedability.ErrLimit,
		`{"stroke": {"refuse": "-1 mm"}}`:        weedability.ErrLimit,
		`{"class": "paper"}`:                     weedability.ErrUnknownClass,
		`{"stroke": {"refuse": "0.5 furlongs"}}`: weedability.ErrFormat,
		`{} {}`:                                  weedability.ErrFormat,
	} {
		_, err := weedability.ReadLimits(strings.NewReader(text))
		var le *weedability.LimitsError
		require.ErrorAs(t, err, &le, text)
		assert.ErrorIs(t, err, cause, text)
	}
	_, err = weedability.ReadLimits(strings.NewReader(`{"colour": "red"}`))
	assert.ErrorContains(t, err, "colour")
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := weedability.Inspect(ctx, outline.Path{rect(0, 0, 10, 10)}, weedability.LimitsFor(weedability.Cast), weedability.Options{})
	assert.True(t, errors.Is(err, context.Canceled))
}

// TestErrorsNameTheLetter: where segments carry an origin, so do errors and findings.
func TestErrorsNameTheLetter(t *testing.T) {
	p := append(outline.Path{rect(0, 0, 10, 10)}.WithOrigin(1), outline.Path{rect(5, 5, 15, 15)}.WithOrigin(2)...)
	opt := weedability.Options{Describe: func(origin int32) string { return []string{"", "the A of MARLOW", "the R of MARLOW"}[origin] }}
	_, err := weedability.Inspect(context.Background(), p, weedability.LimitsFor(weedability.Cast), opt)
	assert.ErrorContains(t, err, "of MARLOW")
	p = append(outline.Path{rect(0, 0, 10, 10)}.WithOrigin(1), outline.Path{rect(10.6, 0, 15, 15)}.WithOrigin(2)...)
	r, err := weedability.Inspect(context.Background(), p, weedability.LimitsFor(weedability.Cast), opt)
	require.NoError(t, err)
	gaps := of(r, weedability.GapNarrow)
	require.Len(t, gaps, 1)
	assert.Contains(t, gaps[0].Of, "the A of MARLOW")
	assert.Contains(t, gaps[0].Of, "the R of MARLOW")
}

// TestOptionsOutOfReach: options and limits that would take for ever, or give figures that are none, are refused.
func TestOptionsOutOfReach(t *testing.T) {
	p := outline.Ring(outline.Pt(0, 0), 20, 12)
	usual := weedability.LimitsFor(weedability.Cast)
	for field, opt := range map[string]weedability.Options{
		"tolerance":     {Tolerance: 1e-9},
		"border_margin": {BorderMargin: 1e300},
		"effort":        {Effort: weedability.Effort{SecondsPerNeck: math.NaN()}},
	} {
		_, err := weedability.Inspect(context.Background(), p, usual, opt)
		var le *weedability.LimitsError
		require.ErrorAs(t, err, &le, field)
		assert.Equal(t, field, le.Field)
		assert.ErrorIs(t, err, weedability.ErrOption)
	}
	fine := usual
	fine.Stroke = weedability.Limit{Refuse: 1e-6, Warn: 1e-6, Caution: 1e-6}
	_, err := weedability.Inspect(context.Background(), p, fine, weedability.Options{})
	assert.ErrorIs(t, err, weedability.ErrTooLarge)
	assert.Zero(t, weedability.Effort{BaseSeconds: -1}.Minutes(weedability.Work{}))
	// What has no name is not written as if it had.
	for _, v := range []any{weedability.Kind(99), weedability.Severity(99), weedability.Lift(99), weedability.Finding{Kind: 99}, weedability.Island{Lift: 99}} {
		_, err := json.Marshal(v)
		assert.ErrorIs(t, err, weedability.ErrFormat, "%T", v)
	}
	assert.Equal(t, "unknown lift 99", weedability.Lift(99).String())
}
