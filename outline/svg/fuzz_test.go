package svg_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline/svg"
)

// Whatever the bytes, Read gives a drawing whose shapes are fit for cutting,
// or an error of its own type.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/*.svg")
	require.NoError(f, err)
	for _, name := range files {
		text, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(text)
	}
	f.Add([]byte(page(`<g transform="rotate(30)"><circle r="5" stroke="red" stroke-dasharray="3 1"/></g>`)))
	f.Add([]byte(page(`<path stroke="#000" stroke-width="9" stroke-linejoin="round" d="M1 1C9 9 1 9 9 1L5 5 1 1z"/>`)))
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := svg.Read(bytes.NewReader(text), svg.Options{})
		if err != nil {
			var fault *svg.ReadError
			require.ErrorAs(t, err, &fault)
			require.Nil(t, d)
			return
		}
		require.Positive(t, float64(d.Width))
		require.Positive(t, float64(d.Height))
		for _, s := range d.Shapes {
			require.NoError(t, s.Path.Check())
			require.GreaterOrEqual(t, float64(s.Path.Area()), 0.0)
			if len(s.Path) > 0 {
				require.NotEmpty(t, s.Fill)
			}
		}
	})
}
