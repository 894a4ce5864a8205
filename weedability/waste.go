package weedability

import (
	"cmp"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// defaultBorderMargin is the distance of the weed border from the decal: a
// quarter of an inch ("Efficient Decal Production", Sign & Digital Graphics,
// sdgmag.com).
const defaultBorderMargin = 6.4 * units.Millimetre

// Waste is the waste sheet: what is peeled off between the weed border, a
// rectangle round the decal, and the film, and what is in the counters.
type Waste struct {
	Border outline.Box // the weed border
	Area   float64     // square millimetres, of the sheet without the counters
	// Pieces is how many pieces the sheet falls into if every place narrower than
	// the limit tears: 1 means that it comes off whole.
	Pieces int
	// Necks are the places where the sheet or a counter tears and leaves a piece
	// behind, the narrowest first: the order in which they would tear.
	Necks []Neck
}

// Neck is a place where waste is so narrow that it tears there.
type Neck struct {
	At       outline.Point // middle of the neck
	From, To outline.Point // the two cuts it lies between
	Width    float64       // millimetres
	Loose    float64       // square millimetres of waste behind it
	LooseAt  outline.Point // a place in that waste, for a marker
	Counter  bool          // whether it lies in a counter rather than in the sheet
	Of       string        // what it lies between, such as "the A of MARLOW and the R of MARLOW"
}

// chordEnd is where the chord across a neck meets a ring.
type chordEnd struct {
	arc  float64
	turn float64 // to the left from the direction of the walk, to order chords from one point
	neck int
}

// minBay is the least ratio of 2·area/perimeter of the waste behind a neck
// to the neck's width. A corridor of even width has 1: its far end is no piece
// that hangs on a neck.
const minBay = 1.25

// face is a piece of waste between necks.
type face struct {
	loops     [][]outline.Point // the outer one first
	area      float64
	perimeter float64
}

// wasteSheet finds where the waste tears: narrow stretches of waste become
// chords, the chords cut the waste into faces, and a face that hangs on the
// others by chords alone comes off as a loose piece where the widest of these tears.
func (in *inspection) wasteSheet() {
	margin := in.borderMargin()
	w := Waste{Border: in.b.Box.Grow(margin), Pieces: 1, Necks: []Neck{}}
	w.Area = w.Border.Width() * w.Border.Height()
	for i := range in.b.Rings {
		if in.parents[i] < 0 {
			w.Area -= math.Abs(float64(in.path[i].Area()))
		}
	}
	limit := float64(in.limits.WasteNeck.Caution)
	list := in.stretches(in.b, in.gapSamples, true, limit)
	// The ring that bounds a ring's waste from outside tells which waste it is: -1 the sheet.
	region := func(ring int32) int {
		if in.depth[ring]%2 == 1 {
			return int(ring)
		}
		return in.parents[ring]
	}
	byRegion := map[int][]*stretch{}
	var regions []int
	for i := range list {
		st := &list[i]
		if st.least >= limit-resolution || st.from.Distance(st.to) == 0 {
			continue
		}
		r := region(in.b.Edges[st.worst.edge].Contour)
		if r != region(in.b.Edges[st.worst.touchEdge].Contour) {
			continue // film that touches film: no waste between
		}
		if byRegion[r] == nil {
			regions = append(regions, r)
		}
		byRegion[r] = append(byRegion[r], st)
	}
	slices.Sort(regions)
	for _, r := range regions {
		necks := in.tears(r, byRegion[r], w.Border)
		if r < 0 {
			w.Pieces += len(necks)
		}
		w.Necks = append(w.Necks, necks...)
	}
	slices.SortStableFunc(w.Necks, func(m, n Neck) int {
		return cmp.Or(cmp.Compare(m.Width, n.Width), cmp.Compare(m.At.X, n.At.X), cmp.Compare(m.At.Y, n.At.Y))
	})
	for _, n := range w.Necks {
		s, tierLimit, broken := in.limits.WasteNeck.tier(n.Width + resolution)
		if !broken {
			continue
		}
		in.add(Finding{Kind: WasteNeck, Severity: s, At: n.At, Value: n.Width, Limit: tierLimit, Unit: "mm",
			Source: in.limits.WasteNeck.Source, Of: n.Of, Outline: []outline.Curve{outline.Polyline(n.From, n.To)},
			Length: n.Width, Remedy: "pick the piece behind it by itself, widen the gap, or cut larger",
			SafeScale: scaleTo(limit, n.Width+resolution)})
	}
	in.out.Waste = w
}

func (in *inspection) borderMargin() float64 {
	if in.opt.BorderMargin == 0 {
		return float64(defaultBorderMargin)
	}
	return float64(in.opt.BorderMargin)
}

// tears returns the necks at which pieces of one region of waste come off.
func (in *inspection) tears(region int, list []*stretch, border outline.Box) []Neck {
	rings := in.regionRings(region)
	// The ends of the chords on each ring, in the order of a walk with waste to
	// the left, which is against the ring's direction.
	ends := map[int32][]chordEnd{}
	for k, st := range list {
		for side, at := range [2]outline.Point{st.from, st.to} {
			e := [2]int32{st.worst.edge, st.worst.touchEdge}[side]
			edge := &in.b.Edges[e]
			d := [2]outline.Point{st.to, st.from}[side].Sub(at)
			walk := edge.U.Mul(-1)
			ends[edge.Contour] = append(ends[edge.Contour], chordEnd{arc: edge.Arc + at.Sub(edge.A).Dot(edge.U), turn: math.Atan2(walk.Cross(d), walk.Dot(d)), neck: k})
		}
	}
	type place struct {
		ring  int32
		index int
	}
	other := make([][]place, len(list))
	for _, r := range rings {
		slices.SortStableFunc(ends[r], func(a, b chordEnd) int {
			return cmp.Or(cmp.Compare(b.arc, a.arc), cmp.Compare(b.turn, a.turn))
		})
		for i, e := range ends[r] {
			other[e.neck] = append(other[e.neck], place{r, i})
		}
	}
	// Trace the loops.
	type loop struct {
		points []outline.Point
		area   float64
		face   int
	}
	var loops []loop
	faceOf := map[place]int{} // the loop that leaves a chord's end along its ring
	for _, r := range rings {
		if len(ends[r]) == 0 {
			var l loop
			for e := in.b.Rings[r].End - 1; e >= in.b.Rings[r].First; e-- {
				l.points = append(l.points, in.b.Edges[e].B)
			}
			loops = append(loops, l)
			continue
		}
		for i := range ends[r] {
			start := place{r, i}
			if _, done := faceOf[start]; done {
				continue
			}
			var l loop
			for at := start; ; {
				faceOf[at] = len(loops)
				next := place{at.ring, (at.index + 1) % len(ends[at.ring])}
				l.points = in.walk(l.points, at.ring, ends[at.ring][at.index].arc, ends[at.ring][next.index].arc, next.index <= at.index)
				// Across the chord.
				pair := other[ends[next.ring][next.index].neck]
				at = pair[0]
				if at == next {
					at = pair[1]
				}
				if at == start {
					break
				}
			}
			loops = append(loops, l)
		}
	}
	if region < 0 {
		m, n := border.Min, border.Max
		loops = append(loops, loop{points: []outline.Point{m, {X: n.X, Y: m.Y}, n, {X: m.X, Y: n.Y}}})
	}
	// Loops that run counter-clockwise bound faces; the others are the film in them.
	var faces []face
	var outer []int
	for i := range loops {
		loops[i].area = area(loops[i].points)
		if loops[i].area > 0 {
			loops[i].face = len(faces)
			outer = append(outer, i)
			faces = append(faces, face{loops: [][]outline.Point{loops[i].points}, area: loops[i].area, perimeter: perimeter(loops[i].points)})
		}
	}
	if len(faces) < 2 {
		return nil
	}
	slices.SortStableFunc(outer, func(a, b int) int { return cmp.Compare(loops[a].area, loops[b].area) })
	boxes := make([]outline.Box, len(loops))
	for _, i := range outer {
		boxes[i] = bounds(loops[i].points)
	}
	for i := range loops {
		l := &loops[i]
		if l.area > 0 {
			continue
		}
		l.face = loops[outer[len(outer)-1]].face
		q := l.points[0]
		for _, o := range outer[:len(outer)-1] {
			if boxes[o].Contains(q) && -l.area < loops[o].area && inside(loops[o].points, q) {
				l.face = loops[o].face
				break
			}
		}
		f := &faces[l.face]
		f.loops = append(f.loops, l.points)
		f.area += l.area
		f.perimeter += perimeter(l.points)
	}
	root := 0
	for i := range faces {
		if faces[i].area > faces[root].area {
			root = i
		}
	}
	if region < 0 {
		root = loops[len(loops)-1].face
	}
	// The widest chords hold longest: join faces over them, widest first. What is left is
	// a tree (Kruskal), and a face comes off where its link towards the root tears.
	type link struct{ neck, a, b int }
	var links []link
	for k := range list {
		a, b := loops[faceOf[other[k][0]]].face, loops[faceOf[other[k][1]]].face
		if a != b {
			links = append(links, link{k, a, b})
		}
	}
	slices.SortStableFunc(links, func(l, m link) int { return cmp.Compare(list[m.neck].least, list[l.neck].least) })
	joined := newSets(len(faces))
	tree := make([][]link, len(faces))
	for _, l := range links {
		if joined.find(l.a) != joined.find(l.b) {
			joined.join(l.a, l.b)
			tree[l.a], tree[l.b] = append(tree[l.a], l), append(tree[l.b], l)
		}
	}
	var out []Neck
	seen := make([]bool, len(faces))
	seen[root] = true
	queue := []int{root}
	for len(queue) > 0 {
		f := queue[0]
		queue = queue[1:]
		for _, l := range tree[f] {
			g := l.a + l.b - f
			if seen[g] {
				continue
			}
			seen[g] = true
			queue = append(queue, g)
			st, piece := list[l.neck], &faces[g]
			if 2*piece.area < minBay*st.least*piece.perimeter {
				continue
			}
			at := inner(piece.loops[0], piece.loops[1:])
			out = append(out, Neck{At: st.from.Lerp(st.to, 0.5), From: st.from, To: st.to, Width: st.least,
				Loose: piece.area, LooseAt: at, Counter: region >= 0, Of: in.between(st.worst.edge, st.worst.touchEdge)})
		}
	}
	return out
}

// regionRings returns the rings that bound a region of waste: ring region and
// those in it, or, for -1, those that lie in nothing.
func (in *inspection) regionRings(region int) []int32 {
	var rings []int32
	if region >= 0 {
		rings = append(rings, int32(region))
		for _, k := range in.inner[region] {
			rings = append(rings, int32(k))
		}
		return rings
	}
	for i := range in.b.Rings {
		if r := &in.b.Rings[i]; in.parents[i] < 0 && r.First < r.End {
			rings = append(rings, int32(i))
		}
	}
	return rings
}

// walk appends the points of ring against its direction from one arc to
// another, both included; round, whether the walk passes the ring's start.
func (in *inspection) walk(points []outline.Point, ring int32, from, to float64, round bool) []outline.Point {
	r := &in.b.Rings[ring]
	edges := in.b.Edges[r.First:r.End]
	find := func(arc float64) int {
		i, _ := slices.BinarySearchFunc(edges, arc, func(e boundaryEdge, a float64) int { return cmp.Compare(e.Arc, a) })
		return max(0, i-1)
	}
	i, j := find(from), find(to)
	points = append(points, edges[i].At(min(from-edges[i].Arc, edges[i].Length)))
	if i != j || round {
		for k := i; ; {
			points = append(points, edges[k].A)
			if k--; k < 0 {
				k = len(edges) - 1
			}
			if k == j {
				break
			}
		}
	}
	return append(points, edges[j].At(min(to-edges[j].Arc, edges[j].Length)))
}
