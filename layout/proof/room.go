package proof

import (
	"cmp"
	"image/color"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
)

// roomScale is how fine room is looked for, in cells per millimetre; it is
// coarser where a long sheet has more than roomCells of them.
const (
	roomScale = 2.0
	roomCells = 16 << 20
)

// plateClearance is kept between a plate and the edges of film and helper
// lines, in millimetres.
const plateClearance = 0.6

// room finds places on a picture of a sheet where a plate covers film only or
// ground only, so that it hides no edge, letter or line.
type room struct {
	view   outline.Box
	scale  float64 // cells per millimetre
	nx, ny int
	// sums is the summed-area table of the film's coverage, 0 to 255 a cell;
	// lines run along cells of 128, which are neither film nor ground.
	sums  []uint32
	boxes []outline.Box // of the sheet's decals
	// plates have been placed; places are what markers lead to, and leaders the
	// lines to them.
	plates  columns[outline.Box]
	places  columns[outline.Point]
	leaders columns[[2]outline.Point]
	cells   []cell // see around
}

// halfCovered is the coverage of a cell that a line runs along.
const halfCovered = 128

// newRoom draws the sheet's film and lines coarsely.
func newRoom(view outline.Box, sheet layout.Sheet) (*room, error) {
	scale := math.Min(roomScale, math.Sqrt(roomCells/(view.Width()*view.Height())))
	film, err := NewCanvas(view, scale)
	if err != nil {
		return nil, err
	}
	for _, d := range sheet.Decals {
		film.Fill(d.Path, color.Black)
	}
	lines, err := NewCanvas(view, scale)
	if err != nil {
		return nil, err
	}
	lines.Outline(sheet.WeedBorder, 0.5, color.Black)
	for _, curves := range [][]outline.Curve{sheet.WeedLines, sheet.TrimLines, sheet.Marks} {
		for _, c := range curves {
			lines.Stroke(c, 0.5, color.Black)
		}
	}
	size := film.img.Bounds()
	r := &room{view: view, scale: scale, nx: size.Dx(), ny: size.Dy(), plates: newColumns[outline.Box](view.Min.X, view.Max.X),
		places: newColumns[outline.Point](view.Min.X, view.Max.X), leaders: newColumns[[2]outline.Point](view.Min.X, view.Max.X)}
	for _, d := range sheet.Decals {
		r.boxes = append(r.boxes, d.Path.Bounds())
	}
	r.sums = make([]uint32, (r.nx+1)*(r.ny+1))
	for y := range r.ny {
		row := uint32(0)
		for x := range r.nx {
			i := film.img.PixOffset(x, y)
			v := uint32(255 - film.img.Pix[i])
			if lines.img.Pix[i] < 255 {
				v = halfCovered
			}
			row += v
			r.sums[(y+1)*(r.nx+1)+x+1] = r.sums[y*(r.nx+1)+x+1] + row
		}
	}
	return r, nil
}

// ground tells what a box covers.
type ground uint8

const (
	blank   ground = iota // waste or liner only
	film                  // film only
	blocked               // an edge, a line, another plate or the picture's end
)

// overlap reports whether the boxes have more than an edge in common.
func overlap(a, b outline.Box) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// under returns what the box, grown by the clearance, covers. plates are those
// near it.
func (r *room) under(b outline.Box, plates []outline.Box) ground {
	b = b.Grow(plateClearance)
	x0, x1 := int(math.Floor((b.Min.X-r.view.Min.X)*r.scale)), int(math.Ceil((b.Max.X-r.view.Min.X)*r.scale))
	y0, y1 := int(math.Floor((r.view.Max.Y-b.Max.Y)*r.scale)), int(math.Ceil((r.view.Max.Y-b.Min.Y)*r.scale))
	if x0 < 0 || y0 < 0 || x1 > r.nx || y1 > r.ny || x0 >= x1 || y0 >= y1 {
		return blocked
	}
	w := r.nx + 1
	g := blocked
	switch sum := r.sums[y1*w+x1] - r.sums[y0*w+x1] - r.sums[y1*w+x0] + r.sums[y0*w+x0]; sum {
	case 0:
		g = blank
	case uint32(255 * (x1 - x0) * (y1 - y0)):
		g = film
	default:
		return blocked
	}
	for _, p := range plates {
		if overlap(p, b) {
			return blocked
		}
	}
	return g
}

// take keeps later plates off the one at p.
func (r *room) take(p, half outline.Point) {
	b := outline.Box{Min: p.Sub(half), Max: p.Add(half)}
	r.plates.add(b.Min.X, b.Max.X, b)
}

// mark keeps later plates off a place that a line will lead to.
func (r *room) mark(place outline.Point) { r.places.add(place.X, place.X, place) }

// lead keeps later plates off the line from a marker's place to its plate.
func (r *room) lead(place, plate outline.Point) {
	r.leaders.add(math.Min(place.X, plate.X), math.Max(place.X, plate.X), [2]outline.Point{place, plate})
}

// groundPenalty is by how many millimetres further from a decal's middle its id
// lies rather than beside its film.
const groundPenalty = 15.0

// idSpots is about how many places are tried for an id: every cell of a decal 5 in
// square, and a coarser grid on a larger one.
const idSpots = 1 << 16

