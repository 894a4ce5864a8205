package nest

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest/internal/grow"
	"github.com/vinylgeom/vinyl/nest/internal/guillotine"
	"github.com/vinylgeom/vinyl/nest/internal/search"
	"github.com/vinylgeom/vinyl/nest/internal/verify"
	"github.com/vinylgeom/vinyl/units"
)

// section is a stretch of one load that is nested by itself: the pieces of one group in that load.
type section struct {
	load   int     // from 0
	group  int     // index into job.groups
	offset float64 // x in the searched strip at which shapes may begin
	items  []int   // indices into job.items
	kinds  []int   // the kind of each item
	poses  []search.Pose
	extent float64 // largest x of the shapes, from the offset
}

// sort puts the items in the order of their kinds, so that sections with the same kinds are alike item by item.
func (s *section) sort() {
	order := make([]int, len(s.items))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(s.kinds[a], s.kinds[b]), cmp.Compare(s.items[a], s.items[b]))
	})
	items, kinds, poses := make([]int, len(order)), make([]int, len(order)), make([]search.Pose, len(order))
	for i, n := range order {
		items[i], kinds[i], poses[i] = s.items[n], s.kinds[n], s.poses[n]
	}
	s.items, s.kinds, s.poses = items, kinds, poses
}

// plan is a layout of shapes on the searched strip.
type plan struct {
	sections []*section // by load, then by offset
	unplaced []int      // items
	loads    []Load     // what has been verified; as many as there are loads
	cutting  float64    // length of all trims, for a gang
	distinct int        // loads that differ in what they hold, counted with Options.IdenticalLoads only
}

// film is the length of all loads.
func (p *plan) film() float64 {
	sum := 0.0
	for _, l := range p.loads {
		sum += float64(l.Length)
	}
	return sum
}

// better reports whether p is the better layout: fewer copies left over, then fewer loads, then,
// if asked for, fewer that differ, then less film.
func (p *plan) better(q *plan) bool {
	switch {
	case q == nil:
		return true
	case len(p.unplaced) != len(q.unplaced):
		return len(p.unplaced) < len(q.unplaced)
	case len(p.loads) != len(q.loads):
		return len(p.loads) < len(q.loads)
	case p.distinct != q.distinct:
		return p.distinct < q.distinct
	}
	if p.cutting != 0 || q.cutting != 0 {
		return p.film()+guillotine.CutWorth*p.cutting < q.film()+guillotine.CutWorth*q.cutting
	}
	return p.film() < q.film()
}

// countDistinct counts the loads that differ in what they hold.
func (p *plan) countDistinct() int {
	holds := make([]string, len(p.loads))
	for _, s := range p.sections {
		holds[s.load] += setKey(s.kinds) + ";"
	}
	slices.Sort(holds)
	return len(slices.Compact(holds))
}

// room is the length that shapes may take in a load from an offset on.
func (j *job) room(offset float64) float64 { return j.length - offset }

// realise makes the placements of load n (from 0) and verifies them. It reports whether they are valid.
func (j *job) realise(p *plan, n int) (Load, bool) {
	var placements []Placement
	for _, f := range j.fixed {
		if f.Load == n+1 {
			placements = append(placements, f)
		}
	}
	for _, s := range p.sections {
		if s.load != n {
			continue
		}
		own := len(placements)
		for i, it := range s.items {
			pose := s.poses[i]
			pose.X += s.offset
			placements = append(placements, j.toPlacement(j.items[it], s.kinds[i], pose, n+1))
		}
		j.alongStrip(placements[own:])
	}
	return j.checkLoad(placements, n)
}

