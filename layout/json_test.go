package layout_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// fullSheet sets every field that travels, with every kind of segment and
// numbers that have no short decimal.
func fullSheet() layout.Sheet {
	third := 1.0 / 3
	disc := outline.Path{{Start: outline.Pt(third, 0), Segments: []outline.Segment{
		outline.LineTo(outline.Pt(10, 0)), outline.QuadTo(outline.Pt(15, 5), outline.Pt(10, 10)),
		outline.CubicTo(outline.Pt(8, 12), outline.Pt(2, 12), outline.Pt(0, 10)), outline.LineTo(outline.Pt(third, 0))}}}
	return layout.Sheet{
		Name: "load-01", Length: 300.5,
		Film: layout.Film{Name: "matt navy", Colour: "#1d3557", Width: 304.8, Class: weedability.Cast},
		Decals: []layout.PlacedDecal{
			{ID: "A-01", Design: "gear", Copy: 1, Words: []string{"MARLOW", "CREEK"}, Colour: "#d62828", Path: disc, Rotation: 30 * units.Degree, Mirrored: true},
			{ID: "A-02", Design: "gear", Copy: 2, Path: disc.Transform(outline.Translate(outline.Pt(20, 0))), Rotation: units.Angle(math.Pi)},
		},
		WeedBorder: outline.Path{outline.Rectangle(outline.Box{Min: outline.Pt(-5, -5), Max: outline.Pt(40, 20)})},
		WeedLines:  []outline.Curve{outline.Polyline(outline.Pt(1, 1), outline.Pt(2, 3), outline.Pt(4, 4))},
		TrimLines:  []outline.Curve{outline.Polyline(outline.Pt(300.5, 0), outline.Pt(300.5, 304.8))},
		Marks:      []outline.Curve{outline.Polyline(outline.Pt(0, 0), outline.Pt(1, 0), outline.Pt(0, 0))}, // ends where it starts
	}
}

// The names are a promise to programs elsewhere: this text may only grow.
const fullSheetJSON = `{
	"name": "load-01",
	"film": {"name": "matt navy", "colour": "#1d3557", "width": "304.8 mm", "class": "cast"},
	"length_mm": 300.5,
	"decals": [
		{"id": "A-01", "design": "gear", "copy": 1, "words": ["MARLOW", "CREEK"], "colour": "#d62828",
			"path_mm": "M0.3333333333333333,0L10,0Q15,5 10,10C8,12 2,12 0,10Z", "rotation_deg": 30, "mirrored": true},
		{"id": "A-02", "design": "gear", "copy": 2,
			"path_mm": "M20.333333333333332,0L30,0Q35,5 30,10C28,12 22,12 20,10Z", "rotation_deg": 180, "mirrored": false}],
	"weed_border_path_mm": "M-5,-5L40,-5L40,20L-5,20Z",
	"weed_line_paths_mm": ["M1,1L2,3L4,4"],
	"trim_line_paths_mm": ["M300.5,0L300.5,304.8"],
	"mark_paths_mm": ["M0,0L1,0L0,0"]
}`

func TestSheetSurvivesJSON(t *testing.T) {
	want := fullSheet()
	data, err := json.Marshal(want)
	require.NoError(t, err)
	assert.JSONEq(t, fullSheetJSON, string(data))
	var back layout.Sheet
	require.NoError(t, json.Unmarshal(data, &back))
	for i := range want.Decals {
		// Angles travel as decimal degrees, so they come back within a rounding, and from then on as they are.
		assert.InDelta(t, float64(want.Decals[i].Rotation), float64(back.Decals[i].Rotation), 1e-10)
		want.Decals[i].Rotation = back.Decals[i].Rotation
	}
	assert.Equal(t, want, back)
	again, err := json.Marshal(back)
	require.NoError(t, err)
	assert.Equal(t, string(data), string(again))
}

// Where a segment came from is an index into a table that stays behind.
func TestSheetJSONLosesOrigins(t *testing.T) {
	s := fullSheet()
	s.Decals[0].Path = s.Decals[0].Path.WithOrigin(7)
	data, err := json.Marshal(s)
	require.NoError(t, err)
	var back layout.Sheet
	require.NoError(t, json.Unmarshal(data, &back))
	assert.Equal(t, fullSheet().Decals[0].Path, back.Decals[0].Path)
}

func TestZeroSheetJSON(t *testing.T) {
	data, err := json.Marshal(layout.Sheet{})
	require.NoError(t, err)
	assert.JSONEq(t, `{"name": "", "film": {"name": "", "width": "0 mm"}, "length_mm": 0, "decals": []}`, string(data))
	back := fullSheet()
	require.NoError(t, json.Unmarshal(data, &back))
	assert.Equal(t, layout.Sheet{Decals: []layout.PlacedDecal{}}, back)
}

