package search

import (
	"cmp"
	"context"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest/internal/convex"
	"github.com/vinylgeom/vinyl/nest/internal/region"
)

const (
	// contactTolerance, relative to the strip's width: overlaps no deeper are
	// contacts to the search. Exactness is restored by settle.
	contactTolerance = 1e-9
	// angleTolerance: relative angles that differ by less, in radians, share a
	// no-fit region.
	angleTolerance = 1e-9
	// freeAngles is how many equal angles stand in for "any angle".
	freeAngles = 16
	// leastAngles is how few they become when there are many shapes, or intricate
	// ones, so that no more than regionBudget regions have to be built, nor more
	// than partBudget pairs of convex parts looked at, some seconds' work.
	leastAngles  = 4
	regionBudget = 4000
	partBudget   = 4_000_000
	// fewShapes may each have their narrowest angle too.
	fewShapes = 6
	// regionMemory, in bytes, bounds the no-fit regions of one search; leastCells
	// is as coarse as they get.
	regionMemory = 192 << 20
	leastCells   = 12
	// simpleCells + partCells for each two convex parts are enough cells.
	simpleCells = 12
	partCells   = 4
	// slopeShare is the constant part of a pair's loss, relative to the larger
	// diameter: it keeps "touching" and "clear" apart.
	slopeShare = 0.01
)

// kind is a shape at an angle.
type kind struct {
	shape int
	angle float64
	box   convex.Box // about the origin
}

// pair is what the search knows about two kinds: the region of
// t = pos(second) - pos(first) in which they overlap. The fields are in order
// of use and fill whole cache lines.
type pair struct {
	box   convex.Box // of the region, in the strip's directions
	scale float64    // hull factor of the loss
	slope float64    // constant part of the depth
	unit  float64    // of the sketch
	reg   *region.Region

	s00, s01, s10, s11, sx, sy float64 // turns t into a cell of the sketch
	sketch                     *[region.SketchSide * region.SketchSide]uint8
	_                          uint64

	m00, m01, m10, m11 float64 // turns t into the region's frame
}

// rough is the depth by the sketch alone, for a t inside the box: off by a
// share of a cell, and blind to what barely overlaps.
func (p *pair) rough(tx, ty float64) float64 {
	cx := uint32(int32(p.s00*tx + p.s01*ty + p.sx))
	cy := uint32(int32(p.s10*tx + p.s11*ty + p.sy))
	if cx >= region.SketchSide || cy >= region.SketchSide {
		return 0
	}
	return float64(p.sketch[cy*region.SketchSide+cx]) * p.unit
}

func (p *pair) depth(tx, ty float64) float64 {
	return p.reg.Depth(p.m00*tx+p.m01*ty, p.m10*tx+p.m11*ty)
}

// exit is Region.Exit in the strip's directions.
func (p *pair) exit(tx, ty float64) (depth, nx, ny, d float64, ok bool) {
	depth, ax, ay, d, ok := p.reg.Exit(p.m00*tx+p.m01*ty, p.m10*tx+p.m11*ty)
	return depth, p.m00*ax + p.m10*ay, p.m01*ax + p.m11*ay, d, ok
}

// shapeInfo is what is computed once for each shape.
type shapeInfo struct {
	outline  *convex.Outline
	hullArea float64
	diameter float64
	mid      convex.Point // middle of the box at angle 0
	minSide  float64      // smaller side of the box at angle 0
}

// world is the problem cut up for the search. It does not change while lanes
// run, except that regions appear.
type world struct {
	*tables
	width float64
	// allowed kinds of each movable piece; kindOf of the fixed ones after them
	allowed [][]int32
	shapeOf []int // of every piece
	fixed   []int32
	n       int // movable pieces
	m       int // with obstacles
	// large pieces, for swapping
	large []int
	// free reports whether a piece may turn to any angle.
	free []bool
	// turnable: some piece is free
	turnable  bool
	maxLength float64
	area      float64
	minSide   float64
	// longest is the length of the longest movable piece as it may lie, side the
	// largest of the smaller sides
	longest, side float64
}

// tables are what is known about the kinds of a problem.
type tables struct {
	shapes []shapeInfo
	kinds  []kind
	pairs  []atomic.Pointer[pair]
	*regions
}

// regions are the no-fit regions, which problems with the same shapes may share.
type regions struct {
	mu    sync.Mutex
	regs  map[regionKey]*regionSlot
	cells int // along the longer side of a region
}

type regionKey struct {
	a, b  int
	angle int64 // relative, in angleTolerance
}

type regionSlot struct {
	once sync.Once
	reg  *region.Region
}

