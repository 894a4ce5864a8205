package search

import (
	"math"

	"github.com/vinylgeom/vinyl/nest/internal/compact"
)

const (
	// trustShare is how far a piece may move in one round of compaction, as a
	// share of the smallest piece's smaller side.
	trustShare = 0.1
	// trustCut follows a round that gained little.
	trustCut = 0.4
	// shortenRounds bounds the linear programs after one success.
	shortenRounds = 8
	// stalled: a round that shortens the strip by less than this share gained
	// little.
	stalled = 1e-4
	// parallelTolerance: unit normals that differ by less are the same.
	parallelTolerance = 1e-9
	// maxPivots bounds one linear program.
	maxPivots = 2000
	// programPieces is the most pieces that are moved by one program; it keeps
	// the dense dictionary below about 150 MB.
	programPieces = 220
)

// shortener holds the linear program and its buffers.
type shortener struct {
	program compact.Program
	list    []apart
	stop    func() bool
}

// apart is a line that must keep separating two convex parts: with t the shift
// from piece i to piece j, nx*tx + ny*ty >= d.
type apart struct {
	i, j   int
	nx, ny float64
	slack  float64
	// turns: j stands for its copy so many ring lengths further along x
	turns float64
}

// separations lists, for every two convex parts nearer than the trust region,
// the edge that separates them best. ok is false if two parts overlap.
//
// ring, if not 0, is the length of a strip whose end is joined to its start.
func (w *world) separations(a layout, ring, trust float64, buf []apart) (list []apart, ok bool) {
	list, ok = buf[:0], true
	give := 2 * math.Sqrt2 * trust
	if ring != 0 {
		give += trust // the ring's length changes too
	}
	deepest := -2 * contactTolerance * w.width
	w.nearPairs(a, ring, 3*trust, func(i, j int, turns float64) {
		p := w.pair(a.k[i], a.k[j])
		tx, ty := a.x[j]+turns*ring-a.x[i], a.y[j]-a.y[i]
		if b := &p.box; tx < b.MinX-give || tx > b.MaxX+give || ty < b.MinY-give || ty > b.MaxY+give {
			return
		}
		rx, ry := p.m00*tx+p.m01*ty, p.m10*tx+p.m11*ty
		first := len(list)
	parts:
		for pi, part := range p.reg.Parts {
			b := &p.reg.PartBox[pi]
			if rx < b.MinX-give || rx > b.MaxX+give || ry < b.MinY-give || ry > b.MaxY+give {
				continue
			}
			best := math.Inf(-1)
			at := 0
			for q := range part {
				if s := part[q].NX*rx + part[q].NY*ry - part[q].D; s > best {
					best, at = s, q
				}
			}
			if best > give {
				continue
			}
			if best < deepest {
				ok = false
			}
			h := &part[at]
			nx, ny := p.m00*h.NX+p.m10*h.NY, p.m01*h.NX+p.m11*h.NY
			for k := first; k < len(list); k++ { // parallel: the nearer one suffices
				if c := &list[k]; math.Abs(c.nx-nx)+math.Abs(c.ny-ny) < parallelTolerance {
					c.slack = min(c.slack, best)
					continue parts
				}
			}
			list = append(list, apart{i, j, nx, ny, best, turns})
		}
	})
	return list, ok
}

// nearPairs calls f for i < j whose boxes are no further apart than by; i is
// movable. On a ring it also calls f for copies of j some turns before and after.
func (w *world) nearPairs(a layout, ring, by float64, f func(i, j int, turns float64)) {
	images := 0
	if ring != 0 {
		images = w.images(ring, by)
	}
	for i := range w.n {
		bi := &w.kinds[a.k[i]].box
		for j := i + 1; j < w.m; j++ {
			bj := &w.kinds[a.k[j]].box
			if a.y[j]+bj.MinY > a.y[i]+bi.MaxY+by || a.y[i]+bi.MinY > a.y[j]+bj.MaxY+by {
				continue
			}
			meets := func(turns float64) {
				x := a.x[j] + turns*ring
				if x+bj.MinX <= a.x[i]+bi.MaxX+by && a.x[i]+bi.MinX <= x+bj.MaxX+by {
					f(i, j, turns)
				}
			}
			meets(0)
			for turn := 1; turn <= images; turn++ {
				meets(-float64(turn))
				meets(float64(turn))
			}
		}
	}
}

