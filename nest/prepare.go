package nest

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest/internal/grow"
	"github.com/vinylgeom/vinyl/nest/internal/search"
	"github.com/vinylgeom/vinyl/units"
)

// kind is an outline as it is searched with: one for each piece, two where a piece may be mirrored. Pieces that differ in
// nothing but what lies in holes too narrow for any piece share theirs.
type kind struct {
	piece     int // the first of its pieces
	mirrored  bool
	outline   orb.MultiPolygon // as given but filled, mirrored if so, about the piece's own origin
	local     orb.MultiPolygon // outline, about anchor
	shape     orb.MultiPolygon // grown, about anchor; made by makeShapes
	coarse    orb.MultiPolygon // the same with fewer vertices, for searches that have little time
	anchor    orb.Point        // in the outline's coordinates; 0, 0 unless the outline lies far from its origin
	angles    []float64        // those at which the piece fits; nil for any
	area      float64          // of the outline as it is here
	rectangle rectangle
}

// item is one copy of one piece that is to be placed.
type item struct {
	piece, copy int
	kinds       []int // one, or two where the piece may be mirrored
}

// job is one call of Nest.
type job struct {
	strip   Strip
	pieces  []Piece
	options Options
	kinds   []kind
	kindsOf [][]int // by piece
	items   []item  // without the fixed ones
	fixed   []Placement
	groups  []string // in order of first appearance

	index        map[string]int           // piece by ID
	areas        []float64                // of the pieces
	sizes        []float64                // of the kinds: what the first layout sorts by
	obstacle     map[int]orb.MultiPolygon // by load, once made
	obstacleLock sync.Mutex

	kept   float64 // distance between pieces
	least  float64 // width of the narrowest piece
	reach  float64 // how far shapes reach beyond outlines, half the gap and some slack
	origin orb.Point
	width  float64 // of the searched strip, in which shapes are placed
	length float64 // of one load of it, or +Inf
	area   float64 // of all pieces, fixed ones included
}

// coarseShare is by how much of its area a shape may grow once more for searches that have little time: the tables of the
// search take time by the square of the number of vertices.
const coarseShare = 0.005

// contactSlack is what is added to the gap in the search, as a share of the strip's width, so that the rounding of contacts
// does not take from it. On film of 300 mm it is 0.03 µm.
const contactSlack = 1e-7

// farOrigin is how many times its own size an outline may lie from its origin before the search works about an anchor near
// it, where coordinates keep more digits.
const farOrigin = 100

// cornersFrom is the number of vertices above which an outline that is not grown may get new corners, too, when it is
// simplified: their rounding is then the lesser evil, and layouts are verified on the outlines anyway.
const cornersFrom = 200

// simplifyShare is by how much of its area a shape may grow to have fewer vertices, and simplifyFrom the number of vertices
// below which it is left as it is.
const (
	simplifyShare = 0.001
	simplifyFrom  = 24
)

// prepare checks the arguments and lists what is to be placed. Shapes for the search are made later, by makeShapes.
func prepare(strip Strip, pieces []Piece, options Options) (*job, error) {

	if err := checkInput(strip, pieces, options); err != nil {
		return nil, err
	}
	j := &job{strip: strip, pieces: pieces, options: options, kept: float64(strip.KeptDistance()),
		index: map[string]int{}, obstacle: map[int]orb.MultiPolygon{}}
	if j.options.Workers == 0 {
		j.options.Workers = runtime.GOMAXPROCS(0)
	}
	size := float64(strip.Width)
	if len(strip.Leftover) > 0 {
		b := strip.Leftover.Bound()
		size = max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])
	}
	grown := j.kept / 2
	if j.kept > 0 {
		grown += contactSlack / 2 * size
	}
	j.reach = grown
	j.frame()
	if err := j.makeKinds(); err != nil {
		return nil, err
	}
	return j, j.makeItems()
}

// frame sets the strip that shapes are placed in: the usable one, wider by what shapes stick out of outlines.
func (j *job) frame() {
	s := j.strip
	if len(s.Leftover) > 0 {
		b := s.Leftover.Bound()
		j.origin = orb.Point{b.Min[0] - j.reach, b.Min[1] - j.reach}
		j.width, j.length = b.Max[1]-b.Min[1]+2*j.reach, b.Max[0]-b.Min[0]+2*j.reach
		return
	}
	j.origin = orb.Point{s.startMM() - j.reach, float64(s.Margins.Bottom) - j.reach}
	j.width = float64(s.usableWidth()) + 2*j.reach
	j.length = s.usableMM() + 2*j.reach
	if j.kept == 0 {
		j.width *= 1 + fitRounding
		j.length *= 1 + fitRounding
	} else {
		// A piece that just fits must not fail by a rounding; nudged puts it back inside, at the cost of a part of the slack.
		j.width *= 1 + contactSlack/16
		j.length *= 1 + contactSlack/16
	}
}