// newWorld cuts the outlines and lists the kinds.
func newWorld(p Problem) (*world, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	w := &world{width: p.Width, n: len(p.Pieces), maxLength: p.MaxLength, tables: &tables{}}
	if w.maxLength == 0 {
		w.maxLength = math.Inf(1)
	}
	for _, s := range p.Shapes {
		w.addShape(s)
	}
	kindIndex := map[[2]int64]int32{}
	listIndex := map[string][]int32{}
	for i, pc := range p.Pieces {
		if w.shapes[pc.Shape].outline.Area <= 0 {
			return nil, &ProblemError{Piece: i, Err: ErrOutline}
		}
		key := listKey(pc)
		ks, ok := listIndex[key]
		if !ok {
			var err error
			if ks, err = w.kindsOf(i, pc, kindIndex); err != nil {
				return nil, err
			}
			listIndex[key] = ks
		}
		w.allowed = append(w.allowed, ks)
		w.shapeOf = append(w.shapeOf, pc.Shape)
		w.free = append(w.free, pc.Angles == nil)
	}
	for _, poly := range p.Obstacles {
		s := w.addShape(orb.MultiPolygon{poly})
		o := w.shapes[s].outline
		if o.Area <= 0 {
			continue
		}
		w.fixed = append(w.fixed, int32(len(w.kinds)))
		w.kinds = append(w.kinds, kind{shape: s, box: convex.BoxOf(o.Points)})
		w.shapeOf = append(w.shapeOf, s)
	}
	w.finish()
	return w, nil
}

// finish computes what follows from the pieces.
func (w *world) finish() {
	w.m = w.n + len(w.fixed)
	w.minSide, w.area, w.large = math.Inf(1), 0, nil
	w.longest, w.side = 0, 0
	w.turnable = slices.Contains(w.free, true)
	for i := range w.n {
		s := &w.shapes[w.shapeOf[i]]
		w.minSide, w.side = min(w.minSide, s.minSide), max(w.side, s.minSide)
		for _, k := range w.allowed[i] {
			w.longest = max(w.longest, w.kinds[k].box.MaxX-w.kinds[k].box.MinX)
		}
		w.area += s.outline.Area
	}
	w.findLarge()
	if w.n <= densePieces || len(w.fixed) > 0 {
		w.pairs = make([]atomic.Pointer[pair], len(w.kinds)*len(w.kinds))
	}
	if w.regions == nil {
		w.regions = &regions{regs: map[regionKey]*regionSlot{}, cells: w.cellsFor()}
	}
}

// cellsFor chooses the fineness of the regions so that all of them together
// stay within regionMemory.
func (w *world) cellsFor() int {
	each := float64(regionMemory) / float64(max(1, w.regionCount()))
	// 16 bytes a cell, and about as much again for the half-planes and the sketch
	return min(region.Cells, max(leastCells, int(math.Sqrt(each/24))))
}

// regionCount is about how many regions a search may ask for.
func (w *world) regionCount() int {
	kinds := make([]int, len(w.shapes))
	for _, k := range w.kinds {
		kinds[k.shape]++
	}
	// of two shapes there are as many relative angles as one of them has angles
	slices.Sort(kinds)
	count, shapes := 0, 0
	for _, n := range kinds {
		if n > 0 {
			shapes++
			count += n * shapes // the larger number, with every shape that has no more, itself included
		}
	}
	return count
}

// sharedRegions is up to how many regions parts of a problem use those of the
// whole, which then have a fair number of cells.
const sharedRegions = 8000

// part is the world of some of the movable pieces, without obstacles and bound.
// It has its own kinds, and its own regions too where there are many, so that
// they go when it goes.
func (w *world) part(pieces []int) *world {
	p := &world{tables: &tables{shapes: w.shapes}, width: w.width, n: len(pieces), maxLength: math.Inf(1)}
	if w.regionCount() <= sharedRegions {
		p.regions = w.regions
	}
	lists := map[*int32][]int32{} // equal lists are one slice
	kinds := map[int32]int32{}
	for _, i := range pieces {
		from := w.allowed[i]
		list, ok := lists[&from[0]]
		if !ok {
			for _, k := range from {
				n, known := kinds[k]
				if !known {
					n = int32(len(p.kinds))
					kinds[k] = n
					p.kinds = append(p.kinds, w.kinds[k])
				}
				list = append(list, n)
			}
			lists[&from[0]] = list
		}
		p.allowed = append(p.allowed, list)
		p.shapeOf = append(p.shapeOf, w.shapeOf[i])
		p.free = append(p.free, w.free[i])
	}
	p.finish()
	return p
}

