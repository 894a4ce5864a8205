package nest

import (
	"github.com/vinylgeom/vinyl/nest/internal/search"
	"github.com/vinylgeom/vinyl/units"
)

func canonicalRadians(a float64) units.Angle { return canonical(units.Angle(a)) }

// fromStart makes a plan of Options.Start, completed with the first layout of what it lacks in loads of their own. It is nil
// when there is nothing to use, such as when there are several groups.
func (j *job) fromStart() *plan {
	if len(j.groups) > 1 {
		return nil
	}
	at := map[[2]int]int{} // piece and copy to item
	for i, it := range j.items {
		at[[2]int{it.piece, it.copy}] = i
	}
	placed := map[int]bool{}
	p := &plan{}
	sections := map[int]*section{}
	loads := 0
	for _, s := range j.options.Start {
		piece, known := j.index[s.Piece]
		if !known || s.Load < 1 || s.Load > j.mostLoads() {
			continue
		}
		i, known := at[[2]int{piece, s.Copy}]
		if !known || placed[i] || forbiddenPose(j.pieces[piece], s) != "" {
			continue
		}
		placed[i] = true
		sec := sections[s.Load-1]
		if sec == nil {
			sec = &section{load: s.Load - 1}
			sections[s.Load-1] = sec
		}
		for _, k := range j.items[i].kinds {
			if j.kinds[k].mirrored == s.Mirrored {
				sec.items = append(sec.items, i)
				sec.kinds = append(sec.kinds, k)
				sec.poses = append(sec.poses, j.fromPlacement(s, k))
			}
		}
		loads = max(loads, s.Load)
	}
	for l := range loads {
		if s := sections[l]; s != nil {
			s.extent = j.extentOf(s.kinds, s.poses)
			p.sections = append(p.sections, s)
		}
	}
	var missing []int
	for i := range j.items {
		if !placed[i] {
			missing = append(missing, i)
		}
	}
	if len(p.sections) == 0 {
		return nil
	}
	if len(missing) > 0 {
		f := j.newFiller()
		more, unplaced := f.addTo(p, missing)
		p.sections = append(p.sections, more...)
		p.unplaced = unplaced
	}
	return p
}

// addTo places items in the free room of a plan's loads, then in loads of their own.
func (f *filler) addTo(p *plan, items []int) ([]*section, []int) {
	var rest []int
	loads := 0
	for n, s := range p.sections {
		loads = max(loads, s.load+1)
		area := f.area(s.load, s.offset)
		for i, pose := range s.poses {
			posed := Placement{Rotation: units.Angle(pose.Angle), X: units.Length(pose.X), Y: units.Length(pose.Y)}.Apply(f.j.kinds[s.kinds[i]].local)
			area.Block(posed, f.j.reach)
		}
		if n == 0 {
			rest = items
		}
		var left []int
		for _, i := range rest {
			kind, pose, end, ok := f.put(area, f.j.items[i])
			if !ok {
				left = append(left, i)
				continue
			}
			s.items, s.kinds, s.poses = append(s.items, i), append(s.kinds, kind), append(s.poses, search.Pose(pose))
			s.extent = max(s.extent, end)
		}
		rest = left
	}
	if len(rest) == 0 {
		return nil, nil
	}
	return f.fill(rest, 0, loads, 0)
}
