package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestEmptyBoxIsNeutral(t *testing.T) {
	e, b := EmptyBox(), Box{Pt(1, 2), Pt(4, 6)}
	assert.True(t, e.IsEmpty())
	assert.Zero(t, e.Width())
	assert.Zero(t, e.Height())
	assert.Equal(t, b, e.Union(b))
	assert.Equal(t, b, b.Union(e))
	assert.True(t, e.Union(e).IsEmpty())
	assert.Equal(t, e, e.Grow(5), "nothing grown is nothing")
	assert.False(t, e.Contains(Pt(0, 0)))
	assert.False(t, e.Overlaps(b))
	assert.True(t, Box{Pt(math.NaN(), 0), Pt(1, 1)}.IsEmpty())
}

func TestBox(t *testing.T) {
	b := Box{Pt(1, 2), Pt(4, 6)}
	assert.Equal(t, 3.0, b.Width())
	assert.Equal(t, 4.0, b.Height())
	assert.Equal(t, Pt(2.5, 4), b.Centre())
	assert.Equal(t, Box{Pt(0, 2), Pt(4, 9)}, b.Extend(Pt(0, 9)))
	assert.Equal(t, Box{Pt(0, 1), Pt(5, 7)}, b.Grow(1))
	assert.True(t, b.Grow(-2).IsEmpty(), "shrunk past its middle")
	assert.False(t, Box{}.IsEmpty(), "the zero box is the point (0, 0)")

	for _, c := range []struct {
		q    Point
		want bool
	}{{Pt(1, 2), true}, {Pt(4, 6), true}, {Pt(2, 3), true}, {Pt(0.999, 3), false}, {Pt(2, 6.001), false}, {Pt(math.NaN(), 3), false}} {
		assert.Equal(t, c.want, b.Contains(c.q), "%v", c.q)
	}
	assert.True(t, b.Overlaps(Box{Pt(4, 6), Pt(9, 9)}), "a shared corner overlaps")
	assert.False(t, b.Overlaps(Box{Pt(4.001, 2), Pt(9, 9)}))
	assert.False(t, b.Overlaps(Box{Pt(1, 6.001), Pt(9, 9)}))
}

// A box that Grow made empty shares no point with one around it.
func TestBoxesGrownToNothing(t *testing.T) {
	b, around := Box{Pt(0, 0), Pt(4, 4)}, Box{Pt(-10, -10), Pt(10, 10)}
	assert.True(t, b.Grow(-2).Overlaps(around), "a point is left")
	gone := b.Grow(-3)
	assert.True(t, gone.IsEmpty())
	assert.False(t, gone.Overlaps(around))
	assert.False(t, around.Overlaps(gone))
	assert.False(t, gone.Contains(Pt(2, 2)))
	assert.Equal(t, gone, gone.Grow(5), "and does not come back")
	assert.Equal(t, around, gone.Union(around))
}
