package nest

import (
	"context"
	"errors"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest/internal/grow"
	"github.com/vinylgeom/vinyl/nest/internal/guillotine"
	"github.com/vinylgeom/vinyl/units"
)

// Gang places the pieces in straight-trim gangs: rows and columns that straight trims, each from edge to edge of the part
// it divides, part from one another. Load.Cuts lists the trims in the order they are made; each runs in the middle between
// two pieces and keeps strip.TrimAllowance from all of them. A piece takes the whole of its box. Fewest loads come first,
// then least film, then the least length of trims.
//
// Arguments, options and errors are those of [Nest], with these exceptions. Strip.Leftover has to be a rectangle along the
// axes, and Options.Fixed be empty: the error is an *InputError that wraps errors.ErrUnsupported. A part of Strip.Forbidden
// takes the whole width of the film. Options.Start, IdenticalLoads and Workers are not used.
func Gang(ctx context.Context, strip Strip, pieces []Piece, options Options) (Result, error) {
	start := time.Now()
	if len(options.Fixed) > 0 {
		return Result{}, &InputError{"Options.Fixed", "straight trims would run through pieces that stay where they are", "leave it out, or use Nest", errors.ErrUnsupported}
	}
	options.Start = nil
	j, err := prepare(strip, pieces, options)
	if err != nil {
		return Result{}, err
	}
	if len(strip.Leftover) > 0 && !isBox(strip.Leftover) {
		return Result{}, &InputError{"Strip.Leftover", "straight trims need a rectangle along the axes",
			"give the largest one that lies in it, or use Nest", errors.ErrUnsupported}
	}
	best := &record{job: j, start: start}
	o := guillotine.Options{Seed: options.Seed, Evaluations: options.Iterations * evaluationsPerPass, FirstOnly: options.Budget < 0}
	if options.Budget > 0 || options.Iterations == 0 {
		budget := options.Budget
		if budget == 0 {
			budget = DefaultBudget
		}
		o.Deadline = start.Add(budget)
	}
	j.gangInto(ctx, best, o)
	if best.current() == nil { // none that verifies
		best.keep(&plan{unplaced: j.everything()})
	}
	result := best.result()
	if err := ctx.Err(); err != nil {
		return result, err
	}
	if len(result.Unplaced) > 0 {
		return result, &RoomError{result.Unplaced}
	}
	return result, nil
}

// gangInto searches gangs and keeps the best one. Boxes that fill the film exactly, gap and all, need sums that rounding
// does not make too long; that is tried first, with the sensible orders only. Then a hair is left between boxes.
func (j *job) gangInto(ctx context.Context, best *record, o guillotine.Options) {
	exact := o
	exact.FirstOnly = true
	for _, try := range []struct {
		slack   float64
		options guillotine.Options
	}{{0, exact}, {gangSlack, o}} {
		g := j.newGang(try.slack)
		_, count := guillotine.Search(ctx, g.frame, g.boxes, try.options, func(l *guillotine.Layout) bool { return best.offerGang(g, l) })
		best.count(count)
	}
}

// gangSlack is the hair left between boxes, as a share of the strip's width: some roundings.
const gangSlack = 0x1p-44

// gang is the problem of boxes.
type gang struct {
	j     *job
	frame guillotine.Frame
	boxes []guillotine.Box
	ways  [][]gangWay // for each item
}

// gangWay is a kind at an angle.
type gangWay struct {
	kind  int
	angle float64
}

// gangAngles is at most how many ways of a piece a gang tries.
const gangAngles = 8

// isBox reports whether an outline is its own bounding box.
func isBox(m orb.MultiPolygon) bool {
	b := m.Bound()
	return len(m) == 1 && len(m[0]) == 1 && math.Abs(grow.Area(m)-(b.Max[0]-b.Min[0])*(b.Max[1]-b.Min[1])) <= contactSlack*grow.Area(m)
}

// everything lists all items.
func (j *job) everything() []int {
	all := make([]int, len(j.items))
	for i := range all {
		all[i] = i
	}
	return all
}

// gangFrame is the film that a gang is made on, with the distance kept greater by slack.
func (j *job) gangFrame(slack float64) guillotine.Frame {
	s := j.strip
	f := guillotine.Frame{X0: s.startMM(), Y0: float64(s.Margins.Bottom), X1: math.Inf(1), Y1: s.topLimitMM(), Right: math.Inf(1),
		Top: float64(s.Width), Loads: j.mostLoads()}
	if s.MaxLength > 0 {
		f.X1, f.Right = float64(s.MaxLength)-s.endMM(), float64(s.MaxLength)
	}
	if len(s.Leftover) > 0 {
		b := s.Leftover.Bound()
		slack *= b.Max[0] - b.Min[0] + b.Max[1] - b.Min[1]
		margin := s.leftoverMarginMM() + slack
		f = guillotine.Frame{X0: b.Min[0] + margin, Y0: b.Min[1] + margin, X1: b.Max[0] - margin, Y1: b.Max[1] - margin,
			Left: b.Min[0], Bottom: b.Min[1], Right: b.Max[0], Top: b.Max[1], Loads: 1}
	} else {
		slack *= float64(s.Width)
	}
	f.Kept = j.kept + slack
	for _, p := range s.Forbidden {
		if b := p.Bound(); b.Max[1] > f.Y0-j.kept && b.Min[1] < f.Y1+j.kept {
			f.Blocked = append(f.Blocked, guillotine.Span{From: b.Min[0], To: b.Max[0]})
		}
	}
	return f
}

