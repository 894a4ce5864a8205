package outline

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The zero value of every exported type does what its comment says.
func TestZeroValues(t *testing.T) {
	assert.Equal(t, Point{}, Curve{}.End())
	assert.Equal(t, Contour{}, Curve{}.Closed())
	assert.Equal(t, Box{}, Curve{}.Bounds(), "the empty curve is at (0, 0)")
	assert.False(t, Box{}.IsEmpty())
	assert.Zero(t, Contour{}.Area())
	assert.False(t, Contour{}.Contains(Point{}))
	assert.Equal(t, Line, Segment{}.Kind)
	assert.Equal(t, Point{}, Segment{}.At(Point{}, 0.5))
	assert.Equal(t, Point{}, Transform{}.Apply(Pt(3, 4)))
	var p Path
	assert.NoError(t, p.Check())
	assert.True(t, p.Bounds().IsEmpty())
	assert.Zero(t, p.Length(0))
	assert.Zero(t, p.Nodes())
	assert.Empty(t, p.Clone())
	assert.Empty(t, p.Tree())
	assert.False(t, p.Contains(Point{}))
	_, ok := p.Centroid()
	assert.False(t, ok)
	assert.Equal(t, -1, p.Nearest(Point{}).Contour)
	var r Ruler
	assert.Zero(t, r.Length())
	assert.Equal(t, ReadClockwise, Reading(0))
	assert.Equal(t, Turned, AlongOptions{}.Stance)

	// Zero options: the default tolerance, folds refused, a straight side.
	w, err := BetweenSines(field, Sine{}, Sine{})
	require.NoError(t, err)
	bent, err := Bend(artwork(), field, w, BendOptions{})
	require.NoError(t, err)
	samePath(t, artwork(), bent, 1e-12)
}
