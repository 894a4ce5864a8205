package guillotine

import (
	"cmp"
	"math"
	"slices"
)

// Way is a size of a box as it may lie: W along the strip, H across it.
type Way struct{ W, H float64 }

// Box is something to be placed: one of its Ways, in group Group.
type Box struct {
	Ways  []Way
	Group int
}

// Frame is a load: boxes lie within X0 ≤ x ≤ X1, Y0 ≤ y ≤ Y1, and cuts run to the edges of the film, Left ≤ x ≤ Right,
// Bottom ≤ y ≤ Top. X1 and Right may be +Inf.
type Frame struct {
	X0, Y0, X1, Y1           float64
	Left, Bottom, Right, Top float64
	Kept                     float64 // distance between two boxes; a cut runs in its middle
	Loads                    int     // greatest number of loads
	Blocked                  []Span  // stretches of every load, over its whole width, that boxes keep the same distance from
}

// Span is a stretch of x.
type Span struct{ From, To float64 }

// stretches are the parts of a load that are free at first: the whole frame, or what is left beside what is blocked.
func (f Frame) stretches() []part {
	blocked := slices.Clone(f.Blocked)
	slices.SortFunc(blocked, func(a, b Span) int { return cmp.Compare(a.From, b.From) })
	var free []part
	next := part{x0: f.X0, y0: f.Y0, y1: f.Y1, left: f.Left, bottom: f.Bottom, above: f.Top}
	end := func(x1, right float64) {
		if next.x1, next.right = min(x1, f.X1), min(right, f.Right); next.x1 > next.x0 {
			free = append(free, next)
		}
	}
	for _, b := range blocked {
		end(b.From-f.Kept, b.From-f.Kept/2)
		next.x0, next.left = max(next.x0, b.To+f.Kept), max(next.left, b.To+f.Kept/2)
	}
	end(f.X1, f.Right)
	return free
}

// Spot is where a box lies: its corner of least coordinates. Load counts from 0 and is -1 for a box without room.
type Spot struct {
	Load, Way int
	X, Y      float64
}

// Cut is a straight cut in a load.
type Cut struct {
	Load           int
	X1, Y1, X2, Y2 float64
}

// Layout is one spot for each box and the cuts in the order they are made.
type Layout struct {
	Spots    []Spot
	Cuts     []Cut
	Loads    int
	Unplaced int
	Film     float64 // sum over loads of the largest x
	CutSum   float64 // length of all cuts
}

// better reports whether a is the better layout: fewer boxes left over, then fewer loads, then less film and
// cutting.
func (a *Layout) better(b *Layout) bool {
	switch {
	case a.Unplaced != b.Unplaced:
		return a.Unplaced < b.Unplaced
	case a.Loads != b.Loads:
		return a.Loads < b.Loads
	}
	return a.Film+CutWorth*a.CutSum < b.Film+CutWorth*b.CutSum
}

// rule is a way to decide, for a whole layout.
type rule struct {
	split  int // which cut comes first
	choice int // which free part is taken
	turn   int // which way boxes lie
}

const (
	acrossFirst   = iota // the cut across the film
	alongFirst           // the cut along the film
	longerFirst          // the cut that leaves the larger rectangle whole
	numberOfSplit = 3

	shortSide      = iota - 4 // least leftover on the shorter side
	smallArea                 // smallest free part
	firstPart                 // the first one it fits into
	numberOfChoice = 3

	bestWay       = iota - 8 // whichever suits the part
	shallow                  // least along the strip
	narrow                   // least across the strip
	firstWay                 // the first one
	numberOfTurns = 4
)

// part is a free rectangle: boxes go inside x0..y1, cuts run to the outer edges.
type part struct {
	load                       int
	x0, y0, x1, y1             float64
	left, bottom, right, above float64
}

// maker makes layouts and keeps its buffers.
type maker struct {
	frame Frame
	boxes []Box
	free  []part // what every load begins with
	parts []part
	out   Layout
	ends  []float64 // largest x by load
}

// rounding is the relative rounding granted when a box is fitted into a part.
const rounding = 0x1p-50

// make lays the boxes out in the order; cuts are only listed if asked for.
func (m *maker) make(order []int, r rule) *Layout {
	f := m.frame
	m.parts = m.parts[:0]
	m.ends = m.ends[:0]
	m.out.Cuts = m.out.Cuts[:0]
	m.out.Loads, m.out.Unplaced, m.out.Film, m.out.CutSum = 0, 0, 0, 0
	if m.out.Spots == nil {
		m.out.Spots = make([]Spot, len(m.boxes))
	}
	group := -1
	for _, i := range order {
		b := &m.boxes[i]
		if b.Group != group {
			if group >= 0 {
				// The next group gets what has not been cut across yet.
				m.parts = slices.DeleteFunc(m.parts, func(p part) bool {
					return p.load != m.out.Loads-1 || p.y0 != f.Y0 || p.y1 != f.Y1 || p.x0 < m.ends[p.load]
				})
			}
			group = b.Group
		}
		at, way := m.choose(b, r)
		if at < 0 && m.out.Loads < f.Loads {
			kept := len(m.parts)
			m.parts = append(m.parts, m.free...)
			for k := range m.free {
				m.parts[kept+k].load = m.out.Loads
			}
			m.ends = append(m.ends, 0)
			m.out.Loads++
			if at, way = m.choose(b, r); at < 0 {
				m.parts = m.parts[:kept]
				m.ends = m.ends[:len(m.ends)-1]
				m.out.Loads--
			}
		}
		if at < 0 {
			m.out.Spots[i] = Spot{Load: -1}
			m.out.Unplaced++
			continue
		}
		m.put(i, at, way, r)
	}
	for _, x := range m.ends {
		m.out.Film += x
	}
	if len(f.Blocked) > 0 {
		m.partStretches()
	}
	return &m.out
}

