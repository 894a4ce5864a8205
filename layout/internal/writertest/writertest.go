// Package writertest is what the tests of the writers of cut files share: shapes
// that show mirroring and curves, a plan in the order drawn, golden files, and
// writers that fail or only count.
package writertest

import (
	"context"
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/outline"
)

var update = flag.Bool("update", false, "write the golden files anew")

// Polygon returns the closed polygon through x, y, x, y ...
func Polygon(xy ...float64) outline.Contour {
	var ps []outline.Point
	for i := 0; i+1 < len(xy); i += 2 {
		ps = append(ps, outline.Pt(xy[i], xy[i+1]))
	}
	return outline.Polygon(ps...)
}

// F returns the letter, which shows any mirroring, 20 by 34 mm from (20, 20).
func F() outline.Contour {
	return Polygon(20, 20, 26, 20, 26, 36, 36, 36, 36, 42, 26, 42, 26, 48, 40, 48, 40, 54, 20, 54)
}

// Leaf returns a leaf of a cubic and a quadratic curve beside the F.
func Leaf() outline.Contour {
	return outline.Contour{Start: outline.Pt(50, 20), Segments: []outline.Segment{
		outline.CubicTo(outline.Pt(62, 24), outline.Pt(60, 40), outline.Pt(52, 50)),
		outline.QuadTo(outline.Pt(44, 38), outline.Pt(50, 20))}}
}

// Plan plans the sheet; strokes begin as drawn.
func Plan(t testing.TB, s layout.Sheet) cutpath.Job {
	t.Helper()
	job, err := cutpath.Plan(context.Background(), s, cutpath.Options{Start: cutpath.StartAsDrawn})
	require.NoError(t, err)
	return job
}

// Golden compares with a file of testdata, or writes it with -update.
func Golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got, name)
}

// Failing fails at once with Err, read or written.
type Failing struct{ Err error }

var _ io.ReadWriter = Failing{}

// Read fails.
func (f Failing) Read([]byte) (int, error) { return 0, f.Err }

// Write fails.
func (f Failing) Write([]byte) (int, error) { return 0, f.Err }

// Counter counts the bytes written and forgets them.
type Counter int64

// Write counts.
func (c *Counter) Write(b []byte) (int, error) { *c += Counter(len(b)); return len(b), nil }
