package nest_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

func TestFaults(t *testing.T) {
	nan := math.NaN()
	square := rectangle(10, 10)
	ok := nest.Strip{Width: 100}
	for name, c := range map[string]struct {
		strip  nest.Strip
		piece  nest.Piece
		cause  error
		naming string
	}{
		"no width":             {nest.Strip{}, nest.Piece{ID: "a", Outline: square}, nest.ErrBadNumber, "Width"},
		"negative gap":         {nest.Strip{Width: 100, Gap: -1}, nest.Piece{ID: "a", Outline: square}, nest.ErrBadNumber, "Gap"},
		"margin not a number":  {nest.Strip{Width: 100, Margins: nest.EqualMargins(units.Length(nan))}, nest.Piece{ID: "a", Outline: square}, nest.ErrBadNumber, "Margins"},
		"width infinite":       {nest.Strip{Width: units.Length(math.Inf(1))}, nest.Piece{ID: "a", Outline: square}, nest.ErrBadNumber, "Width"},
		"margins take all":     {nest.Strip{Width: 20, Margins: nest.EqualMargins(10)}, nest.Piece{ID: "a", Outline: square}, nest.ErrBadNumber, "Margins"},
		"lead takes all":       {nest.Strip{Width: 20, Lead: 30, MaxLength: 30}, nest.Piece{ID: "a", Outline: square}, nest.ErrBadNumber, "MaxLength"},
		"no ID":                {ok, nest.Piece{Outline: square}, nest.ErrBadOutline, "ID"},
		"negative count":       {ok, nest.Piece{ID: "a", Outline: square, Count: -1}, nest.ErrBadNumber, `"a"`},
		"huge count":           {ok, nest.Piece{ID: "a", Outline: square, Count: 1 << 40}, nest.ErrTooMany, `"a"`},
		"empty":                {ok, nest.Piece{ID: "a"}, nest.ErrBadOutline, `"a"`},
		"empty ring":           {ok, nest.Piece{ID: "a", Outline: orb.MultiPolygon{{{}}}}, nest.ErrBadOutline, `"a"`},
		"no rings":             {ok, nest.Piece{ID: "a", Outline: orb.MultiPolygon{{}}}, nest.ErrBadOutline, `"a"`},
		"a line":               {ok, nest.Piece{ID: "a", Outline: orb.MultiPolygon{{{{0, 0}, {10, 0}, {20, 0}}}}}, nest.ErrBadOutline, `"a"`},
		"bow-tie":              {ok, nest.Piece{ID: "a", Outline: orb.MultiPolygon{{{{0, 0}, {10, 10}, {10, 0}, {0, 20}}}}}, nest.ErrBadOutline, `"a"`},
		"vertex not a number":  {ok, nest.Piece{ID: "a", Outline: orb.MultiPolygon{{{{0, 0}, {10, nan}, {10, 0}}}}}, nest.ErrBadNumber, "vertex 1"},
		"vertex infinite":      {ok, nest.Piece{ID: "a", Outline: orb.MultiPolygon{{{{0, 0}, {math.Inf(1), 5}, {10, 0}}}}}, nest.ErrBadNumber, "vertex 1"},
		"mode":                 {ok, nest.Piece{ID: "a", Outline: square, Rotations: nest.Rotations{Mode: 9}}, nest.ErrUnknownMode, "Rotations"},
		"empty list":           {ok, nest.Piece{ID: "a", Outline: square, Rotations: nest.Rotations{Mode: nest.RotateList}}, nest.ErrBadNumber, "List"},
		"list without mode":    {ok, nest.Piece{ID: "a", Outline: square, Rotations: nest.Rotations{List: []units.Angle{1}}}, nest.ErrBadNumber, "List"},
		"angle not a number":   {ok, nest.Piece{ID: "a", Outline: square, Rotations: nest.Rotations{Mode: nest.RotateList, List: []units.Angle{units.Angle(nan)}}}, nest.ErrBadNumber, "List"},
		"leftover crosses":     {nest.Strip{Leftover: orb.MultiPolygon{{{{0, 0}, {10, 10}, {10, 0}, {0, 20}}}}}, nest.Piece{ID: "a", Outline: square}, nest.ErrBadOutline, "Leftover"},
		"forbidden not finite": {nest.Strip{Width: 100, Forbidden: orb.MultiPolygon{{{{0, 0}, {nan, 10}, {10, 0}}}}}, nest.Piece{ID: "a", Outline: square}, nest.ErrBadNumber, "Forbidden"},
		"too wide":             {nest.Strip{Width: 50, Margins: nest.EqualMargins(5)}, nest.Piece{ID: "banner", Outline: rectangle(60, 45)}, nest.ErrTooLarge, `"banner" needs film at least 55`},
		"too wide either way":  {nest.Strip{Width: 50}, nest.Piece{ID: "banner", Outline: rectangle(60, 55), Rotations: nest.Rotations{Mode: nest.RotateQuarter}}, nest.ErrTooLarge, "55"},
		"too wide at any":      {nest.Strip{Width: 50}, nest.Piece{ID: "banner", Outline: rectangle(60, 55), Rotations: nest.Rotations{Mode: nest.RotateAny}}, nest.ErrTooLarge, "55"},
		"too long":             {nest.Strip{Width: 50, MaxLength: 40, Lead: 5}, nest.Piece{ID: "banner", Outline: rectangle(60, 45)}, nest.ErrTooLarge, "at least 65"},
	} {
		_, err := nest.Nest(context.Background(), c.strip, []nest.Piece{c.piece}, nest.Options{Budget: nest.FirstLayoutOnly})
		require.Error(t, err, name)
		assert.ErrorIs(t, err, c.cause, name)
		assert.Contains(t, err.Error(), c.naming, name)
	}
	_, err := nest.Nest(context.Background(), ok, []nest.Piece{{ID: "a", Outline: square}}, nest.Options{Fixed: []nest.Placement{{Piece: "b", Copy: 1, Load: 1}}})
	assert.ErrorIs(t, err, nest.ErrUnknown)
	_, err = nest.Nest(context.Background(), nest.Strip{Width: 50, MaxLength: 40}, []nest.Piece{{ID: "a", Outline: rectangle(45, 10)}}, nest.Options{})
	var size *nest.SizeError
	require.ErrorAs(t, err, &size)
	assert.Equal(t, nest.SizeError{Piece: "a", Needed: 45, Have: 40, Along: true}, *size)
	_, err = nest.Nest(context.Background(), ok, []nest.Piece{{ID: "a", Outline: square}, {ID: "a", Outline: square}}, nest.Options{})
	assert.ErrorIs(t, err, nest.ErrBadOutline)
	r, err := nest.Nest(context.Background(), ok, nil, nest.Options{})
	require.NoError(t, err)
	assert.Empty(t, r.Loads)
	assert.Zero(t, r.Length)
}

