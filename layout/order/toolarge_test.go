package order_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// Every item that no load can hold is named, not only the first, and not those
// that fit.
func TestAllThatIsTooLargeIsNamed(t *testing.T) {
	o := items(t,
		order.Item{Design: "gear", Height: 14 * units.Inch, Copies: 1},
		order.Item{Design: "beaker", Height: 3 * units.Inch, Copies: 1},
		order.Item{Design: "leaf", Height: 15 * units.Inch, Copies: 2})
	_, err := order.Run(context.Background(), o, quick)
	require.Error(t, err)
	assert.ErrorContains(t, err, "items[0] (gear)")
	assert.ErrorContains(t, err, "items[2] (leaf)")
	assert.NotContains(t, err.Error(), "beaker")
	var size *nest.SizeError
	assert.ErrorAs(t, err, &size)
}
