package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/vinylgeom/vinyl/units"
)

func TestTreeToAnyDepth(t *testing.T) {
	// Forty squares in one another, in mixed order and direction.
	const n = 40
	order := rand.New(rand.NewPCG(1, 1)).Perm(n)
	p := make(Path, n)
	for i, half := range order {
		c := Rectangle(Box{Pt(-float64(half)-1, -float64(half)-1), Pt(float64(half)+1, float64(half)+1)})
		if i%3 == 0 {
			c = c.Reversed()
		}
		p[i] = c
	}
	for i, node := range p.Tree() {
		assert.Equal(t, n-1-order[i], node.Depth)
		if order[i] == n-1 {
			assert.Equal(t, -1, node.Parent)
		} else {
			assert.Equal(t, order[i]+1, order[node.Parent])
		}
		if order[i] == 0 {
			assert.Empty(t, node.Children)
		} else {
			assert.Len(t, node.Children, 1)
		}
	}
}

func TestTreeOfSiblings(t *testing.T) {
	// A plate with two holes, an island in the second, and a loose disc whose box
	// lies inside the plate's box only partly.
	p := Path{
		Circle(Pt(30, 10), 2), Circle(Pt(10, 10), 4), Rectangle(Box{Pt(0, 0), Pt(40, 20)}),
		Circle(Pt(30, 10), 5), Circle(Pt(60, 10), 5),
	}
	assert.Equal(t, []Node{
		{Parent: 3, Depth: 2},
		{Parent: 2, Depth: 1},
		{Parent: -1, Depth: 0, Children: []int{1, 3}},
		{Parent: 2, Depth: 1, Children: []int{0}},
		{Parent: -1, Depth: 0},
	}, p.Tree())
}

func TestTreeInACrescent(t *testing.T) {
	// The small disc lies in the crescent's box, but not in the crescent.
	crescent := Curve{Pt(0, -10), []Segment{CubicTo(Pt(20, -10), Pt(20, 10), Pt(0, 10)), CubicTo(Pt(14, 8), Pt(14, -8), Pt(0, -10))}}.Closed()
	p := Path{crescent, Circle(Pt(5, 0), 2), Circle(Pt(12.5, 0), 1)}
	tree := p.Tree()
	assert.Equal(t, -1, tree[1].Parent)
	assert.Equal(t, 0, tree[2].Parent)
}

func TestTreeOfTouchingContours(t *testing.T) {
	outer := Rectangle(Box{Pt(0, 0), Pt(10, 10)})
	for name, c := range map[string]struct {
		inner  Contour
		parent int
	}{
		"shares an edge inside":      {Rectangle(Box{Pt(0, 2), Pt(4, 6)}), 0},
		"all nodes on the border":    {Polygon(Pt(5, 0), Pt(10, 5), Pt(5, 10), Pt(0, 5)), 0},
		"shares an edge outside":     {Rectangle(Box{Pt(10, 2), Pt(14, 6)}), -1},
		"touches at a corner":        {Rectangle(Box{Pt(10, 10), Pt(12, 12)}), -1},
		"equal":                      {outer, 0},
		"equal, run the other way":   {outer.Reversed(), 0},
		"nodes on the border, arcs":  {Curve{Pt(0, 0), []Segment{QuadTo(Pt(5, 5), Pt(10, 0))}}.Closed(), 0},
		"a point inside":             {Contour{Start: Pt(3, 3)}, 0},
		"a point outside":            {Contour{Start: Pt(30, 3)}, -1},
		"a line inside, there, back": {Polygon(Pt(1, 1), Pt(5, 5)), 0},
	} {
		assert.Equal(t, c.parent, Path{outer, c.inner}.Tree()[1].Parent, name)
	}
}

func TestTreeOfDegenerate(t *testing.T) {
	assert.Empty(t, Path(nil).Tree())
	nan, inf := math.NaN(), math.Inf(1)
	p := Path{{}, {Start: Pt(nan, nan)}, Polygon(Pt(0, 0), Pt(inf, 0), Pt(1, 1)), Polygon(Pt(nan, 0), Pt(1, nan), Pt(1, 1)), Circle(Pt(1e9, -1e9), 1e9)}
	assert.NotPanics(t, func() { assert.Len(t, p.Tree(), len(p)) })
}

// Every pair decided by itself is the slow judge.
func TestTreeAgainstPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	var p Path
	var add func(b Box, depth int)
	add = func(b Box, depth int) {
		c := Ellipse(b.Centre(), units.Length(b.Width()/2), units.Length(b.Height()/2))
		p = append(p, c)
		if depth == 0 {
			return
		}
		m := b.Centre()
		w, h := b.Width()*0.3, b.Height()*0.3
		for side := range rng.IntN(3) { // none, the left one, or both
			x := m.X - w + float64(side)*w*1.1
			add(Box{Pt(x, m.Y-h/2), Pt(x+w*0.9, m.Y+h/2)}, depth-1)
		}
	}
	for i := range 12 {
		add(Box{Pt(float64(i)*50, 0), Pt(float64(i)*50+40, 60)}, 4)
	}
	rng.Shuffle(len(p), func(i, j int) { p[i], p[j] = p[j], p[i] })
	for i, node := range p.Tree() {
		depth := 0
		for j := range p {
			if j != i && p[j].Contains(p[i].Start) && p[j].Bounds().Width() > p[i].Bounds().Width() {
				depth++
			}
		}
		assert.Equal(t, depth, node.Depth)
	}
}

func BenchmarkTree(b *testing.B) {
	for _, n := range []int{100, 10000} {
		var p Path
		for i := range n / 2 {
			p = append(p, Ring(Pt(float64(i%100)*12, float64(i/100)*12), 5, 3)...)
		}
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p.Tree()
			}
		})
	}
}