// makeKinds fills kinds, all but the shapes.
func (j *job) makeKinds() error {
	j.least = math.Inf(1)
	for _, p := range j.pieces {
		j.least = min(j.least, hullOf(p.Outline).leastWidth().width)
	}
	room := (j.least + 2*j.kept) * (1 - contactSlack)
	outlines := make([]orb.MultiPolygon, len(j.pieces))
	known := map[string][]int{} // pieces that may be alike
	for i, p := range j.pieces {
		outlines[i] = filled(p.Outline, room)
		b := outlines[i].Bound()
		likely := fmt.Sprint(b, len(outlines[i]), p.Mirror, p.Rotations, p.Grain)
		alike := func(n int) bool { return outlines[n].Equal(outlines[i]) }
		if n := slices.IndexFunc(known[likely], alike); n >= 0 && !j.options.IdenticalLoads { // which tells loads by their pieces
			j.kindsOf = append(j.kindsOf, j.kindsOf[known[likely][n]])
			continue
		}
		known[likely] = append(known[likely], i)
		j.kindsOf = append(j.kindsOf, nil)
		for _, mirrored := range []bool{false, true} {
			if mirrored && p.Mirror == MirrorNever || !mirrored && p.Mirror == MirrorAlways {
				continue
			}
			k := kind{piece: i, mirrored: mirrored, outline: outlines[i]}
			if mirrored {
				k.outline = Placement{Mirrored: true}.Apply(outlines[i])
			}
			b = k.outline.Bound()
			if size := max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]); math.Hypot(b.Center()[0], b.Center()[1]) > farOrigin*size {
				k.anchor = b.Min
			}
			k.area = grow.Area(k.outline)
			angles, err := j.allowedAngles(p, mirrored)
			if err != nil {
				return err
			}
			if k.angles, err = j.fittingAngles(p, k.outline, angles); err != nil {
				return err
			}
			k.rectangle = j.rectangleOf(&k)
			k.local = k.outline
			if k.anchor != (orb.Point{}) {
				k.local = Placement{X: units.Length(-k.anchor[0]), Y: units.Length(-k.anchor[1])}.Apply(k.outline)
			}
			b = k.outline.Bound()
			j.sizes = append(j.sizes, k.area*math.Hypot(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]))
			j.kindsOf[i] = append(j.kindsOf[i], len(j.kinds))
			j.kinds = append(j.kinds, k)
		}
	}
	return nil
}

// makeShapes grows the outlines, several at a time since that takes
// time. It stops early, with shapes missing, when the context ends.
func (j *job) makeShapes(ctx context.Context) error {
	grown := j.reach
	// No piece goes into a hole that is narrower than the narrowest piece.
	narrowest := j.least + 2*j.reach
	errs := make([]error, len(j.kinds))
	var wait sync.WaitGroup
	slots := make(chan struct{}, j.options.Workers)
	for i := range j.kinds {
		wait.Add(1)
		slots <- struct{}{}
		go func() {
			defer func() { <-slots; wait.Done() }()
			if ctx.Err() != nil {
				return
			}
			k := &j.kinds[i]
			o := grow.Options{Distance: grown, HoleSide: narrowest * (1 - contactSlack), KeepCorners: grown == 0 && grow.Vertices(k.outline) <= cornersFrom, Angles: k.angles}
			if k.angles == nil {
				o.Angles = []float64{hullOf(k.outline).leastWidth().angle}
			}
			if grow.Vertices(k.outline) > simplifyFrom || grown > 0 {
				o.AreaShare = simplifyShare
			}
			k.shape, errs[i] = grow.Outline(k.local, o)
			k.coarse = k.shape
			if errs[i] == nil && o.AreaShare > 0 && !o.KeepCorners {
				k.coarse = grow.Simplified(k.shape, coarseShare)
			}
		}()
	}
	wait.Wait()
	for i, err := range errs {
		if err != nil {
			return &InputError{Where: fmt.Sprintf("piece %q: Outline", j.pieces[j.kinds[i].piece].ID), What: err.Error(),
				Fix: "weld the outline and remove what is degenerate", Cause: ErrBadOutline}
		}
	}
	return nil
}

