package artwork_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/artwork"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/outline"
)

func TestDemoDesigns(t *testing.T) {
	files, err := filepath.Glob("../order/demo/*.svg")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 12)
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".svg"), func(t *testing.T) {
			f, err := os.Open(name)
			require.NoError(t, err)
			defer f.Close()
			start := time.Now()
			d, err := artwork.Read(f, filepath.Base(name))
			require.NoError(t, err)
			read := time.Since(start)
			assert.Empty(t, d.Warnings)
			require.Len(t, d.Slots, 2)
			k := 133.35 / d.Art.Bounds().Height()
			start = time.Now()
			filled, err := d.Transform(outline.Scale(k, k)).Fill(map[string]string{"upper": "MARLOW", "lower": "CREEK"}, artwork.Options{})
			require.NoError(t, err)
			t.Log(read, time.Since(start), filled.Nodes)
			for _, w := range filled.Words {
				t.Logf("%s %s cap height %.2f condensed %.2f spread %.2f", w.Slot, w.Text, float64(w.CapHeight), w.Condensed, w.Spread)
			}
			require.NoError(t, filled.Path.Check())
			if dir := os.Getenv("VINYL_PICTURES"); dir != "" { // to look at them by hand
				out, err := os.Create(filepath.Join(dir, filepath.Base(name)+".png"))
				require.NoError(t, err)
				require.NoError(t, proof.WriteShapePNG(out, filled.Path, "#1d3557", proof.Options{}))
				require.NoError(t, out.Close())
			}
		})
	}
}
