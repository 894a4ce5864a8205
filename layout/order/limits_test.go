package order_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// endless gives the same text for ever.
type endless struct{ text string }

func (e endless) Read(p []byte) (int, error) {
	for n := 0; n < len(p); n += len(e.text) {
		copy(p[n:], e.text)
	}
	return len(p), nil
}

// Files without an end are refused at their limit, whatever is in them.
func TestEndlessFilesAreRefused(t *testing.T) {
	blank := endless{"        "}
	_, err := order.Read(io.MultiReader(strings.NewReader("{"), blank))
	assert.ErrorIs(t, err, order.ErrTooLarge)
	_, _, err = order.ReadRoster(io.MultiReader(strings.NewReader("upper\n"), endless{"A\nB\nC\nD\n"}))
	assert.ErrorIs(t, err, order.ErrTooLarge)
}

// Counts beyond the limits are refused before anything is laid out, each with
// its field.
func TestCountsBeyondTheLimits(t *testing.T) {
	base := func() order.Order {
		return order.Order{Title: "t", Film: order.Film{Name: "navy", Width: 300}, Gap: 5,
			Items: []order.Item{{Design: "gear", Height: 50, Copies: 1}}}
	}
	for name, change := range map[string]func(*order.Order){
		"copies":           func(o *order.Order) { o.Items[0].Copies = order.MaxCopies + 1 },
		"largest copies":   func(o *order.Order) { o.Items[0].Copies = math.MaxInt },
		"packs times size": func(o *order.Order) { o.Items[0].Copies, o.Items[0].Packs, o.Items[0].PackSize = 0, 50_000, 50_000 },
		"spares":           func(o *order.Order) { o.Items[0].Spares = order.MaxCopies + 1 },
		"all items":        func(o *order.Order) { o.Items[0].Copies = order.MaxCopies; o.Items = append(o.Items, o.Items[0]) },
		"wordings": func(o *order.Order) {
			o.Items[0].Wordings = []order.Wording{{Copies: order.MaxCopies}, {Copies: order.MaxCopies}}
		},
		"items": func(o *order.Order) {
			o.Items = make([]order.Item, order.MaxItems+1)
			for i := range o.Items {
				o.Items[i] = order.Item{Design: "gear", Height: 50, Copies: 1}
			}
		},
	} {
		o := base()
		change(&o)
		_, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
		var typed *order.Error
		require.ErrorAs(t, err, &typed, name)
		assert.NotEmpty(t, typed.Where, name)
		assert.NotEmpty(t, typed.Fix, name)
	}
}

// Many decals of many segments are refused before they are laid out: their
// shapes alone would take gigabytes.
func TestSegmentsBeyondTheLimit(t *testing.T) {
	var path bytes.Buffer
	path.WriteString("M0,0")
	const teeth = 2500
	for i := range teeth {
		fmt.Fprintf(&path, "L%d,10L%d,0", 2*i+1, 2*i+2)
	}
	path.WriteString("V-50H0Z")
	art := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%[1]dmm" height="70mm" viewBox="0 -55 %[1]d 70"><path d="%[2]s"/></svg>`, 2*teeth, path.String())
	o := order.Order{Title: "t", Film: order.Film{Name: "navy", Width: 300}, Gap: 5,
		Items: []order.Item{{File: "comb.svg", Height: 50, Copies: 10_000}}}
	_, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly, Files: fstest.MapFS{"comb.svg": {Data: []byte(art)}}})
	require.ErrorIs(t, err, order.ErrTooLarge)
	assert.ErrorContains(t, err, "comb.svg")
}

// Lengths that no shop has are errors, not hours of work.
func TestLengthsBeyondSense(t *testing.T) {
	for _, size := range []units.Length{1e7, 1e12, 1e300, units.Length(math.Inf(1)), units.Length(math.NaN())} {
		o := order.Order{Title: "t", Film: order.Film{Name: "navy", Width: 300}, Gap: 5, Words: map[string]string{"upper": "A", "lower": "B"},
			Items: []order.Item{{Design: "gear", Height: size, Copies: 1}}}
		_, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
		var typed *order.Error
		assert.ErrorAs(t, err, &typed, "%v: %v", size, err)
	}
}
