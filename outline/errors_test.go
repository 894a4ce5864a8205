package outline

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
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
