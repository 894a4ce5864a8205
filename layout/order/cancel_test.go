package order

import (
	"context"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/check"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// cancels is how many random moments are tried; 200 by hand:
//
//	VINYL_CANCELS=200 go test -race -run TestCancelledAtRandomMoments ./layout/order
func cancels(t *testing.T) int {
	text := os.Getenv("VINYL_CANCELS")
	if text == "" {
		return 12
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return n
}

// settled waits until no more goroutines run than before.
func settled(before int) bool {
	for wait := 0; runtime.NumGoroutine() > before && wait < 200; wait++ {
		time.Sleep(10 * time.Millisecond)
	}
	return runtime.NumGoroutine() <= before
}

// The whole job, from the order to its folder, cancelled at any moment: it ends
// with ctx.Err() soon after, with nothing or with every decal in a layout that
// keeps the rules; the folder holds nothing or every file; no goroutine stays.
func TestCancelledAtRandomMoments(t *testing.T) {
	const seed = 3
	r := rand.New(rand.NewPCG(seed, 1))
	o := tiny()
	o.WeedLines, o.BorderClearance = true, 8
	var span time.Duration // of the job up to its first layout, once fonts and designs are warm
	for range 2 {
		begun := time.Now()
		_, err := Run(context.Background(), o, Options{Budget: nest.FirstLayoutOnly, Workers: 2})
		require.NoError(t, err)
		span = time.Since(begun)
	}
	before := runtime.NumGoroutine()
	whole, none, latest := 0, 0, time.Duration(0)
	stages := map[string]int{}
	for n := range cancels(t) {
		moment := time.Duration(r.Float64() * float64(span)) // before there is a layout, or nearly
		if n%2 == 1 {
			moment += span // in the search, the plan of the cut or the report
		}
		ctx, cancel := context.WithCancel(context.Background())
		var asked time.Time
		timer := time.AfterFunc(moment, func() { asked = time.Now(); cancel() })
		stage := ""
		opt := Options{Budget: time.Minute, Workers: 2, Seed: uint64(n), Progress: func(p Progress) { stage = p.Stage }}
		result, err := Run(ctx, o, opt)
		latest = max(latest, time.Since(asked))
		timer.Stop()
		require.ErrorIs(t, err, context.Canceled, "moment %d of seed %d: %v", n, seed, moment)
		stages[stage]++
		dir := t.TempDir()
		if result == nil {
			none++
			require.True(t, settled(before), "a goroutine stays behind after moment %d of seed %d: %v", n, seed, moment)
			continue
		}
		whole++
		require.Equal(t, 4, result.Decals())
		for _, l := range result.Loads {
			_, err := check.Sheet(l.Sheet, check.Rules{Gap: o.Gap, EdgeMargin: o.EdgeMargin, MaxLength: o.MaxLoad})
			require.NoError(t, err, "moment %d of seed %d: %v", n, seed, moment)
		}
		if whole%8 == 1 { // pictures take a while
			require.NoError(t, result.Write(dir))
			entries, err := os.ReadDir(dir)
			require.NoError(t, err)
			assert.Len(t, entries, 5+4*len(result.Loads))
		}
		require.True(t, settled(before), "a goroutine stays behind after moment %d of seed %d: %v", n, seed, moment)
	}
	t.Logf("%d results, %d without one, the latest %v after the cancel; stages: %v", whole, none, latest.Round(time.Millisecond), stages)
}

// The same order, seed and iterations give the same files to the byte, with one
// worker, two and eight.
func TestSameBytesOnAnyNumberOfWorkers(t *testing.T) {
	t.Parallel()
	o := tiny()
	o.WeedLines, o.BorderClearance = true, 8
	written := func(workers int) map[string]string {
		r, err := Run(context.Background(), o, Options{Iterations: 2, Seed: 5, Workers: workers})
		require.NoError(t, err)
		dir := t.TempDir()
		require.NoError(t, r.Write(dir))
		out := map[string]string{}
		for name, data := range files(t, dir) {
			out[filepath.Base(name)] = data
		}
		return out
	}
	first := written(1)
	require.Greater(t, len(first), 5)
	for _, workers := range []int{2, 8} {
		again := written(workers)
		assert.Equal(t, len(first), len(again))
		for name, data := range first {
			assert.True(t, data == again[name], "%s on %d workers", name, workers) // Equal would print pictures
		}
	}
}

// Sixteen orders at once, in one process, each from the order to its folder,
// give what one alone gives.
func TestSixteenAtOnce(t *testing.T) {
	t.Parallel()
	o := tiny()
	o.Items = o.Items[:1]
	o.Items[0].Height, o.Items[0].Copies = 3*units.Inch, 1
	job := func(dir string, workers int) map[string]string {
		r, err := Run(context.Background(), o, Options{Iterations: 1, Workers: workers})
		if !assert.NoError(t, err) || !assert.NoError(t, r.Write(dir)) {
			return nil
		}
		out := map[string]string{}
		for name, data := range files(t, dir) {
			out[filepath.Base(name)] = data
		}
		return out
	}
	alone := job(t.TempDir(), 1)
	var wg sync.WaitGroup
	for range 16 {
		dir := t.TempDir()
		wg.Go(func() { assert.True(t, maps.Equal(alone, job(dir, 2))) })
	}
	wg.Wait()
}
