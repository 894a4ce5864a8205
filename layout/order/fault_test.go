package order

import (
	"context"
	"errors"
	"io"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// tiny is an order that runs in a few hundredths of a second.
func tiny() Order {
	return Order{
		Title: "t", Film: Film{Name: "navy", Colour: "#1d3557", Width: 12 * units.Inch}, Gap: 5, EdgeMargin: 10, MaxLoad: 15 * units.Inch,
		Words: map[string]string{"upper": "MARLOW", "lower": "CREEK"},
		Items: []Item{{Design: "gear", Height: 5 * units.Inch, Copies: 2}, {Design: "compass", Height: 5 * units.Inch, Copies: 2, Turn: "any"}},
	}
}

var errDisk = errors.New("disk full")

// fullDisk fails the n-th create, write or close.
type fullDisk struct {
	lock sync.Mutex
	left int
}

func (d *fullDisk) step() error {
	d.lock.Lock()
	defer d.lock.Unlock()
	if d.left--; d.left < 0 {
		return errDisk
	}
	return nil
}

func (d *fullDisk) create(name string) (io.WriteCloser, error) {
	if err := d.step(); err != nil {
		return nil, err
	}
	f, err := os.Create(name)
	return &diskFile{f, d}, err
}

type diskFile struct {
	f *os.File
	d *fullDisk
}

func (f *diskFile) Write(p []byte) (int, error) {
	if err := f.d.step(); err != nil {
		return 0, err
	}
	return f.f.Write(p)
}

func (f *diskFile) Close() error {
	err := f.f.Close()
	if full := f.d.step(); full != nil {
		return full
	}
	return err
}

// Whichever create, write or close fails, nothing is left in the folder. Each of
// them by hand: VINYL_EVERY_FAULT=1.
func TestFullDiskAtEveryStep(t *testing.T) {
	t.Parallel()
	o := tiny()
	o.Items = o.Items[:1]
	o.Items[0].Height, o.Items[0].Copies = 3*units.Inch, 1
	r, err := Run(context.Background(), o, Options{Budget: nest.FirstLayoutOnly})
	require.NoError(t, err)
	count := &fullDisk{left: 1 << 30}
	require.NoError(t, r.writeTo(t.TempDir(), count.create))
	steps := 1<<30 - count.left
	require.Greater(t, steps, 20)
	dir := t.TempDir()
	spread := 6 // every step at first, then wider apart: each takes a while
	if os.Getenv("VINYL_EVERY_FAULT") != "" {
		spread = steps
	}
	for n := 0; n < steps; n += 1 + n/spread {
		err := r.writeTo(dir, (&fullDisk{left: n}).create)
		require.ErrorIs(t, err, ErrOutput, "step %d of %d", n, steps)
		require.ErrorIs(t, err, errDisk)
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		require.Empty(t, entries, "step %d of %d", n, steps)
	}
}

// A layout file that is larger than is read is said to be so, not to be broken.
func TestLayoutFileWithoutEnd(t *testing.T) {
	text := `{"order":{"title":"` + strings.Repeat("t", 5000)
	_, err := readLayout(strings.NewReader(text), 1000)
	require.ErrorIs(t, err, ErrTooLarge)
	_, err = readLayout(strings.NewReader(text), 10_000)
	require.ErrorIs(t, err, ErrNotJSON)
}
