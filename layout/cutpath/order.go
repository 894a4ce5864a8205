package cutpath

import (
	"context"
	"math"
	"time"

	"github.com/vinylgeom/vinyl/layout/cutpath/internal/tour"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// rounds is how often the search goes over all phases and decals after the
// first order, with all start points chosen anew in between; a fourth round
// gains less than 0.1 % on sheets of lettering.
const rounds = 3

// stop is a stroke on the way, with the places where it may be begun.
type stop struct {
	stroke Stroke
	places []place
	chosen int
	box    outline.Box
	after  int // the stop of the same phase that encloses it, or -1
}

func (s *stop) in() outline.Point  { return s.places[s.chosen].in }
func (s *stop) out() outline.Point { return s.places[s.chosen].out }

// orderer holds the plan as it improves.
type orderer struct {
	ctx      context.Context
	opt      Options
	stops    []stop
	groups   []group // in the order of phases
	way      []int   // stops in the order of cutting
	trials   int     // of all searches together
	deadline time.Time
	share    float64 // of the search that is behind
}

// group is a phase: the stops way[from:to].
type group struct {
	from, to int
	fixed    bool
	decals   bool // the phase of the decals
	blocks   bool // it is cut decal by decal
}

// orderStrokes orders the strokes of each phase and joins the phases. With an
// error of ctx it returns the best order so far.
func orderStrokes(ctx context.Context, phases []phase, opt Options) ([]Stroke, [][]outline.Point, error) {
	o := &orderer{ctx: ctx, opt: opt}
	for _, p := range phases {
		o.addPhase(p)
	}
	n := len(o.stops)
	o.trials = opt.Iterations
	if o.trials == 0 {
		o.trials = DefaultTrials * n
		if opt.Budget > 0 {
			o.trials = math.MaxInt32 // the clock decides
		}
	}
	began := time.Now()
	if opt.Budget > 0 {
		o.deadline = began.Add(opt.Budget)
	}
	o.first()
	o.choosePlaces()
	if opt.Iterations >= 0 {
		for r := range rounds {
			if ctx.Err() != nil {
				break
			}
			o.improve(r)
			o.choosePlaces()
		}
	}
	strokes := make([]Stroke, 0, n)
	regions := make([][]outline.Point, 0, n)
	for _, i := range o.way {
		strokes = append(strokes, o.stops[i].begun())
		region := make([]outline.Point, len(o.stops[i].places))
		for k, p := range o.stops[i].places {
			region[k] = p.in
		}
		regions = append(regions, region)
	}
	return strokes, regions, ctx.Err()
}

// begun returns the stroke run from the chosen place.
func (s *stop) begun() Stroke {
	p := s.places[s.chosen]
	out := s.stroke
	switch {
	case p.flip:
		out.Curve = out.Curve.Reversed()
	case out.Closed && (p.segment != 0 || p.t != 0):
		out.Curve = startAt(outline.Contour(out.Curve), p.segment, p.t).Curve()
	}
	return out
}

// addPhase makes stops of a phase's strokes.
func (o *orderer) addPhase(p phase) {
	base := len(o.stops)
	contours := make([]outline.Contour, len(p.strokes))
	curves := make([]outline.Curve, len(p.strokes))
	for i, s := range p.strokes {
		curves[i] = s.Curve
		if s.Closed { // what is open encloses nothing
			contours[i] = outline.Contour(s.Curve)
		} else {
			contours[i] = outline.Contour{Start: s.Curve.Start}
		}
	}
	parents := enclosing(contours)
	// Strokes of one decal stand together, so their surroundings do too.
	for i := 0; i < len(p.strokes); {
		e := i + 1
		for e < len(p.strokes) && p.strokes[e].Decal == p.strokes[i].Decal {
			e++
		}
		var near *surroundings
		if o.opt.Start == StartQuiet && !p.fixed {
			near = newSurroundings(curves[i:e])
		}
		for k := i; k < e; k++ {
			s := stop{stroke: p.strokes[k], box: curves[k].Bounds(), after: -1}
			if parents[k] >= 0 {
				s.after = base + parents[k]
			}
			switch {
			case !s.stroke.Closed && !p.fixed:
				s.places = openPlaces(curves[k])
			case !s.stroke.Closed:
				s.places = openPlaces(curves[k])[:1]
			case p.fixed || o.opt.Start == StartAsDrawn:
				s.places = drawnPlace(curves[k])
			case o.opt.Start == StartNearest:
				s.places = nearestPlaces(curves[k])
			default:
				s.places = quietPlaces(curves[k], k-i, near)
			}
			for q := range s.places {
				if s.places[q].cost < s.places[s.chosen].cost {
					s.chosen = q
				}
			}
			o.stops = append(o.stops, s)
		}
		i = e
	}
	g := group{from: len(o.way), to: len(o.way) + len(p.strokes), fixed: p.fixed,
		decals: p.role == Decal, blocks: p.role == Decal && o.opt.Grouping == ByDecal}
	for i := range p.strokes {
		o.way = append(o.way, base+i)
	}
	o.groups = append(o.groups, g)
}

// leaving returns where the knife is before the stop at position i.
func (o *orderer) leaving(i int) outline.Point {
	if i == 0 {
		return o.opt.Home
	}
	return o.stops[o.way[i-1]].out()
}

// arriving returns where it goes after the stop at position i-1, nil if it
// stays there.
func (o *orderer) arriving(i int) *outline.Point {
	p := o.opt.Home
	if i < len(o.way) {
		p = o.stops[o.way[i]].in()
	} else if !o.opt.Return {
		return nil
	}
	return &p
}

// first finds a first order of everything, without search.
func (o *orderer) first() {
	for _, g := range o.groups {
		switch {
		case g.fixed:
		case g.blocks, g.decals && o.opt.Window == 0:
			// Also where decals may mingle: whole decals are a good start.
			o.orderDecals(g, -1, time.Time{}, true)
		default:
			o.orderRun(g.from, g.to, -1, time.Time{}, true)
		}
	}
}

// improve searches for shorter orders with the share of trials or time that
// belongs to the round.
func (o *orderer) improve(round int) {
	now := time.Now()
	left := o.deadline.Sub(now)
	share := 1 / float64(rounds-round)
	n := len(o.way)
	passed := 0
	for _, g := range o.groups {
		passed += g.to - g.from
		if g.fixed {
			continue
		}
		trials := int(float64(o.trials) / rounds * float64(g.to-g.from) / float64(n))
		var deadline time.Time
		if !o.deadline.IsZero() {
			deadline = now.Add(time.Duration(float64(left) * share * float64(passed) / float64(n)))
		}
		if g.blocks || (g.decals && o.opt.Window == 0 && round == 0) {
			o.orderDecals(g, trials, deadline, false)
		} else {
			o.orderRun(g.from, g.to, trials, deadline, false)
		}
	}
}

// orderRun orders way[from:to] as one; fresh starts from nothing instead of
// the present order.
func (o *orderer) orderRun(from, to, trials int, deadline time.Time, fresh bool) {
	n := to - from
	if n == 0 {
		return
	}
	local := make(map[int]int, n)
	for k, i := range o.way[from:to] {
		local[i] = k
	}
	p := &tour.Problem{A: make([]outline.Point, n), B: make([]outline.Point, n), After: make([]int, n),
		Start: o.leaving(from), Window: float64(o.opt.Window)}
	if !fresh {
		p.End = o.arriving(to)
	}
	p.MinX, p.MaxX = make([]float64, n), make([]float64, n)
	p.Places, p.Costs = make([][]outline.Point, n), make([][]float64, n)
	present := make([]tour.Visit, n)
	stops := append([]int{}, o.way[from:to]...)
	for k, i := range stops {
		s := &o.stops[i]
		p.A[k], p.B[k] = s.in(), s.out()
		if !s.stroke.Closed && len(s.places) == 2 {
			p.A[k], p.B[k] = s.places[0].in, s.places[0].out
			present[k].Flip = s.chosen == 1
		} else if len(s.places) > 1 {
			for _, q := range s.places {
				p.Places[k] = append(p.Places[k], q.in)
				p.Costs[k] = append(p.Costs[k], q.cost)
			}
			present[k].Place = s.chosen
		}
		present[k].Stop = k
		p.MinX[k], p.MaxX[k] = s.box.Min.X, s.box.Max.X
		p.After[k] = -1
		if q, ok := local[s.after]; ok && s.after >= 0 {
			p.After[k] = q
		}
	}
	if fresh {
		present = nil
	}
	way, _ := tour.Solve(p, present, o.searchOptions(trials, deadline))
	for k, v := range way {
		i := stops[v.Stop]
		o.way[from+k] = i
		switch s := &o.stops[i]; {
		case s.stroke.Closed:
			if len(s.places) > 1 {
				s.chosen = v.Place
			}
		case len(s.places) == 2:
			s.chosen = 0
			if v.Flip {
				s.chosen = 1
			}
		}
	}
	if !fresh {
		o.share += float64(n) / float64(rounds*len(o.way))
		if o.opt.Progress != nil {
			o.opt.Progress(Progress{Share: math.Min(1, o.share), Travel: units.Length(o.travel())})
		}
	}
}

func (o *orderer) searchOptions(trials int, deadline time.Time) tour.Options {
	return tour.Options{Trials: trials, Deadline: deadline, Seed: o.opt.Seed, Stop: func() bool { return o.ctx.Err() != nil }}
}

// travel returns the length of the way as it stands.
func (o *orderer) travel() float64 {
	sum := 0.0
	for i := range o.way {
		sum += o.leaving(i).Distance(o.stops[o.way[i]].in())
	}
	if o.opt.Return && len(o.way) > 0 {
		sum += o.leaving(len(o.way)).Distance(o.opt.Home)
	}
	return sum
}

// orderDecals orders a phase decal by decal: the decals among one another,
// then the contours of each between the neighbours it has got.
func (o *orderer) orderDecals(g group, trials int, deadline time.Time, fresh bool) {
	if g.from == g.to {
		return
	}
	// The runs of one decal, in the present order.
	type run struct{ from, to int }
	var runs []run
	for i := g.from; i < g.to; {
		e := i + 1
		for e < g.to && o.stops[o.way[e]].stroke.Decal == o.stops[o.way[i]].stroke.Decal {
			e++
		}
		runs = append(runs, run{i, e})
		i = e
	}
	blocks := make([]tour.Block, len(runs))
	centres := &tour.Problem{Start: o.leaving(g.from), Window: float64(o.opt.Window)}
	order := make([]int, len(runs))
	for k, r := range runs {
		box := outline.EmptyBox()
		for _, i := range o.way[r.from:r.to] {
			box = box.Union(o.stops[i].box)
		}
		blocks[k] = tour.Block{In: o.stops[o.way[r.from]].in(), Out: o.stops[o.way[r.to-1]].out(), MinX: box.Min.X, MaxX: box.Max.X}
		centres.A, centres.B = append(centres.A, box.Centre()), append(centres.B, box.Centre())
		centres.MinX, centres.MaxX = append(centres.MinX, box.Min.X), append(centres.MaxX, box.Max.X)
		order[k] = k
	}
	if fresh {
		way, _ := tour.Solve(centres, nil, tour.Options{Seed: o.opt.Seed, Stop: func() bool { return o.ctx.Err() != nil }})
		for k, v := range way {
			order[k] = v.Stop
		}
	} else {
		opt := o.searchOptions(trials*len(runs)/(g.to-g.from), deadline)
		order, _ = tour.OrderBlocks(blocks, order, o.leaving(g.from), o.arriving(g.to), float64(o.opt.Window), opt)
	}
	old := append([]int{}, o.way[g.from:g.to]...)
	at := g.from
	for k, r := range order {
		b := runs[r]
		n := copy(o.way[at:], old[b.from-g.from:b.to-g.from])
		if k+1 == len(order) {
			break
		}
		at += n
	}
	at = g.from
	now := time.Now()
	left := deadline.Sub(now)
	for _, r := range order {
		n := runs[r].to - runs[r].from
		share := float64(at+n-g.from) / float64(g.to-g.from)
		var until time.Time
		if !deadline.IsZero() {
			until = now.Add(time.Duration(float64(left) * share))
		}
		t := trials
		if t > 0 {
			t = int(float64(trials) * float64(n) / float64(g.to-g.from))
		}
		o.orderRun(at, at+n, t, until, fresh)
		at += n
	}
}

// choosePlaces picks the start of every stroke for the order as it stands:
// dynamic programming over the way, exact for travel plus the places' costs.
func (o *orderer) choosePlaces() {
	n := len(o.way)
	if n == 0 {
		return
	}
	back := make([][]int32, n)
	costs := []float64{0}
	outs := []place{{in: o.opt.Home, out: o.opt.Home}}
	var next []float64
	for i, k := range o.way {
		places := o.stops[k].places
		back[i] = make([]int32, len(places))
		next = next[:0]
		for j, p := range places {
			best, from := math.Inf(1), 0
			for q, prev := range outs {
				if c := costs[q] + prev.out.Distance(p.in); c < best {
					best, from = c, q
				}
			}
			back[i][j] = int32(from)
			next = append(next, best+p.cost)
		}
		costs, next = next, costs
		outs = places
	}
	best, last := math.Inf(1), 0
	for j, p := range outs {
		c := costs[j]
		if o.opt.Return {
			c += p.out.Distance(o.opt.Home)
		}
		if c < best {
			best, last = c, j
		}
	}
	for i := n - 1; i >= 0; i-- {
		o.stops[o.way[i]].chosen = last
		last = int(back[i][last])
	}
}
