package region

import (
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/nest/internal/convex"
)

// Cells is the usual number of cells along the longer side of a region.
const Cells = 40

// SketchSide is the number of cells along each side of a sketch.
const SketchSide = 32

// plane is a half-plane NX*x + NY*y < D of a cell's list.
type plane struct {
	nx, ny, d float64
	// mark: middleOfPart, endOfPart or endOfCell
	mark int64
}

const (
	middleOfPart = iota
	endOfPart
	endOfCell
)

// cell answers most questions from 16 bytes, a quarter of a cache line.
type cell struct {
	list int32 // first plane of the cell, or cellOutside, cellInside
	// depth at the cell's middle and its slope per cell, by least squares over
	// the corners; signed where the border passes
	mid, gx, gy float32
}

// borderCells: a cell nearer than this, in cells, to a part's border lists the
// part, so that ways out that end on the border are exact.
const borderCells = 0.25

const (
	cellOutside = -1
	cellInside  = -2
)

// Region is a no-fit region. It is read-only after Build and safe for
// concurrent use.
type Region struct {
	// Box of the region; shifts outside it never overlap.
	Box    convex.Box
	inv    float64 // cells per unit
	nx, ny int32
	cells  []cell
	planes []plane
	// Sketch is a small table of depths over the box, 0 = outside, in units of
	// SketchUnit, taken at the middle of each of SketchSide * SketchSide cells,
	// rows along x: it stays in the processor's nearest memory.
	Sketch     *[SketchSide * SketchSide]uint8
	SketchUnit float64
	// Parts are the half-planes of each convex no-fit polygon, PartBox its box.
	Parts   [][]convex.HalfPlane
	PartBox []convex.Box
}

// Shape is an outline at an angle as a list of convex polygons about its origin.
type Shape struct {
	Parts []*convex.Part
}

// NewShape turns an outline.
func NewShape(o *convex.Outline, angle float64) Shape {
	pts := o.Turned(angle)
	s := Shape{Parts: make([]*convex.Part, 0, len(o.Parts))}
	ring := make([]convex.Point, 0, len(pts))
	for _, part := range o.Parts {
		ring = ring[:0]
		for _, v := range part {
			ring = append(ring, pts[v])
		}
		s.Parts = append(s.Parts, convex.NewPart(ring))
	}
	return s
}

// Opposites are the parts turned by half about the origin.
func (s Shape) Opposites() []*convex.Part {
	o := make([]*convex.Part, len(s.Parts))
	for i, p := range s.Parts {
		o[i] = p.Opposite()
	}
	return o
}

// Build forms the region of b relative to a with the given number of cells
// along its longer side.
func Build(a, b Shape, cells int) *Region {
	r := &Region{Box: convex.BoxOf(nil), Sketch: new([SketchSide * SketchSide]uint8)}
	opposites := b.Opposites()
	count := len(a.Parts) * len(b.Parts)
	r.Parts, r.PartBox = make([][]convex.HalfPlane, 0, count), make([]convex.Box, 0, count)
	var planes []convex.HalfPlane // of all parts, which are slices of it
	for _, p := range a.Parts {
		for _, q := range opposites {
			box := convex.Box{MinX: p.Box.MinX + q.Box.MinX, MinY: p.Box.MinY + q.Box.MinY, MaxX: p.Box.MaxX + q.Box.MaxX, MaxY: p.Box.MaxY + q.Box.MaxY}
			if left := count - len(r.Parts); cap(planes)-len(planes) < p.Edges()+q.Edges() {
				planes = make([]convex.HalfPlane, 0, max(p.Edges()+q.Edges(), min(planesBlock, planesPart*left)))
			}
			from := len(planes)
			planes = convex.NoFit(p, q, planes)
			r.Parts = append(r.Parts, planes[from:len(planes):len(planes)])
			r.PartBox = append(r.PartBox, box)
			r.Box.MinX, r.Box.MinY = min(r.Box.MinX, box.MinX), min(r.Box.MinY, box.MinY)
			r.Box.MaxX, r.Box.MaxY = max(r.Box.MaxX, box.MaxX), max(r.Box.MaxY, box.MaxY)
		}
	}
	if len(r.Parts) == 0 {
		r.Box = convex.Box{}
		return r
	}
	w, h := r.Box.MaxX-r.Box.MinX, r.Box.MaxY-r.Box.MinY
	size := max(w, h) / float64(cells)
	r.inv = 1 / size
	r.nx = int32(min(float64(cells), math.Floor(w*r.inv))) + 1
	r.ny = int32(min(float64(cells), math.Floor(h*r.inv))) + 1
	r.fill(size)
	r.measure(size)
	r.draw(w, h)
	return r
}

