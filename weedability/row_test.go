package weedability_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// Equal shapes in a row have corners at equal heights: each is an island of its
// own, in no other.
func TestEqualShapesInARow(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	for range 300 {
		n := 5 + r.IntN(8)
		points := make([]outline.Point, n)
		for i := range points {
			a, d := 2*math.Pi*(float64(i)+0.5*r.Float64())/float64(n), 4+16*r.Float64()
			points[i] = outline.Pt(math.Round(d*math.Cos(a)), math.Round(d*math.Sin(a))) // whole numbers, for many ties
		}
		shape, err := outline.Weld([]outline.Path{{outline.Polygon(points...)}}, outline.BooleanOptions{})
		if err != nil || len(shape) == 0 {
			continue
		}
		one, err := weedability.Inspect(context.Background(), shape, weedability.LimitsFor(weedability.Calendered), weedability.Options{})
		require.NoError(t, err)
		row := append(shape.Clone(), shape.Transform(outline.Translate(outline.Pt(50, 0)))...)
		row = append(row, shape.Transform(outline.Translate(outline.Pt(100, 0)))...)
		three, err := weedability.Inspect(context.Background(), row, weedability.LimitsFor(weedability.Calendered), weedability.Options{})
		require.NoError(t, err)
		require.Len(t, three.Islands, 3*len(one.Islands))
		require.Len(t, three.Counters, 3*len(one.Counters))
	}
}
