package order

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

func pathOf(t *testing.T, data string) outline.Path {
	t.Helper()
	curves, err := svg.ParsePathData(data)
	require.NoError(t, err)
	var p outline.Path
	for _, c := range curves {
		p = append(p, c.Curve.Closed())
	}
	return p
}

func TestHoldsSquare(t *testing.T) {
	const ring = "M0,0H100V100H0Z M20,20V80H80V20Z" // a frame 20 wide
	for _, c := range []struct {
		name, data string
		side       float64
		want       bool
	}{
		{"exactly", "M0,0H50V50H0Z", 50, true},
		{"a hair too large", "M0,0H50V50H0Z", 50.1, false},
		{"a frame's bar", ring, 20, true},
		{"wider than the bar", ring, 21, false},
		{"beside a hole", "M0,0H137V60H0Z M31,10V50H70V10Z", 60, true},
		{"not beside it", "M0,0H137V60H0Z M31,10V50H80V10Z", 60, false},
		{"a triangle", "M0,0H100L0,100Z", 45, true},
		{"nothing", "", 10, false},
		{"no side", "M0,0H50V50H0Z", 0, false},
	} {
		assert.Equal(t, c.want, holdsSquare(pathOf(t, c.data), c.side), c.name)
	}
}

// The rest of a leftover is the leftover less the decals' boxes, its hole still
// in it; what is cut again from it lies in it.
func TestRestOfALeftover(t *testing.T) {
	o, err := Demo()
	require.NoError(t, err)
	o.Items = []Item{{Design: "gear", Height: 80, Copies: 2}}
	o.Leftovers = []Leftover{{Name: "shelf 3", Path: "M10,20H410V320H10Z M60,70V170H160V70Z"}}
	o.LeastLeftover = 2 * units.Inch
	r, err := Run(context.Background(), o, Options{Budget: nest.FirstLayoutOnly})
	require.NoError(t, err)
	l := r.Loads[0]
	require.Equal(t, "shelf 3", l.Leftover)
	require.NotNil(t, l.Rest)
	assert.Equal(t, "rest of shelf 3", r.Report.Loads[0].Rest)
	for x := 0.25; x < 400; x += 3.1 { // point by point: the leftover less the boxes
		for y := 0.25; y < 300; y += 3.1 {
			p := outline.Pt(x, y)
			want := !(x > 50 && x < 150 && y > 50 && y < 150)
			for _, d := range l.Sheet.Decals {
				want = want && !d.Path.Bounds().Grow(float64(o.Gap)).Contains(p)
			}
			require.Equal(t, want, l.Rest.Shape.Contains(p), "at %v", p)
		}
	}
	assert.False(t, l.Rest.Shape.Contains(outline.Pt(100, 100)), "the hole")

	again, err := r.Layout().Recut(context.Background(), []string{"A-02"}, Options{Budget: nest.FirstLayoutOnly})
	require.NoError(t, err)
	require.Equal(t, "rest of shelf 3", again.Loads[0].Leftover)
	outside, err := outline.Subtract(again.Loads[0].Sheet.Decals[0].Path, []outline.Path{again.Loads[0].Film}, outline.BooleanOptions{})
	require.NoError(t, err)
	assert.Zero(t, float64(outside.Area()))
}
