package nest_test

import (
	"context"
	"errors"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// partedByCuts plays the trims in order on the film of a load and reports whether each runs from edge to edge of the piece of
// film it divides, and whether in the end every placed piece has one of its own. It is a slow second opinion.
func partedByCuts(t *testing.T, strip nest.Strip, pieces []nest.Piece, load nest.Load) {
	t.Helper()
	type sheet struct{ x0, y0, x1, y1 float64 }
	sheets := []sheet{{0, 0, float64(load.Length), float64(strip.Width)}}
	if len(strip.Leftover) > 0 {
		b := strip.Leftover.Bound()
		sheets[0] = sheet{b.Min[0], b.Min[1], b.Max[0], b.Max[1]}
	}
	const near = 1e-6
	for _, c := range load.Cuts {
		x1, y1, x2, y2 := float64(c.X1), float64(c.Y1), float64(c.X2), float64(c.Y2)
		done := false
		for i, s := range sheets {
			if x1 == x2 && abs(y1-s.y0) < near && abs(y2-s.y1) < near && x1 > s.x0 && x1 < s.x1 {
				sheets[i].x1 = x1
				sheets = append(sheets, sheet{x1, s.y0, s.x1, s.y1})
				done = true
				break
			}
			if y1 == y2 && abs(x1-s.x0) < near && abs(x2-s.x1) < near && y1 > s.y0 && y1 < s.y1 {
				sheets[i].y1 = y1
				sheets = append(sheets, sheet{s.x0, y1, s.x1, s.y1})
				done = true
				break
			}
		}
		assert.True(t, done, "the cut %v runs from edge to edge of no sheet", c)
	}
	outline := map[string]nest.Piece{}
	for _, p := range pieces {
		outline[p.ID] = p
	}
	used := map[int]string{}
	for _, p := range load.Placements {
		b := p.Apply(outline[p.Piece].Outline).Bound()
		found := -1
		for i, s := range sheets {
			if b.Min[0] >= s.x0-near && b.Max[0] <= s.x1+near && b.Min[1] >= s.y0-near && b.Max[1] <= s.y1+near {
				found = i
			}
		}
		require.GreaterOrEqual(t, found, 0, "piece %s is cut through", p.Piece)
		assert.Empty(t, used[found], "two pieces stay on one sheet")
		used[found] = p.Piece
	}
}

func abs(v float64) float64 { return max(v, -v) }

func TestGangOfDecals(t *testing.T) {
	pieces, strip := decals(8), shopStrip()
	r, err := nest.Gang(context.Background(), strip, pieces, nest.Options{Iterations: 50})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
	for _, l := range r.Loads {
		partedByCuts(t, strip, pieces, l)
	}
	t.Log(len(r.Loads), r.Length, r.Density, r.Stats, len(r.Loads[0].Cuts))
}

// Common practice, no source: on 12 in film, decals about 4.8 in wide and 5.4 in high, 0.7 in between columns and 0.2 in
// between rows, go four to a 12 × 15 in load.
func TestGangFourToALoad(t *testing.T) {
	pieces := []nest.Piece{{ID: "decal", Outline: rectangle(4.8*25.4, 5.4*25.4), Count: 8}}
	strip := nest.Strip{Width: 12 * units.Inch, Gap: units.Inch / 5, Margins: nest.EqualMargins(10), MaxLength: 15 * units.Inch}
	r, err := nest.Gang(context.Background(), strip, pieces, nest.Options{Budget: nest.FirstLayoutOnly})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
	assert.Len(t, r.Loads, 2)
	for _, l := range r.Loads {
		assert.Len(t, l.Placements, 4)
		partedByCuts(t, strip, pieces, l)
	}
}

func TestGangKeepsGroupsAndAllowance(t *testing.T) {
	pieces := []nest.Piece{
		{ID: "a", Outline: rectangle(40, 30), Count: 7, Group: "chess club"},
		{ID: "b", Outline: rectangle(25, 60), Count: 5, Group: "choir", Rotations: nest.Rotations{Mode: nest.RotateQuarter}},
		{ID: "c", Outline: rectangle(33, 20), Count: 4, Group: "chess club"},
	}
	strip := nest.Strip{Width: 200, Gap: 2, TrimAllowance: 3, Margins: nest.EqualMargins(5), MaxLength: 150}
	r, err := nest.Gang(context.Background(), strip, pieces, nest.Options{Iterations: 100})
	require.NoError(t, err)
	v := checked(t, r, strip, pieces)
	for i, l := range r.Loads {
		assert.GreaterOrEqual(t, float64(v.Loads[i].SmallestGap), 6.0)
		partedByCuts(t, strip, pieces, l)
	}
	again, err := nest.Gang(context.Background(), strip, pieces, nest.Options{Iterations: 100, Workers: 1})
	require.NoError(t, err)
	assert.Equal(t, r.Loads, again.Loads)
}

func TestGangExactFit(t *testing.T) {
	// Three squares across a strip that is exactly as wide, touching.
	pieces := []nest.Piece{{ID: "square", Outline: rectangle(33.3, 33.3), Count: 9}}
	strip := nest.Strip{Width: 99.9}
	r, err := nest.Gang(context.Background(), strip, pieces, nest.Options{Iterations: 10})
	require.NoError(t, err)
	checked(t, r, strip, pieces)
	assert.InDelta(t, 99.9, float64(r.Length), 1e-6)
	partedByCuts(t, strip, pieces, r.Loads[0])
}

// TestGangRoundZones: a zone takes the whole width, in every load, and is cut off on both sides.
func TestGangRoundZones(t *testing.T) {
	pieces := []nest.Piece{
		{ID: "a", Outline: rectangle(40, 30), Count: 9, Group: "chess club"},
		{ID: "b", Outline: rectangle(25, 60), Count: 5, Group: "choir", Rotations: nest.Rotations{Mode: nest.RotateQuarter}},
	}
	flaw := nest.Placement{X: 70, Y: 150}.Apply(rectangle(8, 8))
	beside := nest.Placement{X: 10, Y: 210}.Apply(rectangle(90, 8)) // not on the film
	for _, most := range []units.Length{0, 180} {
		strip := nest.Strip{Width: 200, Gap: 2, TrimAllowance: 3, Margins: nest.EqualMargins(5), MaxLength: most, Forbidden: append(flaw, beside...)}
		r, err := nest.Gang(context.Background(), strip, pieces, nest.Options{Iterations: 100})
		require.NoError(t, err)
		checked(t, r, strip, pieces)
		for _, l := range r.Loads {
			partedByCuts(t, strip, pieces, l)
		}
		assert.NotEmpty(t, r.Loads[0].Cuts)
	}
	// Film that is bad from edge to edge for longer than any load takes nothing.
	strip := nest.Strip{Width: 200, MaxLength: 100, MaxLoads: 2, Forbidden: rectangle(100, 200)}
	r, err := nest.Gang(context.Background(), strip, pieces, nest.Options{Iterations: 5})
	var room *nest.RoomError
	require.ErrorAs(t, err, &room)
	assert.Equal(t, []nest.Unplaced{{Piece: "a", Count: 9}, {Piece: "b", Count: 5}}, r.Unplaced)
}

// TestGangInLeftover: a rectangle of film, wherever it lies, takes what it has room for; other shapes are refused.
func TestGangInLeftover(t *testing.T) {
	pieces := []nest.Piece{{ID: "tag", Outline: rectangle(40, 30), Count: 12}, {ID: "banner", Outline: rectangle(400, 30)}}
	strip := nest.Strip{Gap: 2, Margins: nest.Margins{Bottom: 4}, Leftover: nest.Placement{X: -30, Y: 50}.Apply(rectangle(150, 120))}
	r, err := nest.Gang(context.Background(), strip, pieces, nest.Options{Iterations: 50})
	var room *nest.RoomError
	require.ErrorAs(t, err, &room)
	assert.Equal(t, []nest.Unplaced{{Piece: "tag", Count: 3}, {Piece: "banner", Count: 1}}, room.Unplaced) // 3 × 3 of 42 × 32 fit
	_, err = r.Verify(strip, pieces)
	require.NoError(t, err)
	partedByCuts(t, strip, pieces, r.Loads[0])
	assert.InDelta(t, 9*40*30/(150*120.0), r.Density, 1e-9)

	for name, c := range map[string]struct {
		strip   nest.Strip
		options nest.Options
		where   string
	}{
		"a triangle":   {nest.Strip{Leftover: orb.MultiPolygon{{{{0, 0}, {300, 0}, {0, 300}}}}}, nest.Options{}, "Strip.Leftover"},
		"a turned box": {nest.Strip{Leftover: nest.Placement{Rotation: units.Degree}.Apply(rectangle(200, 200))}, nest.Options{}, "Strip.Leftover"},
		"two boxes":    {nest.Strip{Leftover: append(rectangle(90, 90), nest.Placement{X: 100}.Apply(rectangle(90, 90))...)}, nest.Options{}, "Strip.Leftover"},
		"fixed":        {nest.Strip{Width: 300}, nest.Options{Fixed: []nest.Placement{{Piece: "tag", Copy: 1, Load: 1}}}, "Options.Fixed"},
	} {
		_, err := nest.Gang(context.Background(), c.strip, pieces[:1], c.options)
		var input *nest.InputError
		require.ErrorAs(t, err, &input, name)
		assert.ErrorIs(t, err, errors.ErrUnsupported, name)
		assert.Equal(t, c.where, input.Where, name)
	}
}