// makeItems lists the copies to be placed and the groups.
func (j *job) makeItems() error {
	taken := make([]map[int]bool, len(j.pieces))
	for i, p := range j.pieces {
		j.index[p.ID] = i
		j.areas = append(j.areas, grow.Area(p.Outline))
		taken[i] = map[int]bool{}
		if !slices.Contains(j.groups, p.Group) {
			j.groups = append(j.groups, p.Group)
		}
	}
	for n, f := range j.options.Fixed {
		i, ok := j.index[f.Piece]
		where := fmt.Sprintf("Options.Fixed[%d]", n)
		switch {
		case !ok:
			return &InputError{Where: where, What: fmt.Sprintf("there is no piece %q", f.Piece), Fix: "list the piece, too", Cause: ErrUnknown}
		case f.Copy < 1 || f.Copy > j.pieces[i].count():
			return &InputError{Where: where, What: fmt.Sprintf("piece %q has no copy %d", f.Piece, f.Copy), Fix: "raise its Count", Cause: ErrUnknown}
		case taken[i][f.Copy]:
			return &InputError{Where: where, What: fmt.Sprintf("copy %d of piece %q is placed twice", f.Copy, f.Piece), Fix: "give each copy one place", Cause: ErrUnknown}
		case f.Load < 1 || f.Load > j.mostLoads():
			return &InputError{Where: where, What: fmt.Sprintf("load %d; there may be %d", f.Load, j.mostLoads()), Fix: "number loads from 1 and allow enough", Cause: ErrBadNumber}
		}
		taken[i][f.Copy] = true
		j.fixed = append(j.fixed, f)
	}
	for i, p := range j.pieces {
		j.area += j.areas[i] * float64(p.count())
		for c := 1; c <= p.count(); c++ {
			if !taken[i][c] {
				j.items = append(j.items, item{piece: i, copy: c, kinds: j.kindsOf[i]})
			}
		}
	}
	return nil
}

// toPlacement turns a pose of a kind's shape in the searched strip into the placement of its piece.
func (j *job) toPlacement(it item, k int, pose search.Pose, load int) Placement {
	kd := &j.kinds[k]
	p := Placement{Piece: j.pieces[it.piece].ID, Copy: it.copy, Load: load, Rotation: canonical(units.Angle(pose.Angle)), Mirrored: kd.mirrored}
	sin, cos := sinCos(float64(p.Rotation))
	ax, ay := kd.anchor[0], kd.anchor[1]
	p.X = units.Length(pose.X - (cos*ax - sin*ay) + j.origin[0])
	p.Y = units.Length(pose.Y - (sin*ax + cos*ay) + j.origin[1])
	return j.nudged(p, kd)
}

// fromPlacement is the inverse of toPlacement.
func (j *job) fromPlacement(p Placement, k int) search.Pose {
	kd := &j.kinds[k]
	sin, cos := sinCos(float64(p.Rotation))
	ax, ay := kd.anchor[0], kd.anchor[1]
	return search.Pose{
		X:     float64(p.X) + (cos*ax - sin*ay) - j.origin[0],
		Y:     float64(p.Y) + (sin*ax + cos*ay) - j.origin[1],
		Angle: float64(p.Rotation),
	}
}

// nudged moves a placement that sticks out over a margin by no more than the contact slack back inside. Sums of margins,
// reaches and coordinates carry roundings that would otherwise spoil an exact fit.
func (j *job) nudged(p Placement, k *kind) Placement {
	if len(j.strip.Leftover) > 0 {
		return p
	}
	most := contactSlack * float64(j.strip.Width)
	m := p
	m.Mirrored = false // the kind's outline is mirrored already
	box := func() orb.Bound { return placedBound(m, k.outline) }
	b := box()
	bottom, top, start := float64(j.strip.Margins.Bottom), float64(j.strip.Margins.Top), j.strip.startMM()
	// Measured from the edge, as Verify and everybody else does.
	above := func() float64 { return float64(j.strip.Width) - box().Max[1] }
	if d := top - above(); d > 0 && d < most {
		m.Y -= units.Length(d)
		for range nudges {
			if above() >= top {
				break
			}
			m.Y = units.Length(math.Nextafter(float64(m.Y), math.Inf(-1)))
		}
	}
	if d := bottom - box().Min[1]; d > 0 && d < most {
		m.Y += units.Length(d)
		for range nudges {
			if box().Min[1] >= bottom {
				break
			}
			m.Y = units.Length(math.Nextafter(float64(m.Y), math.Inf(1)))
		}
	}
	if d := start - b.Min[0]; d > 0 && d < most {
		m.X += units.Length(d)
		for range nudges {
			if box().Min[0] >= start {
				break
			}
			m.X = units.Length(math.Nextafter(float64(m.X), math.Inf(1)))
		}
	}
	p.X, p.Y = m.X, m.Y
	return p
}

// nudges is how many times a coordinate is moved by its last bit before nudged gives up.
const nudges = 8

// placedBound is the bounding box of the placed outline, with the very roundings of Placement.Apply.
func placedBound(p Placement, outline orb.MultiPolygon) orb.Bound {
	return p.Apply(outline).Bound()
}
