package order

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline"
)

// A border that steps back by a hundred thousandth of a millimetre, as a trap
// once left it, is nested all the same.
func TestStepsOfNothingAreNested(t *testing.T) {
	nested := func(m orb.MultiPolygon) error {
		_, err := nest.Nest(context.Background(), nest.Strip{Width: 300}, []nest.Piece{{ID: "a", Outline: m}}, nest.Options{Budget: nest.FirstLayoutOnly})
		return err
	}
	a, b := outline.Pt(59.110749580126466, 41.65922351592165), outline.Pt(59.110746185177014, 41.65923053593221)
	p := outline.Path{outline.Polygon(outline.Pt(20, 20), outline.Pt(70, 20), outline.Pt(59.1263427734375, 41.6278076171875), b, a, outline.Pt(58.855234727157175, 42.19700916922573))}
	require.ErrorIs(t, nested(p.MultiPolygon(flattening)), nest.ErrBadOutline)
	assert.NoError(t, nested(flattened(p)))
}