// planesBlock is the most half-planes that are allocated at a time, and
// planesPart how many two parts make on average.
const (
	planesBlock = 4096
	planesPart  = 8
)

// cellPlane is a half-plane on its way into a cell's list.
type cellPlane struct {
	cell int32
	p    plane
}

// fill sorts the parts into the cells.
func (r *Region) fill(size float64) {
	r.cells = make([]cell, r.nx*r.ny)
	for i := range r.cells {
		r.cells[i].list = cellOutside
	}
	// big parts first: what lies inside them needs no list
	type bySize struct {
		area float64
		part int
	}
	order := make([]bySize, len(r.Parts))
	for i, b := range r.PartBox {
		order[i] = bySize{(b.MaxX - b.MinX) * (b.MaxY - b.MinY), i}
	}
	slices.SortFunc(order, func(a, b bySize) int {
		switch {
		case a.area > b.area:
			return -1
		case a.area < b.area:
			return 1
		}
		return a.part - b.part
	})
	var bounds rowBounds
	found := make([]cellPlane, 0, min(planesPerCell*len(r.cells), planesPerPart*len(r.Parts)))
	half := size / 2
	var low []float64
	for _, o := range order {
		part, box := r.Parts[o.part], r.PartBox[o.part]
		x0, y0 := r.cellOf(box.MinX, box.MinY)
		x1, y1 := r.cellOf(box.MaxX, box.MaxY)
		bounds.set(part, half)
		for cy := y0; cy <= y1; cy++ {
			my := r.Box.MinY + (float64(cy)+0.5)*size
			from, to := bounds.row(r, my, x0, x1)
			for cx := from; cx <= to; cx++ {
				c := cy*r.nx + cx
				if r.cells[c].list == cellInside {
					continue
				}
				mx := r.Box.MinX + (float64(cx)+0.5)*size
				low = low[:0]
				leastHigh, least := math.Inf(1), math.Inf(1)
				for _, p := range part {
					s := p.D - p.NX*mx - p.NY*my
					ext := half * (math.Abs(p.NX) + math.Abs(p.NY))
					low = append(low, s-ext)
					least = min(least, s-ext)
					leastHigh = min(leastHigh, s+ext)
					if leastHigh <= 0 {
						break
					}
				}
				if leastHigh <= 0 {
					continue
				}
				if least >= borderCells*size {
					r.cells[c].list = cellInside
					continue
				}
				r.cells[c].list = 0
				for i, p := range part {
					if low[i] <= leastHigh {
						found = append(found, cellPlane{c, plane{p.NX, p.NY, p.D, middleOfPart}})
					}
				}
				found[len(found)-1].p.mark = endOfPart
			}
		}
	}
	r.sortIntoCells(found)
}

// planesPerCell and planesPerPart are about how many there are of many small and of few large parts, so that the list
// seldom has to grow.
const (
	planesPerCell = 2
	planesPerPart = 120
)

// rowBounds tell which columns of a row of cells a part may reach: the middle
// of a cell at x lies between the left and the right bounds, each at - slope*y.
type rowBounds struct{ left, right []rowBound }

type rowBound struct{ at, slope float64 }

// set makes the bounds of a part; half is half a cell's side.
func (b *rowBounds) set(part []convex.HalfPlane, half float64) {
	b.left, b.right = b.left[:0], b.right[:0]
	for _, p := range part {
		if math.Abs(p.NX) < steepNormal {
			continue
		}
		inv := 1 / p.NX
		bound := rowBound{(p.D + half*(math.Abs(p.NX)+math.Abs(p.NY))) * inv, p.NY * inv}
		if p.NX > 0 {
			b.right = append(b.right, bound)
		} else {
			b.left = append(b.left, bound)
		}
	}
}

// row narrows the columns x0 to x1 of the row around y, with a cell to spare
// for rounding.
func (b *rowBounds) row(r *Region, y float64, x0, x1 int32) (from, to int32) {
	lo, hi := math.Inf(-1), math.Inf(1)
	for _, l := range b.left {
		lo = max(lo, l.at-l.slope*y)
	}
	for _, h := range b.right {
		hi = min(hi, h.at-h.slope*y)
	}
	if from = x0; lo > r.Box.MinX {
		from = max(from, int32(min((lo-r.Box.MinX)*r.inv-0.5, float64(x1)))-1)
	}
	if to = x1; hi < r.Box.MaxX {
		to = min(to, int32(max((hi-r.Box.MinX)*r.inv-0.5, float64(x0)-2))+2)
	}
	return from, to
}

