package weedability

import (
	"cmp"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
)

// Pull is how to peel the waste sheet.
type Pull struct {
	From    outline.Point // corner or side of the weed border to start at
	Degrees float64       // direction of the pull, counter-clockwise from x
	Tips    int           // points of film that this pull meets end first; the fewest of all directions
}

// pullDirections are the directions that are weighed: from the corners, then from the
// sides. Starting at a corner, with the sheet folded flat back over itself, is
// common practice without a source.
const pullDirections = 8

// pull chooses the direction in which the fewest points are met end first: those
// lift with the waste, while one that is met from its root stays down.
func (in *inspection) pull() Pull {
	type way struct {
		angle float64
		risk  float64
		tips  int
	}
	best := way{risk: math.Inf(1)}
	for k := range pullDirections {
		// Diagonals first, from the upper left corner on; a later one has to be better.
		angle := -math.Pi/4 + float64(k%4)*math.Pi/2
		if k >= 4 {
			angle += math.Pi / 4
		}
		sin, cos := math.Sincos(angle)
		w := way{angle: angle}
		for _, t := range in.tipsOfFilm {
			if t.width >= float64(in.limits.Tip.Caution) {
				continue
			}
			out := t.left.Add(t.right).Mul(-1) // the way the point points
			if n := out.Norm(); n > 0 {
				if against := -(out.X*cos + out.Y*sin) / n; against > endFirst {
					w.tips++
					w.risk += against * t.reach
				}
			}
		}
		if w.risk < best.risk {
			best = w
		}
	}
	b := in.b.Box.Grow(in.borderMargin())
	sin, cos := math.Sincos(best.angle)
	c := b.Centre()
	from := outline.Pt(c.X-sign(cos)*b.Width()/2, c.Y-sign(sin)*b.Height()/2)
	degrees := math.Round(best.angle * 180 / math.Pi)
	return Pull{From: from, Degrees: degrees, Tips: best.tips}
}

// endFirst is the cosine of the angle between a point and the pull from which
// on the point counts as met end first: 60 degrees either way.
const endFirst = 0.5

// sign returns -1, 0 or 1, taking the rounding of a right angle's cosine for zero.
func sign(v float64) float64 {
	switch {
	case v > rightAngleSlack:
		return 1
	case v < -rightAngleSlack:
		return -1
	}
	return 0
}

// rightAngleSlack bounds the cosine of 90 degrees in float64.
const rightAngleSlack = 1e-9

// maxImproved is the number of picks up to which their order is improved; more are
// walked in strips.
const maxImproved = 600

// walkPicks puts the counters in the order of picking, starting where the pull does.
func (in *inspection) walkPicks(from outline.Point) {
	list := in.out.Counters
	var order []int
	if len(list) <= maxImproved {
		order = nearestFirst(list, from)
		untangle(list, order, from)
	} else {
		order = strips(list)
	}
	// Findings tell counters by their number.
	number := make([]int, len(list)+1)
	sorted := make([]Counter, len(list))
	for i, k := range order {
		number[list[k].Number] = i + 1
		sorted[i] = list[k]
		sorted[i].Number = i + 1
	}
	in.out.Counters = sorted
	for i := range in.out.Findings {
		if f := &in.out.Findings[i]; f.Kind == CounterSmall {
			f.Number = number[f.Number]
		}
	}
}

// nearestFirst goes from each counter to the nearest one not yet picked.
func nearestFirst(list []Counter, at outline.Point) []int {
	order := make([]int, 0, len(list))
	done := make([]bool, len(list))
	for range list {
		best, k := math.Inf(1), -1
		for i := range list {
			if x := list[i].At.Sub(at); !done[i] && x.Dot(x) < best {
				best, k = x.Dot(x), i
			}
		}
		done[k] = true
		order = append(order, k)
		at = list[k].At
	}
	return order
}

// untangle reverses parts of the walk while that shortens it (2-opt).
func untangle(list []Counter, order []int, from outline.Point) {
	at := func(i int) outline.Point {
		if i < 0 {
			return from
		}
		return list[order[i]].At
	}
	for better := true; better; {
		better = false
		for i := range order {
			for j := i + 1; j < len(order); j++ {
				// One of the new legs has to be shorter than one of the old.
				a, b, c := at(i-1), at(i), at(j)
				first := nearer(a, c, b)
				if j+1 == len(order) {
					if !first {
						continue
					}
				} else if !first && !nearer(at(j+1), b, c) {
					continue
				}
				old, now := distance(a, b), distance(a, c)
				if j+1 < len(order) {
					old += distance(c, at(j+1))
					now += distance(b, at(j+1))
				}
				if now < old-resolution {
					slices.Reverse(order[i : j+1])
					better = true
				}
			}
		}
	}
}

// nearer reports whether p lies nearer to at than q does.
func nearer(at, p, q outline.Point) bool {
	d, e := p.Sub(at), q.Sub(at)
	return d.Dot(d) < e.Dot(e)
}

// strips walks the counters row by row, to and fro.
func strips(list []Counter) []int {
	box := outline.EmptyBox()
	order := make([]int, len(list))
	for i := range list {
		order[i] = i
		box = box.Extend(list[i].At)
	}
	// About as many rows as make steps along and across alike.
	rows := math.Max(1, math.Sqrt(float64(len(list))*box.Height()/math.Max(box.Width(), 1)/2))
	height := math.Max(box.Height()/rows, 1)
	row := func(i int) int { return int((box.Max.Y - list[i].At.Y) / height) }
	slices.SortStableFunc(order, func(i, j int) int {
		r := row(i)
		if c := cmp.Compare(r, row(j)); c != 0 {
			return c
		}
		if r%2 == 1 {
			i, j = j, i
		}
		return cmp.Compare(list[i].At.X, list[j].At.X)
	})
	return order
}
