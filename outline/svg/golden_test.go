package svg_test

import (
	"cmp"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
)

var update = flag.Bool("update", false, "write the golden files anew")

// Drawings in testdata, each with what is to be read from it.
func TestGolden(t *testing.T) {
	files, err := filepath.Glob("testdata/*.svg")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		f, err := os.Open(name)
		require.NoError(t, err)
		d, err := svg.Read(f, svg.Options{})
		require.NoError(t, f.Close())
		require.NoError(t, err, name)
		got := describe(d)
		golden := strings.TrimSuffix(name, ".svg") + ".golden"
		if *update {
			require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
		}
		want, err := os.ReadFile(golden)
		require.NoError(t, err)
		assert.Equal(t, string(want), got, name)
	}
}

// describe writes a drawing as text, numbers rounded to a hundredth of a
// millimetre so that every processor gives the same.
func describe(d *svg.Drawing) string {
	var b strings.Builder
	fmt.Fprintf(&b, "page %.2f x %.2f mm\n", float64(d.Width), float64(d.Height))
	for _, s := range d.Shapes {
		fmt.Fprintf(&b, "line %d %s", s.Line, s.Element)
		if s.ID != "" {
			fmt.Fprintf(&b, " #%s", s.ID)
		}
		if s.Class != "" {
			fmt.Fprintf(&b, " .%s", s.Class)
		}
		fmt.Fprintf(&b, " %s fill %q", s.Part, s.Fill)
		for _, g := range s.Groups {
			fmt.Fprintf(&b, " in %q %q %q %v", g.ID, g.Class, g.Label, g.Data)
		}
		box := func(x outline.Box) {
			fmt.Fprintf(&b, " (%.2f %.2f) to (%.2f %.2f)", x.Min.X, x.Min.Y, x.Max.X, x.Max.Y)
		}
		b.WriteString("\n")
		for _, c := range s.Curves {
			fmt.Fprintf(&b, "  curve of %d from (%.2f %.2f)", len(c.Segments), c.Start.X, c.Start.Y)
			box(c.Bounds())
			b.WriteString("\n")
		}
		// From left to right: a weld promises no order.
		area := slices.Clone(s.Path)
		slices.SortStableFunc(area, func(c, d outline.Contour) int {
			x, y := c.Bounds(), d.Bounds()
			return cmp.Or(cmp.Compare(math.Round(100*x.Min.X), math.Round(100*y.Min.X)), cmp.Compare(math.Round(100*x.Min.Y), math.Round(100*y.Min.Y)))
		})
		for _, c := range area {
			fmt.Fprintf(&b, "  contour area %.1f", float64(c.Area()))
			box(c.Bounds())
			b.WriteString("\n")
		}
	}
	for _, w := range d.Warnings {
		fmt.Fprintf(&b, "warning: %s\n", w)
	}
	return b.String()
}