// forID returns where the id of the sheet's i-th decal goes: on its film, where
// that has room, else on the ground in its box; ok is false where there is no
// room at all.
func (r *room) forID(sheet layout.Sheet, i int, half outline.Point) (at outline.Point, ok bool) {
	own, b := sheet.Decals[i].Path, r.boxes[i]
	middle := b.Centre()
	type spot struct {
		at   outline.Point
		cost float64
		on   ground
	}
	var spots []spot
	step := math.Max(1/r.scale, math.Sqrt(b.Width()*b.Height()/idSpots))
	plates := r.within(outline.Box{Min: b.Min.Sub(half), Max: b.Max.Add(half)}.Grow(plateClearance)).plates
	for y := b.Min.Y; y <= b.Max.Y; y += step {
		for x := b.Min.X; x <= b.Max.X; x += step {
			p := outline.Pt(x, y)
			switch g := r.under(outline.Box{Min: p.Sub(half), Max: p.Add(half)}, plates); g {
			case film:
				spots = append(spots, spot{p, p.Distance(middle), g})
			case blank:
				spots = append(spots, spot{p, p.Distance(middle) + groundPenalty, g})
			}
		}
	}
	slices.SortStableFunc(spots, func(a, b spot) int { return cmp.Compare(a.cost, b.cost) })
	for _, s := range spots {
		if s.on == film && own.Contains(s.at) || s.on == blank && r.aloneInBox(i, s.at) {
			return s.at, true
		}
	}
	return middle, false
}

// aloneInBox reports whether p lies in the box of no decal but the i-th.
func (r *room) aloneInBox(i int, p outline.Point) bool {
	for k, b := range r.boxes {
		if k != i && b.Contains(p) {
			return false
		}
	}
	return true
}

// besideReach is how far from its place a marker may stand, in millimetres.
const besideReach = 48.0

// beside returns where a marker's plate goes: as near to its place as there is
// room, hiding neither places nor lines to them, with a line that runs under no
// other plate; where lines cannot be helped they may be hidden; ok is false
// where there is no room at all.
func (r *room) beside(place, half outline.Point) (at outline.Point, ok bool) {
	at = place
	reach := 0.0
	var near nearby
	for _, c := range r.around() {
		if c.distance > reach { // the few things near the place first
			reach = max(besideReach/4, 2*reach)
			near = r.within(outline.Box{Min: place.Sub(half), Max: place.Add(half)}.Grow(reach + plateClearance))
		}
		p := place.Add(c.by)
		if r.under(outline.Box{Min: p.Sub(half), Max: p.Add(half)}, near.plates) == blocked {
			continue
		}
		if near.clear(place, p, half) {
			return p, true
		}
		if !ok {
			at, ok = p, true
		}
	}
	return at, ok
}

// cell is a step from a marker's place, in millimetres.
type cell struct {
	by       outline.Point
	distance float64
}

// around returns the cells up to besideReach away, nearest first.
func (r *room) around() []cell {
	if r.cells == nil {
		n := int(besideReach * r.scale)
		for y := -n; y <= n; y++ {
			for x := -n; x <= n; x++ {
				p := outline.Pt(float64(x)/r.scale, float64(y)/r.scale)
				if d := p.Norm(); d <= besideReach {
					r.cells = append(r.cells, cell{p, d})
				}
			}
		}
		slices.SortStableFunc(r.cells, func(a, b cell) int { return cmp.Compare(a.distance, b.distance) })
	}
	return r.cells
}

// nearby is what reaches into a box; things may be in it twice.
type nearby struct {
	plates  []outline.Box
	places  []outline.Point
	leaders [][2]outline.Point
}

func (r *room) within(b outline.Box) nearby {
	var out nearby
	for p := range r.plates.over(b.Min.X, b.Max.X) {
		if overlap(p, b) {
			out.plates = append(out.plates, p)
		}
	}
	for p := range r.places.over(b.Min.X, b.Max.X) {
		if b.Contains(p) {
			out.places = append(out.places, p)
		}
	}
	for l := range r.leaders.over(b.Min.X, b.Max.X) {
		if crosses(b, l[0], l[1]) {
			out.leaders = append(out.leaders, l)
		}
	}
	return out
}

// clear reports whether a plate at p hides no marker's place and no line to
// one, and the line from it to place runs under no plate.
func (n nearby) clear(place, p, half outline.Point) bool {
	plate := outline.Box{Min: p.Sub(half), Max: p.Add(half)}.Grow(plateClearance / 2)
	for _, q := range n.places {
		if q != place && plate.Contains(q) {
			return false
		}
	}
	for _, l := range n.leaders {
		if crosses(plate, l[0], l[1]) {
			return false
		}
	}
	for _, b := range n.plates {
		if crosses(b, place, p) {
			return false
		}
	}
	return true
}

// crosses reports whether the line from a to b meets the box: what is left of
// it within the box's sides is not empty.
func crosses(box outline.Box, a, b outline.Point) bool {
	from, to := 0.0, 1.0
	d := b.Sub(a)
	for _, side := range [...]struct{ start, step, low, high float64 }{{a.X, d.X, box.Min.X, box.Max.X}, {a.Y, d.Y, box.Min.Y, box.Max.Y}} {
		if side.step == 0 {
			if side.start < side.low || side.start > side.high {
				return false
			}
			continue
		}
		t, u := (side.low-side.start)/side.step, (side.high-side.start)/side.step
		from, to = math.Max(from, math.Min(t, u)), math.Min(to, math.Max(t, u))
	}
	return from <= to
}