// checkLoad makes load n (from 0) of its placements and reports whether it is valid.
func (j *job) checkLoad(placements []Placement, n int) (Load, bool) {
	slices.SortStableFunc(placements, func(a, b Placement) int {
		if a.Piece != b.Piece {
			return j.index[a.Piece] - j.index[b.Piece]
		}
		return a.Copy - b.Copy
	})
	c := newChecker(j.strip, j.pieces)
	v := c.load(n+1, placements)
	load := Load{Placements: placements, Length: v.Length, SmallestGap: v.SmallestGap, SmallestEdgeDistance: v.SmallestEdgeDistance()}
	area := 0.0
	for _, pl := range placements {
		area += j.areas[j.index[pl.Piece]]
	}
	if len(j.strip.Leftover) > 0 {
		load.Density = area / grow.Area(j.strip.Leftover)
	} else if v.Length > 0 {
		load.Density = area / float64(v.Length.Times(j.strip.Width))
	}
	return load, len(c.faults) == 0
}

// extentOf is the largest x of the placed shapes.
func (j *job) extentOf(kinds []int, poses []search.Pose) float64 {
	most := 0.0
	for i, p := range poses {
		b := posedBound(j.kinds[kinds[i]].local, p)
		most = max(most, b.Max[0]+j.reach)
	}
	return most
}

// posedBound is the box of a shape at a pose.
func posedBound(shape orb.MultiPolygon, p search.Pose) orb.Bound {
	return placedBound(Placement{Rotation: units.Angle(p.Angle), X: units.Length(p.X), Y: units.Length(p.Y)}, shape)
}

// keptOut is an area that shapes keep clear of when it is grown by pad, which is negative when shapes may reach into it.
type keptOut struct {
	area orb.MultiPolygon
	pad  float64
}

// keepOut lists what shapes in load n (from 0) keep clear of, in the coordinates of the load.
func (j *job) keepOut(n int) []keptOut {
	var list []keptOut
	if len(j.strip.Forbidden) > 0 {
		list = append(list, keptOut{j.strip.Forbidden, j.reach})
	}
	for _, f := range j.fixed {
		if f.Load == n+1 {
			list = append(list, keptOut{f.Apply(j.pieces[j.index[f.Piece]].Outline), j.reach})
		}
	}
	if len(j.strip.Leftover) > 0 {
		b := j.strip.Leftover.Bound()
		margin := j.strip.leftoverMarginMM()
		around := margin + 2*j.reach + max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])
		// A hair more than the margin, for the rounding of contacts.
		pad := margin - j.reach + contactSlack*(b.Max[0]-b.Min[0]+b.Max[1]-b.Min[1])
		list = append(list, keptOut{verify.Outside(j.strip.Leftover, b.Pad(around)), pad})
	}
	return list
}

// obstacles are the same as one area, grown, in the searched strip.
func (j *job) obstacles(n int) (orb.MultiPolygon, error) {
	j.obstacleLock.Lock()
	defer j.obstacleLock.Unlock()
	if o, known := j.obstacle[n]; known {
		return o, nil
	}
	var all orb.MultiPolygon
	for _, o := range j.keepOut(n) {
		g, err := grow.Around(o.area, o.pad)
		if err != nil {
			return nil, err
		}
		all = append(all, Placement{X: units.Length(-j.origin[0]), Y: units.Length(-j.origin[1])}.Apply(g)...)
	}
	j.obstacle[n] = all
	return all, nil
}

// problem is the search problem of a section, with coarse shapes if there is little time.
func (j *job) problem(s *section, coarse bool) (search.Problem, error) {
	obstacles, err := j.obstacles(s.load)
	if err != nil {
		return search.Problem{}, err
	}
	if s.offset != 0 {
		obstacles = Placement{X: units.Length(-s.offset)}.Apply(obstacles)
	}
	p := search.Problem{Width: j.width, Obstacles: obstacles}
	if room := j.room(s.offset); !math.IsInf(room, 1) {
		p.MaxLength = room
	}
	shapeOf := map[int]int{}
	for _, k := range s.kinds {
		shape, seen := shapeOf[k]
		if !seen {
			shape = len(p.Shapes)
			shapeOf[k] = shape
			if coarse {
				p.Shapes = append(p.Shapes, j.kinds[k].coarse)
			} else {
				p.Shapes = append(p.Shapes, j.kinds[k].shape)
			}
		}
		p.Pieces = append(p.Pieces, search.Piece{Shape: shape, Angles: j.kinds[k].angles})
	}
	return p, nil
}
