package guillotine

import (
	"context"
	"math/rand/v2"
	"slices"
	"time"
)

// Options bound the search. Without any bound it runs until the context ends.
type Options struct {
	Seed        uint64
	Evaluations int       // layouts looked at; zero means no bound
	Deadline    time.Time // zero means none
	FirstOnly   bool      // the sensible orders and rules, no search
	Quick       bool      // one order and a dozen rules, no search
}

// CutWorth is what a millimetre of cutting counts, in millimetres of film.
const CutWorth = 1e-4

// Settings of the climb.
const (
	history    = 200
	patience   = 20000 // layouts without a better best until the climb starts again from the best
	checkEvery = 16
	// loadWorth and boxWorth make one number of a layout: a box left over is worse than any number of loads, a load than
	// any length of film.
	loadWorth = 1e7
	boxWorth  = 1e13
)

func (a *Layout) cost() float64 {
	return boxWorth*float64(a.Unplaced) + loadWorth*float64(a.Loads) + a.Film + CutWorth*a.CutSum
}

func (a *Layout) clone() *Layout {
	c := *a
	c.Spots, c.Cuts = slices.Clone(a.Spots), slices.Clone(a.Cuts)
	return &c
}

// Search returns the best layout it finds, and how many it looked at. improved, if not nil, is told of every better one;
// it reports whether the layout is usable, and one that is not is passed over.
func Search(ctx context.Context, frame Frame, boxes []Box, o Options, improved func(*Layout) bool) (*Layout, int) {
	if !o.Deadline.IsZero() {
		var cancel context.CancelFunc
		ctx, cancel = context.WithDeadline(ctx, o.Deadline)
		defer cancel()
	}
	m := &maker{frame: frame, boxes: boxes, free: frame.stretches()}
	n := len(boxes)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var best *Layout
	var bestOrder []int
	var bestRule rule
	count := 0
	try := func(order []int, r rule) float64 {
		count++
		l := m.make(order, r)
		if best == nil || l.better(best) {
			c := l.clone()
			if improved == nil || improved(c) {
				best, bestOrder, bestRule = c, slices.Clone(order), r
			}
		}
		return l.cost()
	}
	keys := []func(w Way) float64{
		func(w Way) float64 { return max(w.W, w.H) },
		func(w Way) float64 { return w.W * w.H },
		func(w Way) float64 { return w.W },
		func(w Way) float64 { return w.H },
	}
	if o.Quick {
		keys = keys[:1]
	}
	for _, key := range keys {
		slices.SortStableFunc(order, func(a, b int) int {
			if boxes[a].Group != boxes[b].Group {
				return boxes[a].Group - boxes[b].Group
			}
			ka, kb := key(boxes[a].Ways[0]), key(boxes[b].Ways[0])
			switch {
			case ka > kb:
				return -1
			case ka < kb:
				return 1
			}
			return 0
		})
		for split := range numberOfSplit {
			for choice := range numberOfChoice {
				for turn := range numberOfTurns {
					if o.Quick && choice != shortSide {
						continue
					}
					if n > manyBoxes && best != nil && (choice != firstPart || ctx.Err() != nil) {
						continue
					}
					try(order, rule{split, choice, turn})
				}
			}
		}
	}
	if o.FirstOnly || o.Quick || best == nil || n < 2 {
		return best, count
	}
	rng := rand.New(rand.NewPCG(o.Seed, 0x94d049bb133111eb))
	current := slices.Clone(bestOrder)
	r := bestRule
	value := best.cost()
	var list [history]float64
	for i := range list {
		list[i] = value
	}
	since := 0
	for o.Evaluations == 0 || count < o.Evaluations {
		if count%checkEvery == 0 && ctx.Err() != nil {
			break
		}
		a, b := rng.IntN(n), rng.IntN(n)
		old := r
		if rng.IntN(20) == 0 {
			r = rule{rng.IntN(numberOfSplit), rng.IntN(numberOfChoice), rng.IntN(numberOfTurns)}
			a = b
		} else if a == b || boxes[current[a]].Group != boxes[current[b]].Group {
			count++
			continue
		}
		current[a], current[b] = current[b], current[a]
		before := best
		v := try(current, r)
		h := &list[count%history]
		if v <= value || v <= *h {
			value = v
		} else {
			current[a], current[b] = current[b], current[a]
			r = old
		}
		*h = min(*h, value)
		if since++; best != before {
			since = 0
		}
		if since > patience {
			since = 0
			copy(current, bestOrder)
			r = bestRule
			value = best.cost()
			for i := range list {
				list[i] = value * (1 + 1e-3) // a little room to leave the best again
			}
		}
	}
	return best, count
}

// manyBoxes is the number of boxes from which only the quick choice of parts is used at first.
const manyBoxes = 2000