// TestVerifyDoubtsStatements: what a Result says of itself is checked, and so is what no search makes.
func TestVerifyDoubtsStatements(t *testing.T) {
	strip, pieces := nest.Strip{Width: 50, TrimAllowance: 1}, []nest.Piece{{ID: "a", Outline: rectangle(10, 10), Count: 5}}
	nan := units.Length(math.NaN())
	for what, change := range map[string]func(*nest.Result){
		"stated length is less":                  func(r *nest.Result) { r.Loads[0].Length = nan },
		"stated film is less":                    func(r *nest.Result) { r.Length /= 2 },
		"stated smallest gap is more":            func(r *nest.Result) { r.Loads[0].SmallestGap += 0.001 },
		"stated distance from the edges is more": func(r *nest.Result) { r.Loads[0].SmallestEdgeDistance = nan },
		"a trim runs along neither":              func(r *nest.Result) { r.Loads[0].Cuts = []nest.Cut{{X1: 100, Y1: 0, X2: 120, Y2: 20}} },
		"neither the film nor across it":         func(r *nest.Result) { r.Loads[0].Cuts = []nest.Cut{{X1: nan, Y1: 0, X2: nan, Y2: 50}} },
		"-3 copies unplaced":                     func(r *nest.Result) { r.Unplaced = []nest.Unplaced{{Piece: "a", Count: 3}, {Piece: "a", Count: -3}} },
	} {
		r, err := nest.Gang(context.Background(), strip, pieces, nest.Options{Budget: nest.FirstLayoutOnly})
		require.NoError(t, err)
		checked(t, r, strip, pieces)
		change(&r)
		_, err = r.Verify(strip, pieces)
		var invalid *nest.VerifyError
		require.ErrorAs(t, err, &invalid, what)
		assert.Contains(t, err.Error(), what)
	}
	_, err := nest.Gang(context.Background(), strip, pieces, nest.Options{Iterations: math.MaxInt})
	assert.ErrorIs(t, err, nest.ErrBadNumber)
}