func listKey(pc Piece) string {
	b := make([]byte, 0, 16+8*len(pc.Angles))
	put := func(v uint64) {
		for range 8 {
			b = append(b, byte(v))
			v >>= 8
		}
	}
	put(uint64(pc.Shape))
	if pc.Angles == nil {
		return string(b) + "free"
	}
	for _, a := range pc.Angles {
		put(math.Float64bits(a))
	}
	return string(b)
}

func (w *world) addShape(mp orb.MultiPolygon) int {
	o := convex.FromMultiPolygon(mp)
	hull := convex.Hull(o.Points)
	s := shapeInfo{outline: o, hullArea: convex.AreaOf(hull)}
	for i, a := range hull {
		for _, b := range hull[i+1:] {
			s.diameter = max(s.diameter, math.Hypot(a.X-b.X, a.Y-b.Y))
		}
	}
	box := convex.BoxOf(o.Points)
	s.mid = convex.Point{X: (box.MinX + box.MaxX) / 2, Y: (box.MinY + box.MaxY) / 2}
	s.minSide = min(box.MaxX-box.MinX, box.MaxY-box.MinY)
	w.shapes = append(w.shapes, s)
	return len(w.shapes) - 1
}

// turnKey names an angle up to whole turns.
func turnKey(a float64) int64 {
	t := math.Mod(a, 2*math.Pi)
	if t < 0 {
		t += 2 * math.Pi
	}
	k := int64(math.Round(t / angleTolerance))
	if k == int64(math.Round(2*math.Pi/angleTolerance)) {
		k = 0
	}
	return k
}

// kindsOf lists the kinds at which a piece fits across the strip.
func (w *world) kindsOf(i int, pc Piece, index map[[2]int64]int32) ([]int32, error) {
	angles := pc.Angles
	o := w.shapes[pc.Shape].outline
	if angles == nil {
		angles = w.standInAngles(o)
	}
	var ks []int32
	needWidth, needLength := math.Inf(1), math.Inf(1)
	for _, a := range angles {
		box := convex.BoxOf(o.Turned(a))
		needWidth = min(needWidth, box.MaxY-box.MinY)
		if box.MaxY-box.MinY > w.width {
			continue
		}
		needLength = min(needLength, box.MaxX-box.MinX)
		if box.MaxX-box.MinX > w.maxLength {
			continue
		}
		key := [2]int64{int64(pc.Shape), turnKey(a)}
		k, ok := index[key]
		if !ok {
			k = int32(len(w.kinds))
			w.kinds = append(w.kinds, kind{shape: pc.Shape, angle: a, box: box})
			index[key] = k
		}
		if !slices.Contains(ks, k) {
			ks = append(ks, k)
		}
	}
	switch {
	case len(ks) > 0:
		return ks, nil
	case math.IsInf(needLength, 1):
		return nil, &ProblemError{Piece: i, Need: needWidth, Err: ErrTooWide}
	default:
		return nil, &ProblemError{Piece: i, Need: needLength, Err: ErrTooLong}
	}
}

// standInAngles are equal angles, as many as regionBudget allows for, and, where
// shapes are few or it fits across the strip at none of these, the angle at
// which the shape is narrowest, with its opposite.
func (w *world) standInAngles(o *convex.Outline) []float64 {
	shapes, parts := len(w.shapes), 0
	for i := range w.shapes {
		parts += len(w.shapes[i].outline.Parts)
	}
	count := freeAngles
	for count > leastAngles && (shapes*(shapes+1)/2*count > regionBudget || parts*parts/2*count > partBudget) {
		count /= 2
	}
	var as []float64
	fits := false
	for i := range count {
		a := float64(i) * 2 * math.Pi / float64(count)
		as = append(as, a)
		b := convex.BoxOf(o.Turned(a))
		fits = fits || b.MaxY-b.MinY <= w.width
	}
	if fits && shapes > fewShapes {
		return as
	}
	hull := convex.Hull(o.Points)
	best, bestWidth := 0.0, math.Inf(1)
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		a := -math.Atan2(q.Y-p.Y, q.X-p.X)
		b := convex.BoxOf(o.Turned(a))
		if h := b.MaxY - b.MinY; h < bestWidth*(1-angleTolerance) {
			best, bestWidth = a, h
		}
	}
	return append(as, best, best+math.Pi)
}