// newGang makes a box of every item.
func (j *job) newGang(slack float64) *gang {
	g := &gang{j: j, frame: j.gangFrame(slack)}
	waysOf := map[int][]gangWay{} // by piece
	sizes := map[gangWay]guillotine.Way{}
	for _, it := range j.items {
		if _, known := waysOf[it.piece]; !known {
			var ways []gangWay
			for _, k := range it.kinds {
				hull := hullOf(j.kinds[k].outline)
				for _, a := range j.firstAngles(k) {
					w, h := hull.size(a)
					same := func(other gangWay) bool {
						z := sizes[other]
						return math.Abs(z.W-w) < contactSlack*w && math.Abs(z.H-h) < contactSlack*h
					}
					if len(ways) < gangAngles && !slices.ContainsFunc(ways, same) {
						way := gangWay{k, a}
						sizes[way] = guillotine.Way{W: w, H: h}
						ways = append(ways, way)
					}
				}
			}
			waysOf[it.piece] = ways
		}
		box := guillotine.Box{Group: slices.Index(j.groups, j.pieces[it.piece].Group)}
		for _, w := range waysOf[it.piece] {
			box.Ways = append(box.Ways, sizes[w])
		}
		g.boxes = append(g.boxes, box)
		g.ways = append(g.ways, waysOf[it.piece])
	}
	return g
}

// offerGang verifies a gang and keeps it if it is valid and better.
func (r *record) offerGang(g *gang, l *guillotine.Layout) bool {
	j := g.j
	p := &plan{}
	placements := make([][]Placement, l.Loads)
	for i, spot := range l.Spots {
		if spot.Load < 0 {
			p.unplaced = append(p.unplaced, i)
			continue
		}
		w := g.ways[i][spot.Way]
		kd := &j.kinds[w.kind]
		at := Placement{Piece: j.pieces[j.items[i].piece].ID, Copy: j.items[i].copy, Load: spot.Load + 1, Rotation: units.Angle(w.angle), Mirrored: kd.mirrored}
		turned := at
		turned.Mirrored = false // the kind's outline is mirrored already
		b := placedBound(turned, kd.outline)
		at.X, at.Y = units.Length(spot.X-b.Min[0]), units.Length(spot.Y-b.Min[1])
		placements[spot.Load] = append(placements[spot.Load], j.nudged(at, kd))
	}
	for n := range placements {
		j.alongStrip(placements[n])
		load, ok := j.checkLoad(placements[n], n)
		if !ok {
			return false
		}
		end := float64(load.Length)
		if len(j.strip.Leftover) > 0 {
			end = g.frame.Right
		}
		for _, c := range l.Cuts {
			if c.Load == n {
				if c.X1 == c.X2 && c.X1 >= end*(1-fitRounding) {
					continue // the end of the load, which is cut off anyway
				}
				if cut := (Cut{units.Length(min(c.X1, end)), units.Length(c.Y1), units.Length(min(c.X2, end)), units.Length(c.Y2)}); cut.Length() > 0 {
					load.Cuts = append(load.Cuts, cut)
				}
			}
		}
		check := newChecker(j.strip, j.pieces)
		check.cuts(n+1, load)
		if len(check.faults) > 0 {
			return false
		}
		p.loads = append(p.loads, load)
	}
	if r.asPlan {
		return r.offer(j.planOf(p, placements), nil)
	}
	p.cutting = l.CutSum
	r.mu.Lock()
	defer r.mu.Unlock()
	if p.better(r.best) {
		r.keep(p)
	}
	return true
}

// planOf makes sections of verified placements, for a gang that Nest goes on from.
func (j *job) planOf(p *plan, placements [][]Placement) *plan {
	at := map[[2]int]int{}
	for i, it := range j.items {
		at[[2]int{it.piece, it.copy}] = i
	}
	out := &plan{unplaced: p.unplaced}
	for n := range placements {
		s := &section{load: n}
		for _, pl := range placements[n] {
			i := at[[2]int{j.index[pl.Piece], pl.Copy}]
			for _, k := range j.items[i].kinds {
				if j.kinds[k].mirrored == pl.Mirrored {
					s.items, s.kinds, s.poses = append(s.items, i), append(s.kinds, k), append(s.poses, j.fromPlacement(pl, k))
				}
			}
		}
		s.sort()
		s.extent = j.extentOf(s.kinds, s.poses)
		out.sections = append(out.sections, s)
	}
	return out
}
