package nest

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"github.com/vinylgeom/vinyl/nest/internal/rowfill"
	"github.com/vinylgeom/vinyl/nest/internal/search"
	"github.com/vinylgeom/vinyl/units"
)

// Rows of the first layout: enough that a usual piece takes several, few enough that ten thousand pieces take a second.
const (
	rowsPerPiece = 8
	leastRows    = 64
	mostRows     = 512
	mostRowsMany = 192
	manyItems    = 3000
)

// openLoads is how many loads are kept open while the first layout fills them.
const openLoads = 64

// filler makes first layouts.
type filler struct {
	j         *job
	rowHeight float64
	shapes    map[int][]turned // by kind
}

// turned is a kind at one angle, in rows.
type turned struct {
	angle float64
	rows  *rowfill.Shape
}

func (j *job) newFiller() *filler {
	f := &filler{j: j, shapes: map[int][]turned{}}
	// The rows fit the kind that covers most, so that copies of it stack without loss.
	total := map[int]float64{}
	best := -1
	for _, it := range j.items {
		k := it.kinds[0]
		total[k] += j.kinds[k].area
		if best < 0 || total[k] > total[best] {
			best = k
		}
	}
	if best < 0 {
		return f
	}
	most := float64(mostRows)
	if len(j.items) > manyItems {
		most = mostRowsMany
	}
	b := posedBound(j.kinds[best].local, search.Pose{Angle: j.firstAngles(best)[0]})
	f.rowHeight = (b.Max[1] - b.Min[1] + 2*j.reach) / rowsPerPiece
	for j.width/f.rowHeight < leastRows {
		f.rowHeight /= 2
	}
	for j.width/f.rowHeight > most {
		f.rowHeight *= 2
	}
	return f
}

// firstAngles are the angles that the first layout tries: for a piece of any rotation those at which its box is narrow.
func (j *job) firstAngles(k int) []float64 {
	kd := &j.kinds[k]
	if kd.angles != nil {
		return kd.angles
	}
	narrow := hullOf(kd.outline).leastWidth().angle
	var angles []float64
	wide, long := j.width-2*j.reach, j.length-2*j.reach
	hull := hullOf(kd.outline)
	try := []float64{narrow, narrow + math.Pi, narrow + math.Pi/2, narrow + 3*math.Pi/2, 0, math.Pi}
	for i := 1; i < 16; i++ {
		try = append(try, float64(i)*math.Pi/16)
	}
	for _, a := range try {
		a = float64(canonical(units.Angle(a)))
		if w, h := hull.size(a); h <= wide && w <= long && !slices.Contains(angles, a) {
			angles = append(angles, a)
		}
		if len(angles) == 6 {
			break
		}
	}
	if len(angles) == 0 {
		angles = []float64{float64(canonical(units.Angle(narrow)))}
	}
	return angles
}

// turnedShapes are the rows of a kind at its angles.
func (f *filler) turnedShapes(k int) []turned {
	if t, known := f.shapes[k]; known {
		return t
	}
	var list []turned
	for _, a := range f.j.firstAngles(k) {
		posed := Placement{Rotation: units.Angle(a)}.Apply(f.j.kinds[k].local)
		list = append(list, turned{a, rowfill.NewShape(posed, f.rowHeight, f.j.reach)})
	}
	f.shapes[k] = list
	return list
}

// put places an item in an area where it ends furthest to the left.
func (f *filler) put(area *rowfill.Area, it item) (kind int, pose search.Pose, end float64, ok bool) {
	var best rowfill.Spot
	var rows *rowfill.Shape
	for _, k := range it.kinds {
		for _, t := range f.turnedShapes(k) {
			if spot, found := area.Find(t.rows); found && (!ok || spot.End < best.End) {
				best, rows, ok = spot, t.rows, true
				kind, pose = k, search.Pose{X: spot.X, Y: spot.Y, Angle: t.angle}
			}
		}
	}
	if ok {
		area.Put(rows, best)
	}
	return kind, pose, best.End, ok
}

// area is the area of a load from an offset on, empty but for obstacles.
func (f *filler) area(load int, offset float64) *rowfill.Area {
	area := rowfill.NewArea(f.j.width, f.j.room(offset), f.rowHeight)
	for _, o := range f.j.keepOut(load) {
		moved := Placement{X: units.Length(-f.j.origin[0] - offset), Y: units.Length(-f.j.origin[1])}.Apply(o.area)
		area.Block(moved, o.pad)
	}
	return area
}

// first makes a complete layout, group by group, largest pieces first.
func (j *job) first() *plan {
	rank := make([]float64, len(j.items))
	for i, it := range j.items {
		rank[i] = j.sizes[it.kinds[0]]
	}
	return j.fillBy(j.newFiller(), rank)
}

// Orders of row filling that are tried before the search begins, and the share of the budget that they may take.
const (
	refillOrders = 16
	refillShare  = 0.08
)

