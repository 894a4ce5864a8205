package jobsheet

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func manyPicks(decals ...int) Load {
	l := Load{Name: "load-01"}
	n := 0
	for i, count := range decals {
		d := DecalPicks{ID: fmt.Sprintf("A-%02d", i+1)}
		for range count {
			n++
			d.Picks = append(d.Picks, Pick{Number: n, What: "the A of MARLOW", Width: 3.4})
		}
		l.Picks = append(l.Picks, d)
	}
	return l
}

// Every pick is in one part, in order, no part has more lines than its page,
// and a load of ninety stays together.
func TestPickParts(t *testing.T) {
	assert.Empty(t, pickParts(Load{}))
	assert.Empty(t, pickParts(manyPicks(0, 0)))
	together := pickParts(manyPicks(18, 18, 18, 18, 18))
	require.Len(t, together, 1)
	assert.False(t, together[0].Continued || together[0].More)
	for _, decals := range [][]int{{1}, {102}, {103}, {1000}, {90, 90, 90}, {0, 50, 0, 51, 1, 1, 1, 300}} {
		l := manyPicks(decals...)
		next := 1
		parts := pickParts(l)
		for i, p := range parts {
			lines := 0
			assert.Equal(t, next, p.First)
			for _, d := range p.Picks {
				require.NotEmpty(t, d.Picks)
				lines += linesOfID + len(d.Picks)
				for _, pick := range d.Picks {
					assert.Equal(t, next, pick.Number)
					next++
				}
			}
			assert.Equal(t, next-1, p.Last)
			assert.LessOrEqual(t, lines, map[bool]int{true: linesBelowPicture, false: linesOfPage}[i == 0])
			assert.Equal(t, i > 0, p.Continued)
			assert.Equal(t, i+1 < len(parts), p.More)
		}
		last := l.Picks[len(l.Picks)-1].Picks
		assert.Equal(t, last[len(last)-1].Number, next-1)
	}
}
