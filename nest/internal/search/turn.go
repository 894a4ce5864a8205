package search

import (
	"math"

	"github.com/vinylgeom/vinyl/nest/internal/convex"
)

// Pieces that may turn to any angle are searched at equal angles; turner then
// moves and turns all pieces at once by linear programs. Every two convex
// parts keep the edge that separates them; its line turns with its piece, and
// each corner of the other part that comes near must stay beyond it. The
// program is the first-order change of these distances, so a step leaves small
// overlaps, which the next one removes.

const (
	// turnSteps is the number of programs in one polish; the last turnFinish of
	// them take no more than tiny steps and only restore validity.
	turnSteps  = 14
	turnFinish = 3
	// turnTrust, in radians, is how far a piece may turn in the first step.
	turnTrust = 0.06
	// turnShrink is the ratio of the trust regions of successive steps.
	turnShrink = 0.75
)

// turner polishes layouts with free angles.
type turner struct {
	shortener
	w     *world
	poses []Pose
	parts [][][]convex.Point // of each piece, placed
	boxes [][]convex.Box     // of the parts
	box   []convex.Box       // of the piece
	mid   []convex.Point     // what the piece turns about: the middle of its box at angle 0
	reach []float64          // largest distance of a vertex from mid
	rows  []turnRow
	off   []float64 // largest overlap of each pair that has rows, by slot
	slots map[[2]int]int
}

// turnRow is the linearised distance of one corner from one line.
type turnRow struct {
	slot  int
	value float64
	n     int
	cols  [6]int32
	coefs [6]float64
}

// polish shortens a valid layout by moving and turning; it returns poses that
// have passed the exact test, or false.
func (t *turner) polish(w *world, ps []Pose) ([]Pose, float64, bool) {
	if w.n > programPieces/2 {
		return nil, 0, false
	}
	t.w = w
	t.poses = append(t.poses[:0], ps...)
	var best []Pose
	bestLength, _ := w.exact(ps)
	trust, turn := trustShare*w.minSide, turnTrust
	for step := range turnSteps {
		if step >= turnSteps-turnFinish {
			trust, turn = 100*settleMargin*w.width, 100*settleMargin
		}
		t.place()
		t.linearise(trust, turn)
		t.step(trust, turn)
		trust *= turnShrink
		turn *= turnShrink
		if t.stop != nil && t.stop() {
			return best, bestLength, best != nil
		}
		if step >= turnSteps-turnFinish {
			if length, ok := w.exact(t.poses); ok {
				if length < bestLength {
					best, bestLength = append([]Pose(nil), t.poses...), length
				}
				break
			}
		}
	}
	return best, bestLength, best != nil
}

// place computes the parts at the present poses.
func (t *turner) place() {
	w := t.w
	t.parts, t.boxes, t.box, t.mid, t.reach = t.parts[:0], t.boxes[:0], t.box[:0], t.mid[:0], t.reach[:0]
	for i := range w.m {
		o := w.shapes[w.shapeOf[i]].outline
		p := Pose{}
		if i < w.n {
			p = t.poses[i]
		}
		pts := o.Turned(p.Angle)
		mid := turned(w.shapes[w.shapeOf[i]].mid, p.Angle)
		reach := 0.0
		for k := range pts {
			reach = max(reach, math.Hypot(pts[k].X-mid.X, pts[k].Y-mid.Y))
			pts[k].X += p.X
			pts[k].Y += p.Y
		}
		mid.X += p.X
		mid.Y += p.Y
		var parts [][]convex.Point
		var boxes []convex.Box
		for _, part := range o.Parts {
			ring := make([]convex.Point, len(part))
			for j, v := range part {
				ring[j] = pts[v]
			}
			parts = append(parts, ring)
			boxes = append(boxes, convex.BoxOf(ring))
		}
		t.parts, t.boxes = append(t.parts, parts), append(t.boxes, boxes)
		t.box, t.mid, t.reach = append(t.box, convex.BoxOf(pts)), append(t.mid, mid), append(t.reach, reach)
	}
}

func gapOf(a, b convex.Box) float64 {
	return max(max(a.MinX-b.MaxX, b.MinX-a.MaxX), max(a.MinY-b.MaxY, b.MinY-a.MaxY))
}

// linearise collects the rows of pairs and walls.
func (t *turner) linearise(trust, turn float64) {
	w := t.w
	t.rows, t.off = t.rows[:0], t.off[:0]
	t.slots = map[[2]int]int{}
	for i := range w.n {
		for j := i + 1; j < w.m; j++ {
			give := 3*trust + turn*(t.reach[i]+t.reach[j])
			if gapOf(t.box[i], t.box[j]) > give {
				continue
			}
			for a := range t.parts[i] {
				if gapOf(t.boxes[i][a], t.box[j]) > give {
					continue
				}
				for b := range t.parts[j] {
					if gapOf(t.boxes[i][a], t.boxes[j][b]) <= give {
						t.separate(i, j, t.parts[i][a], t.parts[j][b], give)
					}
				}
			}
		}
	}
	for i := range w.n {
		give := 2*trust + turn*t.reach[i]
		b := t.box[i]
		if b.MinX > give && b.MinY > give && b.MaxY < w.width-give {
			continue
		}
		for _, part := range t.parts[i] {
			for _, v := range part {
				for _, l := range [3]struct{ nx, ny, d float64 }{{1, 0, 0}, {0, 1, 0}, {0, -1, -w.width}} {
					if s := l.nx*v.X + l.ny*v.Y - l.d; s < give {
						r := turnRow{slot: t.slot(i, -1), value: s}
						t.corner(&r, i, v, l.nx, l.ny, 1)
						t.add(r)
					}
				}
			}
		}
	}
}

