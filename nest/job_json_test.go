package nest_test

import (
	"context"
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// job is what a queue would carry.
type job struct {
	Strip   nest.Strip   `json:"strip"`
	Pieces  []nest.Piece `json:"pieces"`
	Options nest.Options `json:"options"`
}

// fullJob sets every field that travels.
func fullJob() job {
	square := orb.MultiPolygon{{{{0, 0}, {10, 0}, {10, 10.125}, {0, 10}, {0, 0}}, {{2, 2}, {2, 4}, {4, 4}, {2, 2}}}}
	return job{
		Strip: nest.Strip{Width: 305, Gap: 3.2, TrimAllowance: 1.5, Margins: nest.Margins{Bottom: 1, Top: 2, Start: 3, End: 4},
			Lead: 25, Tail: 10, MaxLength: 400, MaxLoads: 3, Leftover: square, Forbidden: square},
		Pieces: []nest.Piece{
			{ID: "gear", Outline: square, Count: 7, Rotations: nest.Rotations{Mode: nest.RotateList, List: []units.Angle{0, units.Angle(math.Pi / 3)}},
				Mirror: nest.MirrorAllowed, Grain: nest.Grain{Mode: nest.GrainOneWay, Direction: units.Angle(math.Pi / 3)}, Group: "club"},
			{ID: "leaf", Outline: square, Rotations: nest.Rotations{Mode: nest.RotateAny}, Mirror: nest.MirrorAlways, Grain: nest.Grain{Mode: nest.GrainAlong}},
		},
		Options: nest.Options{Budget: 1500 * time.Millisecond, Iterations: 9, Seed: 1 << 60, Workers: 2, IdenticalLoads: true,
			Fixed: []nest.Placement{{Piece: "gear", Copy: 1, Load: 1, Rotation: units.Angle(math.Pi / 2), X: 12.5, Y: 30}},
			Start: []nest.Placement{{Piece: "leaf", Copy: 1, Load: 2, Mirrored: true, X: 1, Y: 3}}},
	}
}

// The names are a promise to programs elsewhere: this text may only grow.
const fullJobJSON = `{
	"strip": {"width": "305 mm", "gap": "3.2 mm", "trim_allowance": "1.5 mm",
		"margins": {"bottom": "1 mm", "top": "2 mm", "start": "3 mm", "end": "4 mm"},
		"lead": "25 mm", "tail": "10 mm", "max_length": "400 mm", "max_loads": 3,
		"leftover": [[[[0,0],[10,0],[10,10.125],[0,10],[0,0]],[[2,2],[2,4],[4,4],[2,2]]]],
		"forbidden": [[[[0,0],[10,0],[10,10.125],[0,10],[0,0]],[[2,2],[2,4],[4,4],[2,2]]]]},
	"pieces": [
		{"id": "gear", "outline": [[[[0,0],[10,0],[10,10.125],[0,10],[0,0]],[[2,2],[2,4],[4,4],[2,2]]]], "count": 7,
			"rotations": {"mode": "list", "list": ["0 deg", "60 deg"]}, "mirror": "allowed",
			"grain": {"mode": "one way", "direction": "60 deg"}, "group": "club"},
		{"id": "leaf", "outline": [[[[0,0],[10,0],[10,10.125],[0,10],[0,0]],[[2,2],[2,4],[4,4],[2,2]]]],
			"rotations": {"mode": "any"}, "mirror": "always", "grain": {"mode": "along"}}],
	"options": {"budget": "1.5s", "iterations": 9, "seed": 1152921504606846976, "workers": 2, "identical_loads": true,
		"fixed": [{"piece": "gear", "copy": 1, "load": 1, "rotation_deg": 90, "mirrored": false, "x_mm": 12.5, "y_mm": 30}],
		"start": [{"piece": "leaf", "copy": 1, "load": 2, "rotation_deg": 0, "mirrored": true, "x_mm": 1, "y_mm": 3}]}
}`

func TestJobSurvivesJSON(t *testing.T) {
	want := fullJob()
	data, err := json.Marshal(want)
	require.NoError(t, err)
	assert.JSONEq(t, fullJobJSON, string(data))
	var back job
	require.NoError(t, json.Unmarshal(data, &back))
	assert.InDelta(t, float64(want.Pieces[0].Rotations.List[1]), float64(back.Pieces[0].Rotations.List[1]), 1e-15)
	// Angles travel as decimal degrees, so they come back within a rounding, and from then on as they are.
	want.Pieces[0].Rotations.List[1] = back.Pieces[0].Rotations.List[1]
	want.Pieces[0].Grain.Direction = back.Pieces[0].Grain.Direction
	assert.Equal(t, want, back)
}

// What is left out is the useful zero.
func TestShortJobFromJSON(t *testing.T) {
	var in job
	require.NoError(t, json.Unmarshal([]byte(`{"strip": {"width": "12 in", "gap": "1/8 in"},
		"pieces": [{"id": "card", "outline": [[[[0,0],[90,0],[90,50],[0,50]]]], "count": 3}], "options": {"budget": "first layout"}}`), &in))
	assert.Equal(t, nest.FirstLayoutOnly, in.Options.Budget)
	r, err := nest.Nest(context.Background(), in.Strip, in.Pieces, in.Options)
	require.NoError(t, err)
	checked(t, r, in.Strip, in.Pieces)
	data, err := json.Marshal(job{})
	require.NoError(t, err)
	assert.JSONEq(t, `{"strip": {}, "pieces": null, "options": {}}`, string(data))
}

func TestBadJobJSON(t *testing.T) {
	for text, says := range map[string]string{
		`{"pieces": [{"mirror": "sometimes"}]}`:                 `"sometimes" is not known; write "never", "allowed", "always"`,
		`{"pieces": [{"rotations": {"mode": "three"}}]}`:        `"half turns"`,
		`{"pieces": [{"grain": {"mode": "across"}}]}`:           `"one way"`,
		`{"options": {"budget": "soon"}}`:                       `write a time such as "5s"`,
		`{"options": {"budget": "-3s"}}`:                        `not a time above zero`,
		`{"strip": {"width": 300}}`:                             "width",
		`{"strip": {"width": "300"}}`:                           "unit",
		`{"pieces": [{"id": "a", "outline": [[[0, 1]]]}]}`:      "outline",
		`{"pieces": [{"id": "a", "rotations": {"list": [1]}}]}`: "list",
	} {
		var in job
		assert.ErrorContains(t, json.Unmarshal([]byte(text), &in), says, text)
	}
	var in job
	var fault *nest.InputError
	require.ErrorAs(t, json.Unmarshal([]byte(`{"pieces": [{"mirror": "sometimes"}]}`), &in), &fault)
	assert.ErrorIs(t, fault, nest.ErrUnknownMode)
	_, err := json.Marshal(nest.Piece{Mirror: 9})
	assert.ErrorIs(t, err, nest.ErrUnknownMode)
}

// A service streams its progress and answers with what was measured.
func TestProgressAndVerificationSurviveJSON(t *testing.T) {
	p := nest.Progress{Loads: 2, Length: 512.25, Density: 0.75, Elapsed: 1250 * time.Millisecond, Iterations: 40}
	data, err := json.Marshal(p)
	require.NoError(t, err)
	assert.JSONEq(t, `{"loads":2,"length_mm":512.25,"density":0.75,"elapsed_s":1.25,"iterations":40}`, string(data))
	var progress nest.Progress
	require.NoError(t, json.Unmarshal(data, &progress))
	assert.Equal(t, p, progress)

	v := nest.Verification{Loads: []nest.LoadVerification{
		{SmallestGap: 3.5, Edges: nest.Margins{Bottom: 10, Top: 11, Start: 25, End: 12}, Length: 300},
		{SmallestGap: units.Length(math.Inf(1)), Edges: nest.Margins{Bottom: 10}, Length: 100},
	}}
	data, err = json.Marshal(v)
	require.NoError(t, err)
	assert.JSONEq(t, `{"loads":[
		{"smallest_gap_mm":3.5,"bottom_mm":10,"top_mm":11,"start_mm":25,"end_mm":12,"length_mm":300},
		{"bottom_mm":10,"top_mm":0,"start_mm":0,"end_mm":0,"length_mm":100}]}`, string(data))
	var back nest.Verification
	require.NoError(t, json.Unmarshal(data, &back))
	assert.Equal(t, v, back)
}