// A stick that is longer than the film is wide fits only slanted.
func TestSizeErrorNamesWidthNeeded(t *testing.T) {
	triangle := orb.MultiPolygon{{{{0, 0}, {100, 0}, {0, 100}}}}
	_, err := nest.Nest(context.Background(), nest.Strip{Width: 70, Margins: nest.Margins{Bottom: 1, Top: 2}},
		[]nest.Piece{{ID: "corner", Outline: triangle, Rotations: nest.Rotations{Mode: nest.RotateAny}}}, nest.Options{})
	var size *nest.SizeError
	require.ErrorAs(t, err, &size)
	assert.Equal(t, "corner", size.Piece)
	assert.InDelta(t, 100/math.Sqrt2+3, float64(size.Needed), 1e-9)
	strip := nest.Strip{Width: 74, Margins: nest.Margins{Bottom: 1, Top: 2}, Gap: 2}
	pieces := []nest.Piece{{ID: "corner", Outline: triangle, Rotations: nest.Rotations{Mode: nest.RotateAny}}}
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 10})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
}

func TestSliversAndManyVertices(t *testing.T) {
	fine := circle(40, 20000)
	pieces := []nest.Piece{
		{ID: "sliver", Outline: rectangle(80, 0.001), Count: 3, Rotations: nest.Rotations{Mode: nest.RotateQuarter}},
		{ID: "needle", Outline: orb.MultiPolygon{{{{0, 0}, {90, 0.0005}, {0, 0.001}}}}, Count: 2, Rotations: nest.Rotations{Mode: nest.RotateAny}},
		{ID: "fine", Outline: fine, Count: 2},
	}
	for _, gap := range []units.Length{0, 200} {
		strip := nest.Strip{Width: 100, Gap: gap}
		r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Budget: 300 * time.Millisecond})
		require.NoError(t, err)
		_, err = r.Verify(strip, pieces)
		require.NoError(t, err)
	}
}

// Pieces far from their origin keep their places.
func TestFarOrigin(t *testing.T) {
	var pieces []nest.Piece
	for _, p := range few(15) {
		p.Outline = nest.Placement{X: 1e6, Y: -3e5}.Apply(p.Outline)
		pieces = append(pieces, p)
	}
	strip := nest.Strip{Width: 150, Gap: 2}
	r, err := nest.Nest(context.Background(), strip, pieces, nest.Options{Iterations: 20})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
}

func TestStrings(t *testing.T) {
	for i := -1; i < 6; i++ {
		for _, s := range []fmt.Stringer{nest.RotationMode(i), nest.Mirror(i), nest.GrainMode(i)} {
			assert.NotEmpty(t, s.String())
		}
	}
	assert.Contains(t, nest.Fault{Load: 1, Piece: "a", Copy: 2, Other: "b", OtherCopy: 3, What: "overlap", Required: 2}.String(), `piece "a" copy 2: overlap (piece "b" copy 3)`)
}

// FuzzNest nests random pieces on random strips: whatever comes back without an error verifies.
func FuzzNest(f *testing.F) {
	for seed := range uint64(6) {
		f.Add(seed, 100.0, float64(seed%4), float64(seed%3)*5, float64(seed%2)*150)
	}
	f.Fuzz(func(t *testing.T, seed uint64, width, gap, margin, length float64) {
		if width > 1e4 || gap > 1e4 || length > 1e4 {
			t.Skip("too much film to be quick")
		}
		rng := rand.New(rand.NewPCG(seed, 17))
		var pieces []nest.Piece
		for i := range 1 + rng.IntN(5) {
			p := nest.Piece{ID: string(rune('a' + i)), Count: 1 + rng.IntN(3), Mirror: nest.Mirror(rng.IntN(3)),
				Rotations: nest.Rotations{Mode: []nest.RotationMode{nest.RotateNone, nest.RotateHalf, nest.RotateQuarter, nest.RotateAny}[rng.IntN(4)]}}
			if rng.IntN(3) == 0 {
				p.Outline = rectangle(5+40*rng.Float64(), float64(5+rng.IntN(40)))
			} else {
				p.Outline = star(rng, 5+25*rng.Float64(), 3+rng.IntN(12))
			}
			pieces = append(pieces, p)
		}
		strip := nest.Strip{Width: units.Length(width), Gap: units.Length(gap), Margins: nest.EqualMargins(units.Length(margin)), MaxLength: units.Length(length)}
		ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
		defer cancel()
		for _, method := range []func(context.Context, nest.Strip, []nest.Piece, nest.Options) (nest.Result, error){nest.Nest, nest.Gang} {
			r, err := method(ctx, strip, pieces, nest.Options{Iterations: 3, Seed: seed})
			if err != nil && len(r.Loads) == 0 {
				require.NotErrorIs(t, err, nest.ErrInvalid, "a layout was made and did not verify")
				continue
			}
			_, err = r.Verify(strip, pieces)
			require.NoError(t, err)
		}
	})
}
