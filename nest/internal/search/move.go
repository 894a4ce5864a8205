package search

import "math"

const (
	localSamples  = 20
	globalSamples = 30
	// differ: candidates closer than this share of the piece's smaller side are
	// taken for the same.
	differ = 0.05
	// exitRounds bounds the steps of one descent.
	exitRounds = 12
	// descentReach is how far a descent may go, in smaller sides of the piece.
	descentReach = 1.5
	// keptLines is how many lines of earlier steps are crossed with new ones.
	keptLines = 5
	// reach bounds a step to a crossing of two lines, in depths.
	reach = 4.0
	// flat: lines whose directions' sine is less are not crossed.
	flat = 0.05
)

// candidate is a pose worth descending from.
type candidate struct {
	x, y, cost float64
	s          int // index of the kind among the allowed
}

// line is where a way out of an overlap ends: nx*x + ny*y = d.
type line struct{ nx, ny, d, depth float64 }

// keep files a candidate among the best three that differ.
func (l *lane) keep(c candidate, apart float64) {
	at := l.nBest
	for i := range l.nBest {
		b := &l.bests[i]
		if b.s == c.s && math.Abs(b.x-c.x) < apart && math.Abs(b.y-c.y) < apart {
			if c.cost >= b.cost {
				return
			}
			at = i
			break
		}
	}
	if at == l.nBest {
		if l.nBest < len(l.bests) {
			l.nBest++
		} else if at = l.nBest - 1; c.cost >= l.bests[at].cost {
			return
		}
	}
	for ; at > 0 && l.bests[at-1].cost > c.cost; at-- {
		l.bests[at] = l.bests[at-1]
	}
	l.bests[at] = c
}

// move brings piece i to the pose of least weighted loss that sampling and
// descent find; the present pose is a candidate, so the loss never rises.
func (l *lane) move(i int) {
	kinds := l.allowed[i]
	for s := range kinds {
		l.haveK[s] = false
	}
	now := 0
	for s, k := range kinds {
		if k == l.k[i] {
			now = s
		}
	}
	side := l.shapes[l.shapeOf[i]].minSide
	apart := differ * side
	l.nBest = 0
	here := candidate{l.x[i], l.y[i], 0, now}
	here.cost = l.cost(l.prepare(i, now), here.x, here.y, math.Inf(1))
	l.keep(here, apart)
	bound := func() float64 {
		if l.nBest < len(l.bests) {
			return math.Inf(1)
		}
		return l.bests[l.nBest-1].cost
	}
	box := l.kinds[l.k[i]].box
	for range localSamples {
		s := now
		if len(kinds) > 1 {
			s = l.intn(len(kinds))
		}
		x0, x1, y0, y1 := l.bounds(kinds[s])
		x := here.x + (l.float()-0.5)*(box.MaxX-box.MinX)
		y := here.y + (l.float()-0.5)*(box.MaxY-box.MinY)
		x, y = max(x0, min(x1, x)), max(y0, min(y1, y))
		b := bound()
		if c := l.roughCost(l.prepare(i, s), x, y, b); c < b {
			l.keep(candidate{x, y, c, s}, apart)
		}
	}
	for range globalSamples {
		s := now
		if len(kinds) > 1 {
			s = l.intn(len(kinds))
		}
		x0, x1, y0, y1 := l.bounds(kinds[s])
		x := x0 + l.float()*(x1-x0)
		y := y0 + l.float()*(y1-y0)
		b := bound()
		if c := l.roughCost(l.prepare(i, s), x, y, b); c < b {
			l.keep(candidate{x, y, c, s}, apart)
		}
	}
	best := here
	for j := range l.nBest {
		c := l.descend(i, l.bests[j], side)
		if c.cost < best.cost {
			best = c
		}
	}
	if best != here {
		l.x[i], l.y[i], l.k[i] = best.x, best.y, kinds[best.s]
		if l.ring {
			x0, _, _, _ := l.bounds(l.k[i])
			l.x[i] -= math.Floor((l.x[i]-x0)/l.length) * l.length
		}
		l.refreshRow(i)
	}
}

// descend goes from overlap to overlap by exact ways out: to the end of the
// shortest way out of each overlap and to crossings of two such lines.
func (l *lane) descend(i int, c candidate, side float64) candidate {
	k := l.allowed[i][c.s]
	c.cost = l.cost(l.prepare(i, c.s), c.x, c.y, math.Inf(1)) // samples are ranked roughly
	x0, x1, y0, y1 := l.bounds(k)
	r := descentReach * side
	l.local = within(l.prepare(i, c.s), l.local, c.x-r, c.x+r, c.y-r, c.y+r)
	if l.ring { // across the seam
		x0, x1 = x0-r, x1+r
	}
	wx0, wx1, wy0, wy1 := max(x0, c.x-r), min(x1, c.x+r), max(y0, c.y-r), min(y1, c.y+r)
	l.kept = l.kept[:0]
	for range exitRounds {
		l.lines = l.lines[:0]
		for j := range l.local {
			n := &l.local[j]
			if c.x > n.x0 && c.x < n.x1 && c.y > n.y0 && c.y < n.y1 {
				depth, nx, ny, d, ok := n.p.exit(c.x-n.px, c.y-n.py)
				if ok && depth > l.tol {
					l.lines = append(l.lines, line{nx, ny, d + nx*n.px + ny*n.py, depth})
				}
			}
		}
		if len(l.lines) == 0 {
			break
		}
		best := c
		try := func(x, y float64) {
			x, y = max(wx0, min(wx1, x)), max(wy0, min(wy1, y))
			if f := l.cost(l.local, x, y, best.cost); f < best.cost {
				best.x, best.y, best.cost = x, y, f
			}
		}
		for a := range l.lines {
			la := &l.lines[a]
			try(c.x+la.nx*la.depth, c.y+la.ny*la.depth)
			cross := func(lb *line) {
				det := la.nx*lb.ny - la.ny*lb.nx
				if math.Abs(det) < flat {
					return
				}
				x := (la.d*lb.ny - lb.d*la.ny) / det
				y := (la.nx*lb.d - lb.nx*la.d) / det
				lim := reach * (la.depth + lb.depth)
				if math.Abs(x-c.x) > lim || math.Abs(y-c.y) > lim {
					return
				}
				try(x, y)
			}
			for b := a + 1; b < len(l.lines); b++ {
				cross(&l.lines[b])
			}
			for b := range l.kept {
				cross(&l.kept[b])
			}
			// slide along the strip's edges
			if la.nx != 0 {
				if y := c.y + la.ny*la.depth; y < y0 || y > y1 {
					y = max(y0, min(y1, y))
					try((la.d-la.ny*y)/la.nx, y)
				}
			}
			if la.ny != 0 {
				if x := c.x + la.nx*la.depth; x < x0 || x > x1 {
					x = max(x0, min(x1, x))
					try(x, (la.d-la.nx*x)/la.ny)
				}
			}
		}
		if best.cost >= c.cost {
			break
		}
		c = best
		l.kept = append(l.kept, l.lines...)
		if over := len(l.kept) - keptLines; over > 0 {
			l.kept = append(l.kept[:0], l.kept[over:]...)
		}
		if c.cost == 0 {
			break
		}
	}
	return c
}
