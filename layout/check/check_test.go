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
	"github.com/vinylgeom/vinyl/units"
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

// A part of a decal that lies in another is found, whichever part it is.
func TestOneOfSeveralPartsInside(t *testing.T) {
	apart := append(box(10, 70, 5, 5), box(20, 20, 5, 5)...)
	_, err := check.Sheet(sheet(box(10, 10, 40, 40), apart), check.Rules{})
	assert.ErrorIs(t, err, check.ErrOverlap)
}

func TestLines(t *testing.T) {
	s := sheet(box(10, 10, 20, 20))
	line := func(x float64) []outline.Curve {
		return []outline.Curve{{Start: outline.Pt(x, 0), Segments: []outline.Segment{outline.LineTo(outline.Pt(x, 100))}}}
	}
	for _, field := range []*[]outline.Curve{&s.WeedLines, &s.TrimLines, &s.Marks} {
		for x, cause := range map[float64]error{40: nil, 15: check.ErrLine, math.NaN(): check.ErrNotFinite} {
			*field = line(x)
			_, err := check.Sheet(s, check.Rules{})
			assert.ErrorIs(t, err, cause)
		}
		*field = nil
	}
}

func TestShapeOfLeftover(t *testing.T) {
	film := append(box(0, 0, 100, 100), box(40, 40, 20, 20)[0].Reversed()) // a hole already cut
	for name, test := range map[string]struct {
		at    outline.Path
		cause error
	}{
		"beside the hole":     {box(10, 10, 20, 20), nil},
		"near the hole":       {box(17, 45, 20, 10), check.ErrMargin},
		"in the hole":         {box(46, 46, 8, 8), check.ErrMargin},
		"over the hole":       {box(30, 30, 40, 40), check.ErrMargin},
		"over the hole's rim": {box(30, 45, 20, 10), check.ErrMargin},
	} {
		_, err := check.Sheet(sheet(test.at), check.Rules{EdgeMargin: 5, Shape: film})
		assert.ErrorIs(t, err, test.cause, name)
	}
}

// A number that compares with nothing must not let everything pass.
func TestNothingPassesByNaN(t *testing.T) {
	near := sheet(box(10, 10, 20, 20), box(30.1, 10, 20, 20))
	nan := units.Length(math.NaN())
	for _, rules := range []check.Rules{{Gap: nan}, {Gap: -1}, {EdgeMargin: nan}, {MaxLength: nan}, {MaxLength: -1}, {Gap: units.Length(math.Inf(1))}} {
		_, err := check.Sheet(near, rules)
		assert.ErrorIs(t, err, check.ErrRules, rules)
	}
	for _, spoil := range []func(*layout.Sheet){
		func(s *layout.Sheet) { s.Length = nan },
		func(s *layout.Sheet) { s.Film.Width = nan },
		func(s *layout.Sheet) { s.WeedBorder = box(math.NaN(), 1, 2, 3) },
		func(s *layout.Sheet) { s.WeedBorder = box(1, 1, 2, math.Inf(1)) },
	} {
		s := near
		spoil(&s)
		_, err := check.Sheet(s, check.Rules{})
		assert.ErrorIs(t, err, check.ErrNotFinite)
	}
}

// A cut that lies wholly in a decal's film touches no edge of it, and ruins it.
func TestCutsInsideADecal(t *testing.T) {
	s := sheet(box(10, 10, 40, 40))
	s.TrimLines = []outline.Curve{outline.Polyline(outline.Pt(20, 20), outline.Pt(30, 40))}
	_, err := check.Sheet(s, check.Rules{})
	assert.ErrorIs(t, err, check.ErrLine)
	s.TrimLines = nil
	s.WeedBorder = box(20, 20, 10, 10)
	_, err = check.Sheet(s, check.Rules{})
	assert.ErrorIs(t, err, check.ErrBorder)
}

// Every gap that is too small is reported at its own width, not at that of a
// smaller one found before.
func TestEveryGapAtItsWidth(t *testing.T) {
	corner := outline.Path{outline.Polygon(outline.Pt(10, 10), outline.Pt(50, 10), outline.Pt(50, 20), outline.Pt(20, 20), outline.Pt(20, 50), outline.Pt(10, 50))}
	_, err := check.Sheet(sheet(corner, box(51, 10, 20, 20), box(21.5, 21.5, 10, 10)), check.Rules{Gap: 3})
	require.Error(t, err)
	assert.ErrorContains(t, err, "A-01 and A-02: two decals are closer than the gap: 1.0000 mm apart")
	assert.ErrorContains(t, err, "A-01 and A-03: two decals are closer than the gap: 1.5000 mm apart")
}
