package order_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/artwork"
	"github.com/vinylgeom/vinyl/layout/check"
	"github.com/vinylgeom/vinyl/layout/colours"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/hpgl"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/outline/svg"
)

// causes are what an order that cannot be cut may fail by.
var causes = []error{
	order.ErrInvalid, order.ErrTooLarge, order.ErrUnknownDesign,
	artwork.ErrTooLong, artwork.ErrUnknownSlot,
	layout.ErrDoesNotFit, layout.ErrInvalid,
	colours.ErrTooThin,
	lettering.ErrBadFont, lettering.ErrNoSuchFont, lettering.ErrNoGlyph, lettering.ErrNoOutline, lettering.ErrNoInk, lettering.ErrNoFit,
	nest.ErrNoRoom,
	cutpath.ErrOutsideFilm, cutpath.ErrTooSmall, fs.ErrNotExist,
}

// named reports whether a program can tell what kind of fault it is.
func named(fault error) bool {
	var size *nest.SizeError
	var file *fs.PathError
	return errors.As(fault, &size) || errors.As(fault, &file) ||
		slices.ContainsFunc(causes, func(cause error) bool { return errors.Is(fault, cause) })
}

// faults returns the errors that are joined in err.
func faults(err error) []error {
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		var out []error
		for _, e := range several.Unwrap() {
			out = append(out, faults(e)...)
		}
		return out
	}
	return []error{err}
}

// checkFailure sees that each fault of an order is an [order.Error] that says
// where it is and wraps a named cause.
func checkFailure(t *testing.T, err error) {
	t.Helper()
	for _, fault := range faults(err) {
		var typed *order.Error
		if assert.ErrorAs(t, fault, &typed, "%v", fault) {
			assert.NotEmpty(t, typed.Where, "%v", fault)
		}
		assert.True(t, named(fault), "no named cause: %v", fault)
	}
}

// leftoverShape returns the shape of the leftover that a load is cut from, by
// its name.
func leftoverShape(t *testing.T, o order.Order, name string) outline.Path {
	t.Helper()
	for _, l := range o.Leftovers {
		if l.Name != name {
			continue
		}
		if l.Path == "" {
			w, h := float64(l.Length), float64(l.Width)
			return outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(w, 0), outline.Pt(w, h), outline.Pt(0, h))}
		}
		curves, err := svg.ParsePathData(l.Path)
		require.NoError(t, err)
		var p outline.Path
		for _, c := range curves {
			p = append(p, c.Curve.Closed())
		}
		p, err = outline.Weld([]outline.Path{p}, outline.BooleanOptions{FillRule: outline.EvenOdd})
		require.NoError(t, err)
		return p.Transform(outline.Translate(p.Bounds().Min.Mul(-1)))
	}
	require.Fail(t, "no leftover", name)
	return nil
}

// checkFiles sees that what leaves the program has nothing but finite numbers,
// and that the cut files hold the cuts, on the film.
func checkFiles(t *testing.T, r *order.Result) {
	t.Helper()
	_, err := json.Marshal(r.Report) // which refuses NaN and infinities
	require.NoError(t, err)
	text, err := json.Marshal(r.Layout())
	require.NoError(t, err)
	back, err := order.ReadLayout(bytes.NewReader(text))
	require.NoError(t, err)
	again, err := json.Marshal(back)
	require.NoError(t, err)
	require.Equal(t, string(text), string(again), "layout.json comes back as it went")
	for _, l := range r.Loads {
		if l.Leftover != "" {
			_, err := check.Sheet(l.Sheet, check.Rules{Gap: r.Order.Gap, EdgeMargin: r.Order.EdgeMargin, Shape: leftoverShape(t, r.Order, l.Leftover)})
			require.NoError(t, err)
		}
		var file bytes.Buffer
		options := hpgl.Options{}
		if l.Sheet.Length > 800 { // beyond the classic range of coordinates
			options.Range = hpgl.Wide
		}
		require.NoError(t, l.Job.Write(hpgl.NewWriter(&file, options)))
		cuts, err := hpgl.Read(&file)
		require.NoError(t, err)
		require.Empty(t, cuts.Warnings)
		require.Len(t, cuts.Strokes, len(l.Job.Strokes))
		b := cuts.Bounds()
		// The knife's axis, which files hold, may pass the film's edge, its tip not.
		const plotterUnit = 0.025
		slack := plotterUnit + float64(r.Order.Machine.KnifeOffset)
		assert.GreaterOrEqual(t, b.Min.Y, -slack)
		assert.LessOrEqual(t, b.Max.Y, float64(l.Sheet.Film.Width)+slack)
	}
}

// Any order either fails with typed errors or gives a result that keeps every
// rule: nothing overlaps, all is counted, inside, closed and finite, and what
// the cut file holds is read back as so many cuts on the film. More by hand:
//
//	VINYL_RANDOM_ORDERS=10000 go test -run TestRandomOrders -timeout 0 ./layout/order
//
// and VINYL_RANDOM_SEED to repeat a run, with VINYL_RANDOM_FIRST the number of
// the order it begins with.
func TestRandomOrders(t *testing.T) {
	t.Parallel()
	number := func(name string, otherwise uint64) uint64 {
		text := os.Getenv(name)
		if text == "" {
			return otherwise
		}
		n, err := strconv.ParseUint(text, 10, 64)
		require.NoError(t, err, name)
		return n
	}
	count, seed := number("VINYL_RANDOM_ORDERS", 0), uint64(1)
	if count > 0 {
		seed = uint64(time.Now().UnixNano())
	} else {
		count = 10
	}
	seed = number("VINYL_RANDOM_SEED", seed)
	first := number("VINYL_RANDOM_FIRST", 0)
	t.Logf("seed %d", seed)
	var lock sync.Mutex
	done, why := 0, map[string]int{}
	try := func(i uint64) {
		o, files := randomOrder(rand.New(rand.NewPCG(seed, i)))
		result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly, Files: files, Workers: 1})
		t.Run(strconv.FormatUint(i, 10), func(t *testing.T) {
			defer func() {
				if t.Failed() {
					text, _ := json.Marshal(o)
					t.Logf("order %d of seed %d: %s", i, seed, text)
				}
			}()
			if err != nil {
				assert.Nil(t, result)
				checkFailure(t, err)
			} else {
				checkResult(t, result)
				checkFiles(t, result)
			}
		})
		lock.Lock()
		defer lock.Unlock()
		if err == nil {
			done++
		} else {
			for _, cause := range causes {
				if errors.Is(err, cause) {
					why[cause.Error()]++
				}
			}
		}
	}
	var wg sync.WaitGroup
	queue := make(chan uint64)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range queue {
				try(i)
			}
		})
	}
	for i := first; i < first+count; i++ {
		if count >= 1000 && i%500 == 0 {
			t.Logf("%d begun", i)
		}
		queue <- i
	}
	close(queue)
	wg.Wait()
	t.Logf("%d of %d orders could be cut; others: %v", done, count, why)
	if count >= 20 { // one order alone may be one that cannot be cut
		assert.Greater(t, uint64(done), count/5)
	}
}
