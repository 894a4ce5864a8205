package nest_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// few are some pieces that are quick to nest.
func few(seed uint64) []nest.Piece {
	rng := rand.New(rand.NewPCG(seed, 9))
	var pieces []nest.Piece
	for i := range 6 {
		pieces = append(pieces, nest.Piece{ID: string(rune('a' + i)), Outline: star(rng, 15+15*rng.Float64(), 4+rng.IntN(12)), Count: 2,
			Rotations: nest.Rotations{Mode: nest.RotationMode(i % 3)}})
	}
	return pieces
}

func TestSameSeedSameLayoutOnAnyNumberOfWorkers(t *testing.T) {
	for _, strip := range []nest.Strip{{Width: 150, Gap: 2}, {Width: 150, Gap: 2, MaxLength: 120}} {
		var first []byte
		for _, workers := range []int{1, 2, 4} {
			r, err := nest.Nest(context.Background(), strip, few(1), nest.Options{Iterations: 30, Seed: 7, Workers: workers})
			require.NoError(t, err)
			data, err := json.Marshal(r)
			require.NoError(t, err)
			if first == nil {
				first = data
			}
			assert.Equal(t, string(first), string(data), "%d workers", workers)
		}
	}
}

func TestPermutingPiecesChangesLittle(t *testing.T) {
	strip := nest.Strip{Width: 150, Gap: 2}
	pieces := few(2)
	a, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 100})
	require.NoError(t, err)
	slices.Reverse(pieces)
	b, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 100})
	require.NoError(t, err)
	checked(t, b, strip, pieces)
	assert.InDelta(t, 1, float64(a.Length/b.Length), 0.1)
}

func TestLargerGapIsNotShorter(t *testing.T) {
	last := 0.0
	for _, gap := range []units.Length{0, 2, 6, 15, 60} {
		strip := nest.Strip{Width: 150, Gap: gap}
		r, err := nest.Nest(context.Background(), strip, few(3), nest.Options{Iterations: 30})
		require.NoError(t, err)
		checked(t, r, strip, few(3))
		assert.Greater(t, float64(r.Length), 0.95*last, "gap %v", gap)
		last = float64(r.Length)
	}
}

func TestCancelledRunEqualsItsLastReport(t *testing.T) {
	for _, strip := range []nest.Strip{{Width: 150, Gap: 2}, {Width: 150, Gap: 2, MaxLength: 120}} {
		ctx, cancel := context.WithCancel(context.Background())
		var last nest.Progress
		reports := 0
		r, err := nest.Nest(ctx, strip, few(4), nest.Options{Budget: 20 * time.Second, Progress: func(p nest.Progress) {
			last = p
			if reports++; reports == 3 {
				cancel()
			}
		}})
		require.ErrorIs(t, err, context.Canceled)
		checked(t, r, strip, few(4))
		assert.Equal(t, last.Length, r.Length)
		assert.Equal(t, last.Density, r.Density)
		assert.Equal(t, last.Loads, len(r.Loads))
		assert.Less(t, last.Elapsed, 10*time.Second)
		cancel()
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r, err := nest.Nest(ctx, nest.Strip{Width: 150}, few(4), nest.Options{})
	require.ErrorIs(t, err, context.Canceled)
	checked(t, r, nest.Strip{Width: 150}, few(4))
}

func TestResultSurvivesJSON(t *testing.T) {
	strip := nest.Strip{Width: 150, Gap: 2, Margins: nest.EqualMargins(3), MaxLength: 100}
	pieces := few(5)
	pieces[0].Rotations.Mode = nest.RotateAny
	pieces[1].Mirror = nest.MirrorAlways
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 10, Seed: 12})
	require.NoError(t, err)
	data, err := json.Marshal(r)
	require.NoError(t, err)
	var back nest.Result
	require.NoError(t, json.Unmarshal(data, &back))
	r.Stats = nest.Stats{}
	assert.Equal(t, r, back)
	checked(t, back, strip, pieces)
	var fields map[string]any
	require.NoError(t, json.Unmarshal(data, &fields))
	load := fields["loads"].([]any)[0].(map[string]any)
	for _, name := range []string{"length_mm", "density", "smallest_gap_mm", "smallest_edge_distance_mm"} {
		assert.Contains(t, load, name)
	}
	placement := load["placements"].([]any)[0].(map[string]any)
	for _, name := range []string{"piece", "copy", "load", "rotation_deg", "mirrored", "x_mm", "y_mm"} {
		assert.Contains(t, placement, name)
	}
}

// A few more decals: what is cut already stays where it is.
func TestFixedPiecesStay(t *testing.T) {
	for _, strip := range []nest.Strip{{Width: 150, Gap: 2}, {Width: 150, Gap: 2, MaxLength: 120}} {
		pieces := few(6)
		r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 20})
		require.NoError(t, err)
		for i := range pieces {
			pieces[i].Count++
		}
		more, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 20, Fixed: r.Placements()})
		require.NoError(t, err)
		checked(t, more, strip, pieces)
		assert.Subset(t, more.Placements(), r.Placements())
		spoiled := r.Placements()
		spoiled[0].Y -= 500
		_, err = nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 1, Fixed: spoiled})
		var input *nest.InputError
		require.ErrorAs(t, err, &input)
		require.ErrorIs(t, err, nest.ErrInvalid)
	}
}

