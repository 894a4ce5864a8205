package lettering

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/units"
)

// benchLine has 28 glyphs, spaces included.
const benchLine = "MARLOW CREEK SCIENCE FAIR 26"

func BenchmarkSetText(b *testing.B) {
	opt := Options{Height: 2 * units.Inch}
	b.Run("glyphs=28", func(b *testing.B) {
		b.ReportAllocs()
		if _, err := Set(benchLine, opt); err != nil { // warm caches
			b.Fatal(err)
		}
		defer reportCPU(b)()
		for b.Loop() {
			text, err := Set(benchLine, opt)
			if err != nil || len(text.Glyphs) != 28 {
				b.Fatal(err, len(text.Glyphs))
			}
		}
	})
	// Every text is another one: only outlines and shaping plans are warm.
	b.Run("glyphs=28/new", func(b *testing.B) {
		texts := make([]string, 4*maxCachedTexts)
		for i := range texts {
			texts[i] = fmt.Sprintf("MARLOW CREEK SCIENCE %07d", i)
		}
		_, err := Set(texts[0], opt)
		require.NoError(b, err)
		b.ReportAllocs()
		defer reportCPU(b)()
		i := 0
		for b.Loop() {
			if _, err := Set(texts[i%len(texts)], opt); err != nil {
				b.Fatal(err)
			}
			i++
		}
	})
}
