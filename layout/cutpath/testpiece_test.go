package cutpath

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
)

func TestTestPieceInTheLead(t *testing.T) {
	sheet := layout.Sheet{Film: layout.Film{Width: 100}, Length: 120, Decals: []layout.PlacedDecal{{Path: outline.Path{square(30, 12, 40)}}}}
	job, err := Plan(context.Background(), sheet, Options{TestPiece: TestPieceOptions{Size: 10}})
	require.NoError(t, err)
	require.Len(t, job.Strokes, 3)
	assert.Equal(t, TestPiece, job.Strokes[0].Role)
	triangle, around := job.Strokes[0].Curve.Bounds(), job.Strokes[1].Curve.Bounds()
	assert.Equal(t, outline.Box{Min: outline.Pt(10, 12), Max: outline.Pt(20, 22)}, around)
	assert.True(t, around.Contains(triangle.Min) && around.Contains(triangle.Max), "the triangle lies in the square and is cut first")
	// Given a place, it goes there.
	job, err = Plan(context.Background(), sheet, Options{TestPiece: TestPieceOptions{Size: 10, At: outline.Pt(80, 80)}})
	require.NoError(t, err)
	assert.InDelta(t, 80, job.Strokes[1].Curve.Bounds().Min.X, 1e-9)
	// No room in the lead: an error, not a cut through a decal.
	sheet.Decals[0].Path = outline.Path{square(9, 12, 40)}
	_, err = Plan(context.Background(), sheet, Options{TestPiece: TestPieceOptions{Size: 10}})
	require.ErrorIs(t, err, ErrOutsideFilm)
	assert.ErrorContains(t, err, "lead")
}