func (t *turner) slot(i, j int) int {
	k, ok := t.slots[[2]int{i, j}]
	if !ok {
		k = len(t.off)
		t.slots[[2]int{i, j}] = k
		t.off = append(t.off, 0)
	}
	return k
}

func (t *turner) add(r turnRow) {
	t.rows = append(t.rows, r)
	t.off[r.slot] = max(t.off[r.slot], -r.value)
}

// corner adds the change of sign * n·v for a vertex v of piece i.
func (t *turner) corner(r *turnRow, i int, v convex.Point, nx, ny, sign float64) {
	if i >= t.w.n {
		return
	}
	p := t.mid[i]
	c := r.n
	r.cols[c], r.coefs[c] = int32(3*i), sign*nx
	r.cols[c+1], r.coefs[c+1] = int32(3*i+1), sign*ny
	r.cols[c+2], r.coefs[c+2] = int32(3*i+2), sign*(ny*(v.X-p.X)-nx*(v.Y-p.Y))
	r.n += 3
}

// separate finds the edge of one part that the other clears by most and adds a
// row for each of the other's corners that may come to it.
func (t *turner) separate(i, j int, a, b []convex.Point, give float64) {
	best := math.Inf(-1)
	var bnx, bny, bd float64
	ofA := true
	try := func(p, q []convex.Point, first bool) {
		for k, u := range p {
			v := p[(k+1)%len(p)]
			ex, ey := v.X-u.X, v.Y-u.Y
			l := math.Hypot(ex, ey)
			if l == 0 {
				continue
			}
			nx, ny := ey/l, -ex/l
			d := nx*u.X + ny*u.Y
			least := math.Inf(1)
			for _, z := range q {
				least = min(least, nx*z.X+ny*z.Y-d)
				if least < best {
					break
				}
			}
			if least > best {
				best, bnx, bny, bd, ofA = least, nx, ny, d, first
			}
		}
	}
	try(a, b, true)
	try(b, a, false)
	if best > give {
		return
	}
	line, point := i, j
	corners := b
	if !ofA {
		line, point, corners = j, i, a
	}
	slot := t.slot(i, j)
	for _, z := range corners {
		s := bnx*z.X + bny*z.Y - bd
		if s > give {
			continue
		}
		r := turnRow{slot: slot, value: s}
		t.corner(&r, point, z, bnx, bny, 1)
		// the line moves and turns with its piece, as if z were fixed to it
		t.corner(&r, line, z, bnx, bny, -1)
		t.add(r)
	}
}

// step solves the program and moves the pieces.
func (t *turner) step(trust, turn float64) {
	w := t.w
	n := w.n
	delta := settleMargin * w.width
	p := &t.program
	p.Reset(3*n + 1 + len(t.off))
	for i := range n {
		p.Variable(3*i, -trust, trust, 0)
		p.Variable(3*i+1, -trust, trust, 0)
		if w.free[i] {
			p.Variable(3*i+2, -turn, turn, 0)
		} else {
			p.Variable(3*i+2, 0, 0, 0)
		}
	}
	end := 0.0
	for i := range n {
		end = max(end, t.box[i].MaxX)
	}
	most := 0.0
	for _, o := range t.off {
		most = max(most, o)
	}
	p.Variable(3*n, -end, (most+delta)*float64(10*n), 1)
	for k, o := range t.off {
		p.Variable(3*n+1+k, 0, max(o, 0)+delta, -sigmaWorth)
	}
	for i := range n {
		give := 2*trust + 2*turn*t.reach[i]
		if t.box[i].MaxX < end-give-2*trust {
			continue
		}
		for _, part := range t.parts[i] {
			for _, v := range part {
				if v.X < end-give-2*trust {
					continue
				}
				var r turnRow
				t.corner(&r, i, v, 1, 0, -1)
				p.Row(end - v.X)
				p.Set(3*n, 1)
				for k := range r.n {
					p.Set(int(r.cols[k]), r.coefs[k])
				}
			}
		}
	}
	for _, r := range t.rows {
		p.Row(r.value + max(0, t.off[r.slot]))
		for k := range r.n {
			p.Set(int(r.cols[k]), r.coefs[k])
		}
		p.Set(3*n+1+r.slot, -1)
	}
	v, _ := p.Solve(maxPivots, t.stop)
	for i := range n {
		a := t.poses[i].Angle + v[3*i+2]
		if v[3*i+2] == 0 { // keep the bits of what does not turn
			t.poses[i].X += v[3*i]
			t.poses[i].Y += v[3*i+1]
			continue
		}
		m := turned(w.shapes[w.shapeOf[i]].mid, a)
		t.poses[i] = Pose{t.mid[i].X + v[3*i] - m.X, t.mid[i].Y + v[3*i+1] - m.Y, a}
	}
}

// turned turns a point about the origin.
func turned(p convex.Point, angle float64) convex.Point {
	c, s := convex.Turn(angle)
	return convex.Point{X: c*p.X - s*p.Y, Y: s*p.X + c*p.Y}
}
