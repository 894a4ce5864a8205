package proof

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
)

// crowded is a sheet of squares with square holes at random places.
func crowded(r *rand.Rand) layout.Sheet {
	s := layout.Sheet{Name: "load-01", Film: layout.Film{Name: "red", Colour: "#cc0000", Width: 200}, Length: 260}
	for i := range 6 {
		x, y := 10+85*float64(i%3), 10+100*float64(i/3)
		side, hole := 40+30*r.Float64(), 4+12*r.Float64()
		at := outline.Pt(x+side*(0.2+0.4*r.Float64()), y+side*(0.2+0.4*r.Float64()))
		path := boxPath(outline.Box{Min: outline.Pt(x, y), Max: outline.Pt(x+side, y+side)})
		path = append(path, outline.Polygon(at, at.Add(outline.Pt(0, hole)), at.Add(outline.Pt(hole, hole)), at.Add(outline.Pt(hole, 0))))
		s.Decals = append(s.Decals, layout.PlacedDecal{ID: fmt.Sprintf("A-%02d", i+1), Path: path})
	}
	return s
}

// covers reports whether points of the box lie in film and outside it, looking
// at each on a fine grid.
func covers(s layout.Sheet, b outline.Box) (inside, outside bool) {
	const n = 24
	for i := range n + 1 {
		for j := range n + 1 {
			p := outline.Pt(b.Min.X+b.Width()*float64(i)/n, b.Min.Y+b.Height()*float64(j)/n)
			in := false
			for _, d := range s.Decals {
				in = in || d.Path.Contains(p)
			}
			inside, outside = inside || in, outside || !in
		}
	}
	return inside, outside
}

// Ids and markers cover film only or ground only, and not one another; an id
// stands on its own decal.
func TestLabelsHideNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		s := crowded(r)
		free, err := newRoom(outline.Box{Max: outline.Pt(260, 200)}, s)
		require.NoError(t, err)
		half := outline.Pt(7, 3)
		for i, d := range s.Decals {
			at, ok := free.forID(s, i, half)
			require.True(t, ok)
			assert.True(t, d.Path.Contains(at))
			free.take(at, half)
		}
		for _, d := range s.Decals {
			place := d.Path[1].Bounds().Centre()
			free.mark(place)
			small := outline.Pt(3, 3)
			at, ok := free.beside(place, small)
			require.True(t, ok)
			assert.Less(t, at.Distance(place), besideReach*math.Sqrt2)
			free.take(at, small)
			free.lead(place, at)
		}
		plates := slices.Collect(free.plates.over(math.Inf(-1), math.Inf(1)))
		slices.SortFunc(plates, func(a, b outline.Box) int {
			return cmp.Or(cmp.Compare(a.Min.X, b.Min.X), cmp.Compare(a.Min.Y, b.Min.Y))
		})
		plates = slices.Compact(plates) // a plate can lie in two columns
		assert.Len(t, plates, 2*len(s.Decals))
		for i, b := range plates {
			inside, outside := covers(s, b)
			assert.False(t, inside && outside, "plate %d covers an edge", i)
			for _, c := range plates[:i] {
				assert.False(t, b.Overlaps(c), "plate %d covers another", i)
			}
		}
	}
}

// A decal without room for its id gets it all the same.
func TestNoRoom(t *testing.T) {
	sliver := layout.Sheet{Name: "load-01", Film: layout.Film{Name: "red", Colour: "#cc0000", Width: 3}, Length: 3,
		Decals: []layout.PlacedDecal{{ID: "A-01", Path: boxPath(outline.Box{Min: outline.Pt(1, 1), Max: outline.Pt(2, 2)})}}}
	img, err := Image(sliver, Options{Markers: []Marker{{At: outline.Pt(1.5, 1.5), Label: "1"}}})
	require.NoError(t, err)
	assert.False(t, img.Bounds().Empty())
	_, err = Image(sliver, Options{TextHeight: math.NaN()})
	assert.ErrorIs(t, err, ErrInvalid)
}

func TestCrosses(t *testing.T) {
	b := outline.Box{Min: outline.Pt(0, 0), Max: outline.Pt(2, 1)}
	for _, c := range []struct {
		a, b outline.Point
		want bool
	}{
		{outline.Pt(-1, 0.5), outline.Pt(3, 0.5), true},
		{outline.Pt(1, 0.2), outline.Pt(1, 0.8), true},
		{outline.Pt(1, 0.5), outline.Pt(1, 0.5), true},
		{outline.Pt(-1, 0), outline.Pt(0, 1.9), false},
		{outline.Pt(3, 0), outline.Pt(4, 1), false},
		{outline.Pt(3, -1), outline.Pt(3, 2), false},
	} {
		assert.Equal(t, c.want, crosses(b, c.a, c.b), c)
	}
}

// A picture with a palette is the picture where it has few colours.
func TestPaletted(t *testing.T) {
	img, err := Image(crowded(rand.New(rand.NewPCG(1, 2))), Options{})
	require.NoError(t, err)
	p := paletted(img)
	colours := map[[4]uint8]bool{}
	for i := 0; i < len(img.Pix); i += 4 {
		colours[[4]uint8(img.Pix[i:i+4])] = true
	}
	worst := 0.0
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			a, b := img.RGBAAt(x, y), p.Palette[p.ColorIndexAt(x, y)]
			r, g, bl, _ := b.RGBA()
			worst = max(worst, math.Abs(float64(a.R)-float64(r>>8)), math.Abs(float64(a.G)-float64(g>>8)), math.Abs(float64(a.B)-float64(bl>>8)))
		}
	}
	if len(colours) <= paletteSize {
		assert.Zero(t, worst)
	}
	assert.Less(t, worst, 24.0, "%d colours", len(colours))
}
