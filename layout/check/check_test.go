package check_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/check"
	"github.com/vinylgeom/vinyl/outline"
)

func box(x, y, w, h float64) outline.Path {
	return outline.Path{outline.Polygon(outline.Pt(x, y), outline.Pt(x+w, y), outline.Pt(x+w, y+h), outline.Pt(x, y+h))}
}

func sheet(paths ...outline.Path) layout.Sheet {
	s := layout.Sheet{Name: "load-01", Film: layout.Film{Width: 100}, Length: 200}
	for i, p := range paths {
		s.Decals = append(s.Decals, layout.PlacedDecal{ID: fmt.Sprintf("A-%02d", i+1), Path: p})
	}
	return s
}

func TestSheet(t *testing.T) {
	frame := append(box(10, 10, 50, 50), box(20, 20, 30, 30)[0].Reversed())
	open := box(10, 10, 10, 10)
	open[0].Segments = open[0].Segments[:3]
	nan := box(10, 10, math.NaN(), 10)
	for name, test := range map[string]struct {
		sheet layout.Sheet
		rules check.Rules
		cause error
	}{
		"apart":              {sheet(box(10, 10, 20, 20), box(35, 10, 20, 20)), check.Rules{Gap: 5, EdgeMargin: 10}, nil},
		"inside a hole":      {sheet(frame, box(25, 25, 20, 20)), check.Rules{Gap: 5}, nil},
		"too near in a hole": {sheet(frame, box(22, 25, 20, 20)), check.Rules{Gap: 5}, check.ErrGap},
		"too near":           {sheet(box(10, 10, 20, 20), box(34.9, 10, 20, 20)), check.Rules{Gap: 5}, check.ErrGap},
		"corner to corner":   {sheet(box(10, 10, 20, 20), box(33, 34, 20, 20)), check.Rules{Gap: 5.1}, check.ErrGap},
		"crossing":           {sheet(box(10, 10, 20, 20), box(25, 25, 20, 20)), check.Rules{}, check.ErrOverlap},
		"one in the other":   {sheet(box(10, 10, 40, 40), box(20, 20, 5, 5)), check.Rules{}, check.ErrOverlap},
		"the same place":     {sheet(box(10, 10, 40, 40), box(10, 10, 40, 40)), check.Rules{}, check.ErrOverlap},
		"margin":             {sheet(box(10, 5, 20, 20)), check.Rules{EdgeMargin: 6}, check.ErrMargin},
		"off the film":       {sheet(box(10, 90, 20, 20)), check.Rules{}, check.ErrMargin},
		"off the load":       {sheet(box(190, 10, 20, 20)), check.Rules{}, check.ErrLength},
		"load too long":      {sheet(box(10, 10, 20, 20)), check.Rules{MaxLength: 150}, check.ErrLength},
		"open":               {sheet(open), check.Rules{}, check.ErrNotClosed},
		"not finite":         {sheet(nan), check.Rules{}, check.ErrNotFinite},
		"empty":              {sheet(nil), check.Rules{}, check.ErrEmpty},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := check.Sheet(test.sheet, test.rules)
			if test.cause == nil {
				assert.NoError(t, err)
				return
			}
			assert.ErrorIs(t, err, test.cause)
			var v *check.Violation
			assert.ErrorAs(t, err, &v)
		})
	}
}

func TestFigures(t *testing.T) {
	f, err := check.Sheet(sheet(box(10, 10, 20, 20), box(33, 34, 20, 20), box(60, 10, 20, 20)), check.Rules{})
	require.NoError(t, err)
	assert.InDelta(t, 5, float64(f.SmallestGap), 1e-12, "a 3-4-5 triangle between two corners")
	assert.InDelta(t, 10, float64(f.SmallestEdgeDistance), 1e-12)
	f, err = check.Sheet(sheet(box(10, 10, 20, 20)), check.Rules{})
	require.NoError(t, err)
	assert.True(t, math.IsInf(float64(f.SmallestGap), 1))
}

func TestIDsAndBorder(t *testing.T) {
	s := sheet(box(10, 10, 20, 20), box(50, 10, 20, 20))
	s.Decals[1].ID = s.Decals[0].ID
	_, err := check.Sheet(s, check.Rules{})
	assert.ErrorIs(t, err, check.ErrID)
	s = sheet(box(10, 10, 20, 20))
	s.WeedBorder = box(5, 5, 30, 30)
	_, err = check.Sheet(s, check.Rules{})
	assert.NoError(t, err)
	s.WeedBorder = box(15, 5, 30, 30)
	_, err = check.Sheet(s, check.Rules{})
	assert.ErrorIs(t, err, check.ErrBorder)
}

func Example() {
	s := layout.Sheet{Name: "load-01", Film: layout.Film{Width: 100}, Length: 200}
	for i, x := range []float64{10, 33} {
		s.Decals = append(s.Decals, layout.PlacedDecal{ID: fmt.Sprintf("A-%02d", i+1), Path: box(x, 10, 20, 20)})
	}
	figures, err := check.Sheet(s, check.Rules{Gap: 5})
	fmt.Println("smallest gap", figures.SmallestGap)
	fmt.Println(err)
	// Output:
	// smallest gap 3 mm
	// check: load-01, decal A-01 and A-02: two decals are closer than the gap: 3.0000 mm apart, the gap is 5.0000 mm
}
