package weedability_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"syscall"
	"testing"
	"time"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// blob is a closed smooth contour of n cubics about c.
func blob(rng *rand.Rand, c outline.Point, radius float64, n int) outline.Contour {
	at := make([]outline.Point, n)
	for i := range at {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r := radius * (0.75 + 0.25*rng.Float64())
		at[i] = c.Add(outline.Pt(r*cos, r*sin))
	}
	k := outline.Contour{Start: at[0]}
	tangent := func(i int) outline.Point { return at[(i+1)%n].Sub(at[(i+n-1)%n]).Mul(1.0 / 6) }
	for i := range at {
		j := (i + 1) % n
		k.Segments = append(k.Segments, outline.CubicTo(at[i].Add(tangent(i)), at[j].Sub(tangent(j)), at[j]))
	}
	return k
}

// decal is a synthetic decal of about the given number of nodes: letter-sized
// blobs with counters in rows, 12 nodes outside and 8 inside, 9 mm apart.
func decal(nodes int) outline.Path {
	rng := rand.New(rand.NewPCG(7, 11))
	n := max(1, nodes/20)
	side := int(math.Ceil(math.Sqrt(float64(n))))
	var p outline.Path
	for i := range n {
		c := outline.Pt(float64(i%side)*9, float64(i/side)*9)
		p = append(p, blob(rng, c, 4.3, 12), blob(rng, c, 1.9, 8).Reversed())
	}
	return p
}

// BenchmarkInspect: the table in doc.go has its figures.
func BenchmarkInspect(b *testing.B) {
	for _, nodes := range []int{500, 2000, 10000, 100000} {
		b.Run(fmt.Sprintf("nodes=%d", nodes), func(b *testing.B) {
			p := decal(nodes)
			b.ReportAllocs()
			start := cpu()
			for b.Loop() {
				if _, err := weedability.Inspect(context.Background(), p, weedability.LimitsFor(weedability.Cast), weedability.Options{}); err != nil {
					b.Fatal(err)
				}
			}
			// The machine is shared: processor time says more than the clock.
			b.ReportMetric((cpu()-start).Seconds()*1000/float64(b.N), "cpu-ms/op")
		})
	}
}

// BenchmarkRaster is the reference: the slow second implementation that judges the
// tests, both exact distance transforms of the same decal in pixels of 0.1 mm.
// It finds no islands, stretches or names.
func BenchmarkRaster(b *testing.B) {
	for _, nodes := range []int{500, 2000, 10000} {
		b.Run(fmt.Sprintf("nodes=%d", nodes), func(b *testing.B) {
			p := decal(nodes)
			b.ReportAllocs()
			start := cpu()
			for b.Loop() {
				newRaster(p, 0.1, 6.4)
			}
			b.ReportMetric((cpu()-start).Seconds()*1000/float64(b.N), "cpu-ms/op")
		})
	}
}

// cpu returns the processor time that this process has used.
func cpu() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
