package svg_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline/svg"
)

func BenchmarkReadSVG(b *testing.B) {
	leaf, err := os.ReadFile("testdata/leaf.svg")
	require.NoError(b, err)
	files := []struct {
		name string
		text []byte
	}{
		{"leaf", leaf},
		{"lineart", mustRead(b, "testdata/lineart.svg")},
		{"flowers=100", []byte(flowers(100, ""))},
		{"flowers=1000", []byte(flowers(1000, ""))},
		{"strokes=100", []byte(flowers(100, `fill="none" stroke="#000" stroke-width="0.1"`))},
	}
	for _, f := range files {
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(f.text)))
			for b.Loop() {
				if _, err := svg.Read(bytes.NewReader(f.text), svg.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func mustRead(b *testing.B, name string) []byte {
	text, err := os.ReadFile(name)
	require.NoError(b, err)
	return text
}

// flowers draws n flowers of twenty petals and a round hole each.
func flowers(n int, attributes string) string {
	var s strings.Builder
	for i := range n {
		x, y := float64(i%40)*2.5+1.2, float64(i/40)*2.5+1.2
		fmt.Fprintf(&s, `<path %s d="M%.3f,%.3f`, attributes, x+1, y)
		for k := 1; k <= 20; k++ {
			a := float64(k) / 20 * 2 * math.Pi
			h := a - math.Pi/20
			fmt.Fprintf(&s, "Q%.3f,%.3f %.3f,%.3f", x+1.3*math.Cos(h), y+1.3*math.Sin(h), x+math.Cos(a), y+math.Sin(a))
		}
		fmt.Fprintf(&s, `zM%.3f,%.3fa.4,.4 0 1 0 .8,0a.4,.4 0 1 0-.8,0z"/>`, x-0.4, y)
	}
	return page(s.String())
}