func TestStartIsWhereItBegins(t *testing.T) {
	for _, strip := range []nest.Strip{{Width: 150, Gap: 2}, {Width: 150, Gap: 2, MaxLength: 120}} {
		pieces := few(7)
		r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 60})
		require.NoError(t, err)
		again, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Budget: nest.FirstLayoutOnly, Start: r.Placements()})
		require.NoError(t, err)
		checked(t, again, strip, pieces)
		assert.Equal(t, r.Length, again.Length)
		pieces[2].Count++
		pieces = pieces[:5]
		fewer, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Budget: nest.FirstLayoutOnly, Start: r.Placements()})
		require.NoError(t, err)
		checked(t, fewer, strip, pieces)
	}
}

func TestGroupsKeepTogether(t *testing.T) {
	for _, length := range []units.Length{0, 140} {
		strip := nest.Strip{Width: 150, Gap: 2, Margins: nest.EqualMargins(4), MaxLength: length}
		pieces := few(8)
		for i := range pieces {
			pieces[i].Group = []string{"north", "south", ""}[i%3]
		}
		r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 20})
		require.NoError(t, err)
		checked(t, r, strip, pieces)
		// Swapping two places in different groups must be noticed.
		spoiled := r
		spoiled.Loads = slices.Clone(r.Loads)
		pieces[0].Group = "south"
		_, err = spoiled.Verify(strip, pieces)
		var wrong *nest.VerifyError
		require.ErrorAs(t, err, &wrong)
	}
}

func TestFixedPiecesOfOneGroupFarApart(t *testing.T) {
	strip := nest.Strip{Width: 100, MaxLength: 100}
	pieces := []nest.Piece{{ID: "a", Outline: rectangle(60, 60), Count: 2, Group: "north"}, {ID: "b", Outline: rectangle(60, 60), Group: "south"}}
	fixed := []nest.Placement{{Piece: "a", Copy: 1, Load: 1}, {Piece: "a", Copy: 2, Load: 3}}
	_, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 1, Fixed: fixed})
	require.ErrorIs(t, err, nest.ErrInvalid)
	fixed[1].Load = 2
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 1, Fixed: fixed})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
	strip.MaxLoads = 1
	_, err = nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 1, Fixed: fixed})
	require.ErrorIs(t, err, nest.ErrBadNumber)
}

func TestForbiddenZone(t *testing.T) {
	strip := nest.Strip{Width: 150, Gap: 3, Forbidden: orb.MultiPolygon{{{{30, 40}, {90, 50}, {80, 110}, {40, 100}}}}}
	r, err := nest.Nest(context.Background(), strip, few(9), nest.Options{Iterations: 30})
	require.NoError(t, err)
	checked(t, r, strip, few(9))
	strip.Forbidden = orb.MultiPolygon{rectangle(float64(r.Length), 150)[0]}
	_, err = r.Verify(strip, few(9))
	require.ErrorIs(t, err, nest.ErrInvalid)
}

// A leftover of any shape, with a hole that was cut out before.
func TestLeftover(t *testing.T) {
	leftover := orb.MultiPolygon{{
		{{10, 10}, {330, 30}, {300, 200}, {150, 160}, {20, 220}},
		{{100, 80}, {160, 80}, {160, 130}, {100, 130}},
	}}
	pieces := few(10)
	for _, margin := range []units.Length{0, 8} {
		strip := nest.Strip{Leftover: leftover, Gap: 3, Margins: nest.EqualMargins(margin)}
		r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 6})
		var room *nest.RoomError
		if err != nil {
			require.ErrorAs(t, err, &room)
		}
		v := checked(t, r, strip, pieces)
		assert.GreaterOrEqual(t, len(r.Loads[0].Placements), 8)
		assert.GreaterOrEqual(t, v.Loads[0].SmallestEdgeDistance(), margin)
		require.Len(t, r.Loads, 1)
	}
}

func TestMaxLoads(t *testing.T) {
	strip := nest.Strip{Width: 100, Gap: 2, MaxLength: 70, MaxLoads: 1}
	r, err := nest.Nest(context.Background(), strip, few(11), nest.Options{Iterations: 10})
	var room *nest.RoomError
	require.ErrorAs(t, err, &room)
	require.ErrorIs(t, err, nest.ErrNoRoom)
	checked(t, r, strip, few(11))
	left := 0
	for _, u := range room.Unplaced {
		left += u.Count
	}
	assert.Equal(t, 12, left+len(r.Loads[0].Placements))
}