// wallRoom is how far piece i may go to each side before it meets the strip's
// edges.
func (w *world) wallRoom(a layout, i int) (left, down, up float64) {
	b := &w.kinds[a.k[i]].box
	return -(a.x[i] + b.MinX), -(a.y[i] + b.MinY), w.width - b.MaxY - a.y[i]
}

// shorten moves all pieces at once so that the strip, or the ring if its length
// is given, becomes shorter and nothing comes to overlap. It returns the new
// length.
func (s *shortener) shorten(w *world, a layout, ring float64) float64 {
	length := ring
	if ring == 0 {
		length = w.extent(a)
	}
	if w.n > programPieces {
		return length
	}
	trust := trustShare * w.minSide
	var list []apart
	for range shortenRounds {
		var ok bool
		if list, ok = w.separations(a, ring, trust, list); !ok {
			break
		}
		before := length
		length += s.solve(w, a, ring, list, trust, nil, nil, 0)
		if ring != 0 {
			ring = length
		}
		if before-length < stalled*before {
			trust *= trustCut
			if trust < 0.002*w.minSide {
				break
			}
		}
		if s.stop != nil && s.stop() {
			break
		}
	}
	return length
}

// sigmaWorth is how many units of length one unit of margin is worth to settle.
const sigmaWorth = 1000

// overlapWorth is how many units of length the removal of one unit of overlap
// is worth.
const overlapWorth = 50 * sigmaWorth

// solve runs one program from layout a, applies the moves and returns by how
// much the length changes. Pairs of pieces that wide numbers get margins of up
// to delta, as far as there is room.
//
// off, if not nil, says by how much each of these pairs overlaps; the margin
// first makes up for that.
func (s *shortener) solve(w *world, a layout, ring float64, list []apart, trust float64, wide map[[2]int]int, off []float64, delta float64) float64 {
	n := w.n
	p := &s.program
	p.Reset(2*n + 1 + 2*len(wide))
	end := w.extent(a)
	longest := 0.0
	for i := range n {
		left, down, up := w.wallRoom(a, i)
		if ring != 0 {
			left = -trust
		}
		p.Variable(2*i, max(-trust, left), trust, 0)
		p.Variable(2*i+1, max(-trust, down), min(trust, up), 0)
		b := &w.kinds[a.k[i]].box
		longest = max(longest, b.MaxX-b.MinX)
	}
	grow := delta * float64(10*n)
	for _, o := range off {
		grow += 2 * o
	}
	if ring != 0 {
		p.Variable(2*n, max(-trust, longest-ring), min(trust, grow), 1)
	} else {
		p.Variable(2*n, -end, grow, 1)
		for i := range n {
			room := end - a.x[i] - w.kinds[a.k[i]].box.MaxX
			if room > 2*trust+end*0.05 {
				continue
			}
			p.Row(room)
			p.Set(2*n, 1)
			p.Set(2*i, -1)
		}
	}
	for k := range len(wide) {
		p.Variable(2*n+1+2*k, 0, delta, -sigmaWorth)
		if off == nil {
			p.Variable(2*n+2+2*k, 0, 0, 0)
		} else { // overlaps go before any margin
			p.Variable(2*n+2+2*k, 0, off[k], -overlapWorth)
		}
	}
	for _, c := range list {
		k, ok := wide[[2]int{c.i, c.j}]
		if ok && off != nil {
			p.Row(c.slack + off[k])
		} else {
			p.Row(c.slack)
		}
		p.Set(2*c.i, -c.nx)
		p.Set(2*c.i+1, -c.ny)
		if c.j < n {
			p.Set(2*c.j, c.nx)
			p.Set(2*c.j+1, c.ny)
		}
		p.Set(2*n, c.turns*c.nx)
		if ok {
			p.Set(2*n+1+2*k, -1)
			p.Set(2*n+2+2*k, -1)
		}
	}
	v, _ := p.Solve(maxPivots, s.stop)
	for i := range n {
		a.x[i] += v[2*i]
		a.y[i] += v[2*i+1]
	}
	if ring != 0 {
		return v[2*n]
	}
	return w.extent(a) - end
}