// steepNormal: a half-plane whose normal has a smaller x does not bound x.
const steepNormal = 1e-9

// sortIntoCells makes the lists of the cells that are neither outside nor
// wholly inside; planes of one cell keep their order.
func (r *Region) sortIntoCells(found []cellPlane) {
	next := make([]int32, len(r.cells)) // first the number, then the end of each cell's list
	for _, f := range found {
		if r.cells[f.cell].list != cellInside {
			next[f.cell]++
		}
	}
	total := int32(0)
	for c, n := range next {
		if n > 0 {
			r.cells[c].list = total
		}
		next[c] = total
		total += n
	}
	r.planes = make([]plane, total)
	for _, f := range found {
		if r.cells[f.cell].list != cellInside {
			r.planes[next[f.cell]] = f.p
			next[f.cell]++
		}
	}
	for c := range r.cells {
		if r.cells[c].list >= 0 {
			r.planes[next[c]-1].mark = endOfCell
		}
	}
}

func (r *Region) cellOf(x, y float64) (cx, cy int32) {
	cx = int32((x - r.Box.MinX) * r.inv)
	cy = int32((y - r.Box.MinY) * r.inv)
	return min(max(cx, 0), r.nx-1), min(max(cy, 0), r.ny-1)
}

// Depth is how far t is from the outside of the region; 0 if it is outside.
func (r *Region) Depth(tx, ty float64) float64 {
	fx, fy := (tx-r.Box.MinX)*r.inv, (ty-r.Box.MinY)*r.inv
	if !(fx > 0 && fy > 0) {
		return 0
	}
	cx, cy := int32(fx), int32(fy)
	if cx >= r.nx || cy >= r.ny {
		return 0
	}
	c := &r.cells[cy*r.nx+cx]
	i := c.list
	if i >= 0 {
		best := 0.0
		least := math.MaxFloat64
		for ps := r.planes[i:]; ; ps = ps[1:] {
			p := &ps[0]
			least = min(least, p.d-p.nx*tx-p.ny*ty)
			if p.mark == middleOfPart {
				continue
			}
			best = max(best, least)
			if p.mark == endOfCell {
				return best
			}
			least = math.MaxFloat64
		}
	}
	if i == cellOutside {
		return 0
	}
	return float64(c.mid + c.gx*(float32(fx-float64(cx))-0.5) + c.gy*(float32(fy-float64(cy))-0.5))
}

// nearBorder is the depth in a cell with a list, and the plane that bounds it.
func (r *Region) nearBorder(i int32, tx, ty float64) (float64, *plane) {
	best := 0.0
	var bestPlane *plane
	least := math.Inf(1)
	var leastPlane *plane
	for ; ; i++ {
		p := &r.planes[i]
		if s := p.d - p.nx*tx - p.ny*ty; s < least {
			least, leastPlane = s, p
		}
		if p.mark == middleOfPart {
			continue
		}
		if least > best {
			best, bestPlane = least, leastPlane
		}
		if p.mark == endOfCell {
			return best, bestPlane
		}
		least = math.Inf(1)
	}
}

// Exit is the depth of t and the line nx*x + ny*y = d on whose far side the
// shortest way out ends: exact near the border, an estimate deep inside. ok is
// false when t is outside.
func (r *Region) Exit(tx, ty float64) (depth, nx, ny, d float64, ok bool) {
	fx, fy := (tx-r.Box.MinX)*r.inv, (ty-r.Box.MinY)*r.inv
	if !(fx > 0 && fy > 0) {
		return
	}
	cx, cy := int32(fx), int32(fy)
	if cx >= r.nx || cy >= r.ny {
		return
	}
	c := &r.cells[cy*r.nx+cx]
	if c.list == cellOutside {
		return
	}
	if c.list >= 0 {
		best, p := r.nearBorder(c.list, tx, ty)
		if p == nil {
			return
		}
		return best, p.nx, p.ny, p.d, true
	}
	gx, gy := float64(c.gx), float64(c.gy)
	depth = float64(c.mid + c.gx*(float32(fx-float64(cx))-0.5) + c.gy*(float32(fy-float64(cy))-0.5))
	l := math.Hypot(gx, gy)
	if l == 0 {
		gx, gy, l = 1, 0, 1
	}
	// depth falls along (nx, ny)
	nx, ny = -gx/l, -gy/l
	return depth, nx, ny, nx*tx + ny*ty + depth, true
}