func TestShopJSON(t *testing.T) {
	shape := outline.Path{outline.Rectangle(outline.Box{Max: outline.Pt(254, 304.8)})}
	type shop struct {
		Bed      layout.Bed      `json:"bed"`
		Size     layout.Size     `json:"size"`
		Plain    layout.Size     `json:"plain"`
		Leftover layout.Leftover `json:"leftover"`
	}
	want := shop{
		Bed:      layout.Bed{EdgeMargin: 10, Lead: 25, Tail: 30, MaxLoad: 15 * units.Inch},
		Size:     layout.Size{Measure: layout.Surface, Value: 90, Border: 2},
		Plain:    layout.Size{Value: 5.25 * units.Inch},
		Leftover: layout.Leftover{Name: "end of roll 7", Film: "matt navy", Shape: shape},
	}
	data, err := json.Marshal(want)
	require.NoError(t, err)
	assert.JSONEq(t, `{
		"bed": {"edge_margin": "10 mm", "lead": "25 mm", "tail": "30 mm", "max_load": "381 mm"},
		"size": {"measure": "area", "value": "90 mm", "border": "2 mm"},
		"plain": {"value": "133.35 mm"},
		"leftover": {"name": "end of roll 7", "film": "matt navy", "path_mm": "M0,0L254,0L254,304.8L0,304.8Z"}}`, string(data))
	var back shop
	require.NoError(t, json.Unmarshal(data, &back))
	assert.Equal(t, want, back)
}

func TestAcrossRowSurvivesJSON(t *testing.T) {
	want := layout.AcrossRow{Film: "navy", Width: 304.75, Across: 2, FilmPerDecal: 69.85, TurnedAcross: 1, TurnedFilmPerDecal: 128.25,
		OneMoreWidth: 90.5, OneMoreHeight: 99.25, OneMoreSaves: 0.5}
	data, err := json.Marshal(want)
	require.NoError(t, err)
	assert.JSONEq(t, `{"film": "navy", "film_width_mm": 304.75, "across": 2, "film_per_decal_mm": 69.85, "turned_across": 1,
		"turned_film_per_decal_mm": 128.25, "one_more_width_mm": 90.5, "one_more_height_mm": 99.25, "one_more_saves": 0.5}`, string(data))
	var back layout.AcrossRow
	require.NoError(t, json.Unmarshal(data, &back))
	assert.Equal(t, want, back)
}

func TestLayoutJSONErrors(t *testing.T) {
	for _, c := range []struct {
		into any
		text string
		says string
	}{
		{&layout.Film{}, `{"width": 300}`, "width"},
		{&layout.Film{}, `{"width": "300"}`, "unit"},
		{&layout.Film{}, `{"class": "felt", "width": "12 in"}`, `use one of cast`},
		{&layout.Size{}, `{"measure": "depth", "value": "3 in"}`, `"depth" is not known; use height, width or area`},
		{&layout.PlacedDecal{}, `{"id": "A-01", "path_mm": "L1,1"}`, "decal A-01"},
		{&layout.Leftover{}, `{"name": "end", "path_mm": "M0,0L1"}`, "leftover end"},
		{&layout.Sheet{}, `{"name": "s", "weed_border_path_mm": "?"}`, "sheet s: weed border"},
		{&layout.Sheet{}, `{"name": "s", "weed_line_paths_mm": ["M0,0L1,1", "M0,0L1,1M2,2L3,3"]}`, "sheet s: weed line 1: not a sensible value: 2 lines where one is meant"},
		{&layout.Sheet{}, `{"name": "s", "mark_paths_mm": [""]}`, "mark 0"},
	} {
		assert.ErrorContains(t, json.Unmarshal([]byte(c.text), c.into), c.says, c.text)
	}
	nan := outline.Pt(math.NaN(), 0)
	line := []outline.Curve{outline.Polyline(outline.Pt(0, 0), nan)}
	path := outline.Path{outline.Polygon(outline.Pt(0, 0), nan, outline.Pt(1, 1))}
	for _, v := range []any{
		layout.Measure(9), layout.PlacedDecal{Path: path}, layout.Leftover{Shape: path}, layout.Sheet{WeedBorder: path},
		layout.Sheet{WeedLines: line}, layout.Sheet{TrimLines: line}, layout.Sheet{Marks: line}, layout.Sheet{Decals: []layout.PlacedDecal{{Path: path}}},
	} {
		_, err := json.Marshal(v)
		assert.ErrorIs(t, err, layout.ErrInvalid, "%T", v)
	}
}