func TestGrain(t *testing.T) {
	strip := nest.Strip{Width: 150, Gap: 2}
	pieces := few(12)
	for i := range pieces {
		pieces[i].Rotations = nest.Rotations{Mode: nest.RotationMode(2 + 2*(i%2))}
		pieces[i].Grain = nest.Grain{Mode: nest.GrainMode(1 + i%2), Direction: 90 * units.Degree}
		pieces[i].Mirror = nest.MirrorAllowed
	}
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 20})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
	for _, p := range r.Placements() {
		m := p.Matrix()
		assert.InDelta(t, 0, m[4], 1e-9, "the piece's y axis lies along x") // image of (0, 1)
		if int(p.Piece[0]-'a')%2 == 1 {
			assert.InDelta(t, 1, m[1], 1e-9, "and points to +x")
		}
	}
	pieces[0].Rotations = nest.Rotations{}
	_, err = nest.Nest(context.Background(), strip, pieces, nest.Options{})
	var input *nest.InputError
	require.ErrorAs(t, err, &input)
	assert.Contains(t, input.Where, `"a"`)
}

func TestTrimAllowance(t *testing.T) {
	strip := nest.Strip{Width: 150, Gap: 2, TrimAllowance: 4}
	r, err := nest.Nest(context.Background(), strip, few(13), nest.Options{Iterations: 20})
	require.NoError(t, err)
	v := checked(t, r, strip, few(13))
	assert.GreaterOrEqual(t, float64(v.Loads[0].SmallestGap), 8.0)
}

// Parts of one piece move together, and another piece may lie between them.
func TestSeparateParts(t *testing.T) {
	two := orb.MultiPolygon{rectangle(20, 100)[0], {{{60, 0}, {80, 0}, {80, 100}, {60, 100}}}}
	strip := nest.Strip{Width: 100}
	pieces := []nest.Piece{{ID: "two", Outline: two}, {ID: "one", Outline: rectangle(40, 100)}}
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 50})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
	assert.InDelta(t, 80, float64(r.Length), 1e-6)
}

func TestVerifyFindsFaults(t *testing.T) {
	strip := nest.Strip{Width: 150, Gap: 2, Margins: nest.EqualMargins(3), MaxLength: 150}
	pieces := few(14)
	good, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 10})
	require.NoError(t, err)
	for name, spoil := range map[string]func(r *nest.Result, p *nest.Placement){
		"moved over another": func(r *nest.Result, p *nest.Placement) {
			p.X, p.Y = r.Loads[0].Placements[1].X, r.Loads[0].Placements[1].Y
		},
		"over the edge":       func(r *nest.Result, p *nest.Placement) { p.Y -= 200 },
		"too long":            func(r *nest.Result, p *nest.Placement) { p.X += 500 },
		"turned":              func(r *nest.Result, p *nest.Placement) { p.Rotation += 1e-3 },
		"mirrored":            func(r *nest.Result, p *nest.Placement) { p.Mirrored = true },
		"another copy":        func(r *nest.Result, p *nest.Placement) { p.Copy = 3 },
		"another piece":       func(r *nest.Result, p *nest.Placement) { p.Piece = "z" },
		"not a number":        func(r *nest.Result, p *nest.Placement) { p.X = units.Length(math.NaN()) },
		"another load":        func(r *nest.Result, p *nest.Placement) { p.Load = 2 },
		"missing":             func(r *nest.Result, p *nest.Placement) { r.Loads[0].Placements = r.Loads[0].Placements[1:] },
		"stated too short":    func(r *nest.Result, p *nest.Placement) { r.Loads[0].Length -= 1 },
		"unplaced but placed": func(r *nest.Result, p *nest.Placement) { r.Unplaced = []nest.Unplaced{{Piece: "a", Count: 1}} },
		"a trim through it": func(r *nest.Result, p *nest.Placement) {
			r.Loads[0].Cuts = []nest.Cut{{X1: 20, Y1: 0, X2: 20, Y2: 150}}
		},
	} {
		bad := good
		bad.Loads = slices.Clone(good.Loads)
		bad.Loads[0].Placements = slices.Clone(good.Loads[0].Placements)
		spoil(&bad, &bad.Loads[0].Placements[0])
		_, err := bad.Verify(strip, pieces)
		var wrong *nest.VerifyError
		assert.True(t, errors.As(err, &wrong) && len(wrong.Faults) > 0, name)
		assert.ErrorIs(t, err, nest.ErrInvalid, name)
	}
}

// Two right-angled trapezia that are mirror images of one another make a rectangle only when one of them may be mirrored.
func TestMirrorAllowed(t *testing.T) {
	trapezium := orb.MultiPolygon{{{{0, 0}, {60, 0}, {40, 50}, {0, 50}}}}
	strip := nest.Strip{Width: 50}
	length := map[nest.Mirror]float64{}
	for _, m := range []nest.Mirror{nest.MirrorNever, nest.MirrorAllowed} {
		pieces := []nest.Piece{{ID: "a", Outline: trapezium, Mirror: m}, {ID: "b", Outline: nest.Placement{Rotation: 180 * units.Degree}.Apply(trapezium), Mirror: m}}
		pieces[1].Outline = nest.Placement{Mirrored: true}.Apply(pieces[1].Outline)
		r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 60, Seed: 2})
		require.NoError(t, err)
		checked(t, r, strip, pieces)
		length[m] = float64(r.Length)
	}
	assert.InDelta(t, 120, length[nest.MirrorNever], 1e-6)
	assert.InDelta(t, 100, length[nest.MirrorAllowed], 1e-6)
}