// refill tries other orders of row filling: by extents along and across the strip, by area, and by size with some noise.
// Where there are many pieces these are worth more than the first seconds of a search.
func (j *job) refill(ctx context.Context, best *record) {
	if len(j.items) < 3 {
		return
	}
	var until time.Time
	if !best.deadline.IsZero() {
		until = time.Now().Add(time.Duration(refillShare * float64(time.Until(best.deadline))))
	}
	f := j.newFiller()
	rng := rand.New(rand.NewPCG(j.options.Seed, 0xd6e8feb86659fd93))
	rank := make([]float64, len(j.items))
	took := best.stats.First
	for n := range refillOrders {
		start := time.Now()
		if ctx.Err() != nil || !until.IsZero() && start.Add(took).After(until) {
			return
		}
		for i, it := range j.items {
			kd := &j.kinds[it.kinds[0]]
			b := kd.outline.Bound()
			switch n {
			case 0:
				rank[i] = b.Max[0] - b.Min[0]
			case 1:
				rank[i] = b.Max[1] - b.Min[1]
			case 2:
				rank[i] = kd.area
			default:
				rank[i] = j.sizes[it.kinds[0]] * (1 + float64(n)/refillOrders*rng.Float64())
			}
		}
		best.offer(j.fillBy(f, rank), nil)
		took = time.Since(start)
	}
}

// fillBy fills group by group, the items of highest rank first.
func (j *job) fillBy(f *filler, rank []float64) *plan {
	p := &plan{}
	load, offset := 0, 0.0
	for g := range j.groups {
		var items []int
		for i := range j.items {
			if j.pieces[j.items[i].piece].Group == j.groups[g] {
				items = append(items, i)
			}
		}
		if len(items) == 0 {
			continue
		}
		slices.SortStableFunc(items, func(a, b int) int {
			return cmp.Or(cmp.Compare(rank[b], rank[a]), cmp.Compare(j.items[a].kinds[0], j.items[b].kinds[0]))
		})
		sections, unplaced := f.fill(items, g, load, offset)
		p.sections = append(p.sections, sections...)
		p.unplaced = append(p.unplaced, unplaced...)
		if n := len(sections); n > 0 {
			load, offset = sections[n-1].load, sections[n-1].offset+sections[n-1].extent
			if len(j.fixed) > 0 && len(j.groups) > 1 {
				load, offset = load+1, 0
			}
		}
	}
	return p
}

// mostLoads is the greatest number of loads.
func (j *job) mostLoads() int {
	switch {
	case len(j.strip.Leftover) > 0 || j.strip.MaxLength == 0:
		return 1
	case j.strip.MaxLoads > 0:
		return j.strip.MaxLoads
	}
	return maxLoads
}

// mayUse reports whether a group may use a load at all: with several groups a load with fixed pieces belongs to theirs.
func (j *job) mayUse(group, load int) bool {
	if len(j.groups) == 1 {
		return true
	}
	for _, f := range j.fixed {
		if f.Load == load+1 && j.pieces[j.index[f.Piece]].Group != j.groups[group] {
			return false
		}
	}
	return true
}

// fill places the items of one group in loads, from an offset in the first load on.
func (f *filler) fill(items []int, group, load int, offset float64) (sections []*section, unplaced []int) {
	j := f.j
	type open struct {
		area *rowfill.Area
		s    *section
	}
	var opened []open
	next := load
	more := func() bool {
		for next < j.mostLoads() && !j.mayUse(group, next) {
			next++
		}
		if next >= j.mostLoads() {
			return false
		}
		at := 0.0
		if next == load {
			at = offset
		}
		s := &section{load: next, group: group, offset: at}
		sections = append(sections, s)
		opened = append(opened, open{f.area(next, at), s})
		next++
		return true
	}
	exhausted := map[int]bool{} // pieces that do not fit anywhere any more
	for _, i := range items {
		it := j.items[i]
		if exhausted[it.piece] {
			unplaced = append(unplaced, i)
			continue
		}
		done := false
		from := max(0, len(opened)-openLoads)
		for n := from; !done; n++ {
			if n == len(opened) {
				if !more() {
					break
				}
				if n > from && len(j.fixed) == 0 && opened[n-1].s.offset == 0 && len(opened[n-1].s.items) == 0 {
					// An empty load without obstacles of its own did not take it, so no other will.
					break
				}
			}
			o := opened[n]
			kind, pose, end, ok := f.put(o.area, it)
			if !ok {
				continue
			}
			done = true
			o.s.items = append(o.s.items, i)
			o.s.kinds = append(o.s.kinds, kind)
			o.s.poses = append(o.s.poses, pose)
			o.s.extent = max(o.s.extent, end)
		}
		if !done {
			exhausted[it.piece] = true
			unplaced = append(unplaced, i)
		}
	}
	for _, s := range sections {
		s.sort()
	}
	sections = slices.DeleteFunc(sections, func(s *section) bool { return len(s.items) == 0 })
	return sections, unplaced
}
