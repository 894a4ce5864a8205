package layout_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

func film(width units.Length) layout.Film { return layout.Film{Name: "test", Width: width} }

// testdata/trade.md, check 18: a 12 in strip that loses 0.625 in at each side,
// as punched stock does (decalstickerremover.com, 2012): 5 in decals with a
// 1/4 in gap go two across; with a 1/4 in box round each, 5.5 in, they do not;
// on true 11.8 in stock (cleancutgraphics.com) two still go.
func TestAcrossCheck18(t *testing.T) {
	bed := layout.Bed{EdgeMargin: 0.625 * units.Inch}
	usable, err := bed.Usable(film(12 * units.Inch))
	require.NoError(t, err)
	assert.InDelta(t, 10.75, usable.Inches(), 1e-9)
	for _, test := range []struct {
		film, width, gap units.Length
		want             int
	}{
		{12 * units.Inch, 5 * units.Inch, units.Inch / 4, 2},
		{12 * units.Inch, 5.5 * units.Inch, 0, 1},
		{11.8 * units.Inch, 5 * units.Inch, units.Inch / 4, 2},
		{12 * units.Inch, 10.75 * units.Inch, 0, 1},
		{12 * units.Inch, 10.76 * units.Inch, 0, 0},
	} {
		got, err := layout.Across(film(test.film), bed, test.width, test.gap)
		require.NoError(t, err)
		assert.Equal(t, test.want, got, test)
	}
}

// Common practice, no source: on 12 in film decals about 4.8 in wide go two
// across, 0.7 in apart, as a group of about 10.3 in; four of them, 5.4 in high
// and 0.2 in apart, are about 11 in along the film and fit a 12 x 15 in load.
func TestAcrossCommonPractice(t *testing.T) {
	bed := layout.Bed{EdgeMargin: 10 * units.Millimetre}
	n, err := layout.Across(film(12*units.Inch), bed, 4.8*units.Inch, 0.7*units.Inch)
	require.NoError(t, err)
	assert.Equal(t, 2, n)
	group := 2*4.8 + 0.7
	assert.InDelta(t, 10.3, group, 1e-9)
	assert.InDelta(t, 11.0, 2*5.4+0.2, 1e-9)
	largest, err := layout.LargestAcross(film(12*units.Inch), bed, 2, 0.7*units.Inch)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, largest, 4.8*units.Inch)
	back, err := layout.Across(film(12*units.Inch), bed, largest, 0.7*units.Inch)
	require.NoError(t, err)
	assert.Equal(t, 2, back)
	more, err := layout.Across(film(12*units.Inch), bed, largest+0.001, 0.7*units.Inch)
	require.NoError(t, err)
	assert.Equal(t, 1, more, "the largest size is the largest")
}

func TestAcrossErrors(t *testing.T) {
	nan := units.Length(math.NaN())
	for _, call := range []func() error{
		func() error {
			_, err := layout.Across(film(0), layout.Bed{}, 1, 0)
			return err
		},
		func() error {
			_, err := layout.Across(film(nan), layout.Bed{}, 1, 0)
			return err
		},
		func() error {
			_, err := layout.Across(film(20), layout.Bed{EdgeMargin: 10}, 1, 0)
			return err
		},
		func() error {
			_, err := layout.Across(film(100), layout.Bed{EdgeMargin: -1}, 1, 0)
			return err
		},
		func() error {
			_, err := layout.Across(film(100), layout.Bed{}, -1, 0)
			return err
		},
		func() error {
			_, err := layout.LargestAcross(film(100), layout.Bed{}, 0, 0)
			return err
		},
		func() error {
			_, err := layout.LargestAcross(film(100), layout.Bed{}, 3, 50)
			return err
		},
	} {
		var e *layout.Error
		require.ErrorAs(t, call(), &e)
		assert.NotEmpty(t, e.Fix)
	}
}

func square(side float64) outline.Path {
	return outline.Path{outline.Polygon(outline.Pt(3, 4), outline.Pt(3+side, 4), outline.Pt(3+side, 4+side), outline.Pt(3, 4+side))}
}

func TestSize(t *testing.T) {
	for _, test := range []struct {
		size   layout.Size
		factor float64
	}{
		{layout.Size{Value: 20}, 2},
		{layout.Size{Measure: layout.Width, Value: 5}, 0.5},
		{layout.Size{Value: 14, Border: 2}, 1},
		{layout.Size{Measure: layout.Surface, Value: 30}, 3},
	} {
		p, err := test.size.Apply(square(10))
		require.NoError(t, err)
		b := p.Bounds()
		assert.Equal(t, outline.Pt(0, 0), b.Min)
		assert.InDelta(t, 10*test.factor, b.Width(), 1e-12)
		assert.InDelta(t, 10*test.factor, b.Height(), 1e-12)
	}
	for _, bad := range []layout.Size{
		{}, {Value: -1}, {Value: units.Length(math.NaN())}, {Value: 5, Border: 3}, {Value: 5, Border: -1},
		{Measure: layout.Surface, Value: 5, Border: 1}, {Measure: 99, Value: 5},
	} {
		_, err := bad.Apply(square(10))
		var e *layout.Error
		assert.ErrorAs(t, err, &e, bad)
	}
	_, err := layout.Size{Value: 5}.Apply(nil)
	assert.ErrorIs(t, err, layout.ErrInvalid)
}

func TestSheet(t *testing.T) {
	s := layout.Sheet{
		Name: "load-01", Film: film(100), Length: 50,
		Decals:     []layout.PlacedDecal{{ID: "A-01", Path: square(10)}},
		WeedBorder: outline.Path{outline.Polygon(outline.Pt(1, 2), outline.Pt(20, 2), outline.Pt(20, 30), outline.Pt(1, 30))},
		TrimLines:  []outline.Curve{outline.Polyline(outline.Pt(40, 5), outline.Pt(40, 92))},
	}
	assert.Equal(t, outline.Box{Min: outline.Pt(1, 2), Max: outline.Pt(40, 92)}, s.Bounds())
	assert.Equal(t, units.Length(2), s.EdgeDistance(), "the border is nearer than the decal")
	assert.Equal(t, units.Area(100), s.FilmArea())
	assert.InDelta(t, 100.0/5000, s.UsedFraction(), 1e-12)
	d, err := s.Decal("A-01")
	require.NoError(t, err)
	assert.Equal(t, "A-01", d.ID)
	_, err = s.Decal("Z-99")
	assert.ErrorIs(t, err, layout.ErrNotFound)
	assert.True(t, layout.Sheet{}.Bounds().IsEmpty())
	assert.Zero(t, layout.Sheet{}.UsedFraction())
	assert.Zero(t, layout.Sheet{}.EdgeDistance())
}

// A count beyond int used to come out negative.
func TestAcrossIsBounded(t *testing.T) {
	for _, call := range []func() error{
		func() error { _, err := layout.Across(film(1e300), layout.Bed{}, 1, 0); return err },
		func() error { _, err := layout.Across(film(300), layout.Bed{}, 1e-9, 0); return err },
		func() error { _, err := layout.LargestAcross(film(300), layout.Bed{}, math.MaxInt, 0); return err },
	} {
		assert.ErrorIs(t, call(), layout.ErrInvalid)
	}
	n, err := layout.Across(film(layout.MaxAcross), layout.Bed{}, 1, 0)
	require.NoError(t, err)
	assert.Equal(t, layout.MaxAcross, n)
}
