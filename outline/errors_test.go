package outline

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/units"
)

func TestErrorsSayWhatWhereAndHowToMend(t *testing.T) {
	for _, c := range []struct {
		err   error
		text  string
		cause error
	}{
		{
			&PathError{"weld", 2, 17, Pt(12.4, 3.05), ErrCrossing, "weld the shape first"},
			"outline: weld: contour 2, node 17, at (12.400, 3.050) mm: the contour crosses itself or another; weld the shape first",
			ErrCrossing,
		},
		{&PathError{"weld", 0, -1, Pt(1, 2), ErrTooFewPoints, ""}, "outline: weld: contour 0, at (1.000, 2.000) mm: the contour encloses nothing", ErrTooFewPoints},
		{&PathError{"weld", -1, -1, Point{}, ErrEmpty, "draw something"}, "outline: weld: the path has no contour; draw something", ErrEmpty},
		{
			&CurveError{"between", "bottom", 3, Pt(1, 2), ErrNotFinite, "give every point a finite position"},
			"outline: between: bottom curve, node 3, at (1.000, 2.000) mm: a coordinate is not a finite number; give every point a finite position",
			ErrNotFinite,
		},
		{&CurveError{"between", "top", -1, Point{}, ErrNoLength, ""}, "outline: between: top curve: the curve has no length", ErrNoLength},
		{&OptionError{"bend", "Tolerance", "-1 mm", "give a positive length"}, "outline: bend: Tolerance is -1 mm; give a positive length", ErrInvalidOption},
		{
			&BendError{Fold{1, 2, Pt(3, 4), Pt(5, 6), 0.1, 0.2}, ErrFolded, "unfold it"},
			"outline: bend: contour 1, segment 2, at (3.000, 4.000) mm, bent to (5.000, 6.000) mm: the bend turns part of the shape inside out; unfold it",
			ErrFolded,
		},
		{
			&BendError{Fold{-1, -1, Pt(3, 4), Pt(5, 6), 0.1, 0.2}, ErrFolded, "unfold it"},
			"outline: bend, at (3.000, 4.000) mm, bent to (5.000, 6.000) mm: the bend turns part of the shape inside out; unfold it",
			ErrFolded,
		},
	} {
		assert.EqualError(t, c.err, c.text)
		assert.ErrorIs(t, c.err, c.cause)
		assert.Equal(t, c.cause, errors.Unwrap(c.err))
	}
}

// Whatever operation it is given to, an option without sense is named.
func TestOptionsWithoutSenseAreNamed(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	p, side := Path{Circle(Pt(5, 5), 3)}, Polyline(Pt(0, 0), Pt(10, 0))
	box := Box{Pt(0, 0), Pt(10, 10)}
	flat, err := Quadrilateral(Pt(0, 0), Pt(10, 0), Pt(10, 10), Pt(0, 10))
	require.NoError(t, err)
	weld := func(opt BooleanOptions) error { _, err := Weld([]Path{p}, opt); return err }
	offset := func(d units.Length, opt OffsetOptions) error { _, err := Offset(p, d, opt); return err }
	bend := func(b Box, w Warp, opt BendOptions) error { _, err := Bend(p, b, w, opt); return err }
	second := func(_ any, err error) error { return err }
	for want, err := range map[string]error{
		"weld: Tolerance is -1 mm":                      weld(BooleanOptions{Tolerance: -1}),
		"weld: Tolerance is NaN mm":                     weld(BooleanOptions{Tolerance: units.Length(nan)}),
		"weld: FillRule is unknown fill rule":           weld(BooleanOptions{FillRule: 7}),
		"offset: Tolerance is +Inf mm":                  offset(1, OffsetOptions{Tolerance: units.Length(inf)}),
		"offset: distance is NaN mm":                    offset(units.Length(nan), OffsetOptions{}),
		"offset: MitreLimit is 0.5":                     offset(1, OffsetOptions{MitreLimit: 0.5}),
		"offset: MitreLimit is NaN":                     offset(1, OffsetOptions{MitreLimit: nan}),
		"offset: MitreLimit is +Inf":                    offset(1, OffsetOptions{Corner: CornerMitre, MitreLimit: inf}),
		"offset: Corner is unknown corner":              offset(1, OffsetOptions{Corner: 9}),
		"check: Tolerance is -2 mm":                     p.CheckWelded(-2),
		"simplify: Tolerance is -1 mm":                  second(Simplify(p, -1)),
		"merge nodes: Tolerance is NaN mm":              second(MergeNodes(p, units.Length(nan))),
		"fit: Tolerance is -1 mm":                       second(Fit([]Point{{1, 1}}, -1)),
		"bend: Tolerance is -1 mm":                      bend(box, flat, BendOptions{Tolerance: -1}),
		"bend: warp is nil":                             bend(box, nil, BendOptions{}),
		"bend: box is (0, 0) to (0, 5) mm":              bend(Box{Max: Pt(0, 5)}, flat, BendOptions{}),
		"between arcs: topRise is +Inf mm":              second(BetweenArcs(box, 0, units.Length(inf))),
		"between sines: Periods is NaN":                 second(BetweenSines(box, Sine{Periods: nan}, Sine{})),
		"between sines: Periods is 2000":                second(BetweenSines(box, Sine{}, Sine{Periods: 2000})),
		"trapezoid: topWidth is NaN mm":                 second(Trapezoid(box, 1, units.Length(nan))),
		"circular baseline: radius is 0 mm":             second(CircularBaseline(Pt(0, 0), 0, 0, 1, 1, 0)),
		"circular baseline: reading is unknown reading": second(CircularBaseline(Pt(0, 0), 1, 0, 1, 1, 5)),
		"along baseline: height is -1 mm":               second(AlongBaseline(side, -1)),
		"along curve: Stance is unknown stance":         second(AlongCurve([]Path{p}, side, AlongOptions{Stance: 9})),
		"along curve: Start is NaN mm":                  second(AlongCurve([]Path{p}, side, AlongOptions{Start: units.Length(nan)})),
	} {
		var option *OptionError
		require.ErrorAs(t, err, &option, want)
		require.ErrorIs(t, err, ErrInvalidOption)
		assert.ErrorContains(t, err, "outline: "+want+"; ")
	}
	// Finer than numbers go.
	assert.ErrorIs(t, weld(BooleanOptions{Tolerance: 5e-324}), ErrTooLarge)
}

// A panic inside would be a bug; it comes out as an error, and nothing with it.
func TestRecovered(t *testing.T) {
	broken := func() (out Path, err error) {
		defer recovered("weld", &out, &err)
		out = Path{{}}
		panic("index out of range")
	}
	out, err := broken()
	assert.Nil(t, out)
	var pathError *PathError
	assert.ErrorAs(t, err, &pathError)
}