// findLarge lists the pieces that together make up three quarters of the hull
// area, largest first.
func (w *world) findLarge() {
	order := make([]int, w.n)
	total := 0.0
	for i := range order {
		order[i] = i
		total += w.shapes[w.shapeOf[i]].hullArea
	}
	area := func(i int) float64 { return w.shapes[w.shapeOf[i]].hullArea }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(area(b), area(a)) })
	sum, least := 0.0, 0.0
	for _, i := range order {
		if sum < 0.75*total {
			least = area(i)
		}
		sum += area(i)
	}
	for i := range w.n {
		if area(i) >= least {
			w.large = append(w.large, i)
		}
	}
}

// pair gives what is known about two kinds; safe for concurrent use.
func (w *world) pair(a, b int32) *pair {
	slot := &w.pairs[int(a)*len(w.kinds)+int(b)]
	if p := slot.Load(); p != nil {
		return p
	}
	p := w.makePair(a, b)
	slot.Store(p)
	return p
}

// makePair finds or builds the region. Of two shapes the one with the lower
// index comes first, turned to angle 0; so kinds that differ by a common turn
// share a region.
func (w *world) makePair(a, b int32) *pair {
	ka, kb := w.kinds[a], w.kinds[b]
	flip := 1.0
	if ka.shape > kb.shape {
		ka, kb, flip = kb, ka, -1
	}
	key := regionKey{ka.shape, kb.shape, turnKey(kb.angle - ka.angle)}
	w.mu.Lock()
	slot := w.regs[key]
	if slot == nil {
		slot = &regionSlot{}
		w.regs[key] = slot
	}
	w.mu.Unlock()
	sa, sb := &w.shapes[ka.shape], &w.shapes[kb.shape]
	slot.once.Do(func() {
		// simple regions are exact with few cells
		cells := min(w.cells, simpleCells+partCells*len(sa.outline.Parts)*len(sb.outline.Parts))
		// a large obstacle beside a small piece: keep the cells small
		if small := min(sa.diameter, sb.diameter); small > 0 {
			ratio := max(sa.diameter, sb.diameter) / small
			cells = min(int(float64(cells)*max(1, ratio/4)), 4*cells)
		}
		slot.reg = region.Build(region.NewShape(sa.outline, 0), region.NewShape(sb.outline, kb.angle-ka.angle), cells)
	})
	c, s := convex.Turn(ka.angle)
	p := &pair{reg: slot.reg, m00: flip * c, m01: flip * s, m10: -flip * s, m11: flip * c}
	p.scale = math.Pow(sa.hullArea*sb.hullArea, 0.25)
	p.slope = slopeShare * max(sa.diameter, sb.diameter)
	r := slot.reg.Box
	corners := []convex.Point{{X: r.MinX, Y: r.MinY}, {X: r.MaxX, Y: r.MinY}, {X: r.MaxX, Y: r.MaxY}, {X: r.MinX, Y: r.MaxY}}
	for i, q := range corners { // back into the strip's directions: the transpose
		corners[i] = convex.Point{X: p.m00*q.X + p.m10*q.Y, Y: p.m01*q.X + p.m11*q.Y}
	}
	p.box = convex.BoxOf(corners)
	p.sketch, p.unit = slot.reg.Sketch, slot.reg.SketchUnit
	fx, fy := region.SketchSide/(r.MaxX-r.MinX), region.SketchSide/(r.MaxY-r.MinY)
	p.s00, p.s01, p.sx = p.m00*fx, p.m01*fx, -r.MinX*fx
	p.s10, p.s11, p.sy = p.m10*fy, p.m11*fy, -r.MinY*fy
	return p
}

// build makes all pairs that a search can ask for, on several goroutines,
// until done. It returns the share of them that it made.
func (w *world) build(ctx context.Context, workers int) float64 {
	type ask struct{ a, b int32 }
	var asks []ask
	seen := map[regionKey]bool{}
	movable := len(w.kinds) - len(w.fixed)
	for a := range len(w.kinds) {
		for b := range movable {
			ka, kb := w.kinds[a], w.kinds[b]
			if ka.shape > kb.shape {
				ka, kb = kb, ka
			}
			key := regionKey{ka.shape, kb.shape, turnKey(kb.angle - ka.angle)}
			if !seen[key] {
				seen[key] = true
				asks = append(asks, ask{int32(a), int32(b)})
			}
		}
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range max(1, workers) {
		wg.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(asks) {
					return
				}
				w.pair(asks[i].a, asks[i].b)
			}
		})
	}
	wg.Wait()
	if len(asks) == 0 {
		return 1
	}
	return min(1, float64(next.Load())/float64(len(asks)))
}

// workersOf is the number of goroutines to use.
func workersOf(o Options) int {
	if o.Workers > 0 {
		return o.Workers
	}
	return runtime.GOMAXPROCS(0)
}