// partStretches puts first the cuts that free the stretches in use from what is blocked beside them.
func (m *maker) partStretches() {
	var first []Cut
	for load := range m.out.Loads {
		for _, p := range m.free {
			used := slices.ContainsFunc(m.out.Spots, func(s Spot) bool { return s.Load == load && s.X >= p.x0 && s.X <= p.x1 })
			if used && p.left > m.frame.Left {
				first = append(first, Cut{load, p.left, p.bottom, p.left, p.above})
			}
			if used && p.right < m.frame.Right {
				first = append(first, Cut{load, p.right, p.bottom, p.right, p.above})
			}
		}
	}
	for _, c := range first {
		m.out.CutSum += c.Y2 - c.Y1
	}
	m.out.Cuts = append(first, m.out.Cuts...)
}

// choose finds a part and a way for a box; -1 if there is none.
func (m *maker) choose(b *Box, r rule) (at, way int) {
	at, way = -1, 0
	best := math.Inf(1)
	from, to := 0, len(b.Ways)
	switch r.turn {
	case shallow:
		for k := range b.Ways {
			if b.Ways[k].W < b.Ways[from].W {
				from = k
			}
		}
		to = from + 1
	case narrow:
		for k := range b.Ways {
			if b.Ways[k].H < b.Ways[from].H {
				from = k
			}
		}
		to = from + 1
	case firstWay:
		to = 1
	}
	for {
		for n := range m.parts {
			p := &m.parts[n]
			for k := from; k < to; k++ {
				w := b.Ways[k]
				dx, dy := p.x1-p.x0-w.W, p.y1-p.y0-w.H
				if dx < -rounding*w.W || dy < -rounding*w.H {
					continue
				}
				score := 0.0
				switch r.choice {
				case shortSide:
					score = min(dx, dy)
					if math.IsInf(dx, 1) {
						// An open strip: what it costs in film decides, after every closed part.
						score = 1e12 + w.W/(math.Floor((p.y1-p.y0+m.frame.Kept)/(w.H+m.frame.Kept)))
					}
				case smallArea:
					score = (p.x1 - p.x0) * (p.y1 - p.y0)
				}
				if score < best {
					best, at, way = score, n, k
				}
				if r.choice == firstPart && at >= 0 {
					return at, way
				}
			}
		}
		if at >= 0 || from == 0 && to == len(b.Ways) {
			return at, way
		}
		from, to = 0, len(b.Ways) // the preferred way does not fit; any other may
	}
}

// put places box i in the corner of a part and cuts the rest.
func (m *maker) put(i, at, way int, r rule) {
	p := m.parts[at]
	w := m.boxes[i].Ways[way]
	m.out.Spots[i] = Spot{p.load, way, p.x0, p.y0}
	x, y := p.x0+w.W, p.y0+w.H
	m.ends[p.load] = max(m.ends[p.load], x)
	cx, cy := x+m.frame.Kept/2, y+m.frame.Kept/2
	beside, above := p, p
	beside.x0, beside.left = x+m.frame.Kept, cx
	above.y0, above.bottom = y+m.frame.Kept, cy
	across := r.split == acrossFirst
	if r.split == longerFirst {
		across = (p.x1-x)*(p.y1-p.y0) >= (p.y1-y)*(p.x1-p.x0)
	}
	if math.IsInf(p.x1, 1) {
		across = true
	}
	cutAcross := Cut{p.load, cx, p.bottom, cx, p.above}
	cutAlong := Cut{p.load, p.left, cy, p.right, cy}
	if across {
		above.x1, above.right = x, cx
		cutAlong.X2 = min(p.right, cx)
	} else {
		beside.y1, beside.above = y, cy
		cutAcross.Y2 = min(p.above, cy)
	}
	hasAcross, hasAlong := cx < p.right, cy < p.above
	add := func(c Cut, needed bool) {
		if needed {
			m.out.Cuts = append(m.out.Cuts, c)
			m.out.CutSum += c.X2 - c.X1 + c.Y2 - c.Y1
		}
	}
	if across {
		add(cutAcross, hasAcross)
		add(cutAlong, hasAlong)
	} else {
		add(cutAlong, hasAlong)
		add(cutAcross, hasAcross)
	}
	m.parts = slices.Delete(m.parts, at, at+1)
	for _, rest := range []part{beside, above} {
		if rest.x1 > rest.x0 && rest.y1 > rest.y0 {
			m.parts = append(m.parts, rest)
		}
	}
}
