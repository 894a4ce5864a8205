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
	sums   []uint32
	plates []outline.Box // that have been placed
	// places are what markers lead to, and leaders the lines to them.
	places  []outline.Point
	leaders [][2]outline.Point
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
	r := &room{view: view, scale: scale, nx: size.Dx(), ny: size.Dy()}
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

// near returns the plates, grown by the clearance, that overlap the box: a load
// can have thousands, and a search for room meets few of them.
func (r *room) near(b outline.Box) []outline.Box {
	var out []outline.Box
	for _, p := range r.plates {
		if p = p.Grow(plateClearance); overlap(p, b) {
			out = append(out, p)
		}
	}
	return out
}

// under returns what the box, grown by the clearance, covers. plates are those
// near it.
func (r *room) under(b outline.Box, plates []outline.Box) ground {
	for _, p := range plates {
		if overlap(p, b) {
			return blocked
		}
	}
	b = b.Grow(plateClearance)
	x0, x1 := int(math.Floor((b.Min.X-r.view.Min.X)*r.scale)), int(math.Ceil((b.Max.X-r.view.Min.X)*r.scale))
	y0, y1 := int(math.Floor((r.view.Max.Y-b.Max.Y)*r.scale)), int(math.Ceil((r.view.Max.Y-b.Min.Y)*r.scale))
	if x0 < 0 || y0 < 0 || x1 > r.nx || y1 > r.ny || x0 >= x1 || y0 >= y1 {
		return blocked
	}
	w := r.nx + 1
	switch sum := r.sums[y1*w+x1] - r.sums[y0*w+x1] - r.sums[y1*w+x0] + r.sums[y0*w+x0]; sum {
	case 0:
		return blank
	case uint32(255 * (x1 - x0) * (y1 - y0)):
		return film
	}
	return blocked
}

// spot is a place for a plate's centre and what it costs to take it.
type spot struct {
	at   outline.Point
	cost float64
	on   ground
}

// spots returns the free centres of a plate of the given half size in a box,
// cheapest first.
func (r *room) spots(in outline.Box, half outline.Point, cost func(outline.Point, ground) float64) []spot {
	var out []spot
	step := 1 / r.scale
	plates := r.near(outline.Box{Min: in.Min.Sub(half), Max: in.Max.Add(half)})
	for y := in.Min.Y; y <= in.Max.Y; y += step {
		for x := in.Min.X; x <= in.Max.X; x += step {
			p := outline.Pt(x, y)
			if g := r.under(outline.Box{Min: p.Sub(half), Max: p.Add(half)}, plates); g != blocked {
				out = append(out, spot{p, cost(p, g), g})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b spot) int { return cmp.Compare(a.cost, b.cost) })
	return out
}

// take keeps later plates off the one at p.
func (r *room) take(p, half outline.Point) {
	r.plates = append(r.plates, outline.Box{Min: p.Sub(half), Max: p.Add(half)})
}

// groundPenalty is by how many millimetres further from a decal's middle its id
// lies rather than beside its film.
const groundPenalty = 15.0

// forID returns where the id of the sheet's i-th decal goes: on its film, where
// that has room, else on the ground in its box; ok is false where there is no
// room at all.
func (r *room) forID(sheet layout.Sheet, i int, half outline.Point) (at outline.Point, ok bool) {
	own := sheet.Decals[i].Path
	b := own.Bounds()
	middle := b.Centre()
	for _, s := range r.spots(b, half, func(p outline.Point, g ground) float64 {
		d := p.Distance(middle)
		if g == blank {
			d += groundPenalty
		}
		return d
	}) {
		if s.on == film && own.Contains(s.at) || s.on == blank && aloneInBox(sheet, i, s.at) {
			return s.at, true
		}
	}
	return middle, false
}

// aloneInBox reports whether p lies in no other decal's box.
func aloneInBox(sheet layout.Sheet, i int, p outline.Point) bool {
	return !slices.ContainsFunc(sheet.Decals, func(d layout.PlacedDecal) bool {
		return d.ID != sheet.Decals[i].ID && d.Path.Bounds().Contains(p)
	})
}

// besideReach is how far from its place a marker may stand, in millimetres.
const besideReach = 48.0

// beside returns where a marker's plate goes: as near to its place as there is
// room, hiding neither places nor lines to them, with a line that runs under no
// other plate; where lines cannot be helped they may be hidden; ok is false
// where there is no room at all.
func (r *room) beside(place, half outline.Point) (at outline.Point, ok bool) {
	nearest := func(p outline.Point, _ ground) float64 { return p.Distance(place) }
	var found []spot
	for reach := besideReach / 4; reach <= besideReach; reach *= 2 {
		in := outline.Box{Min: place, Max: place}.Grow(reach)
		found = r.spots(in, half, nearest)
		near := r.within(outline.Box{Min: in.Min.Sub(half), Max: in.Max.Add(half)}.Grow(plateClearance))
		for _, s := range found {
			if s.cost <= reach && near.clear(place, s.at, half) {
				return s.at, true
			}
		}
	}
	if len(found) > 0 {
		return found[0].at, true
	}
	return place, false
}

// within returns the room with only the plates, places and lines that reach into
// the box.
func (r *room) within(b outline.Box) *room {
	out := &room{}
	for _, p := range r.plates {
		if overlap(p, b) {
			out.plates = append(out.plates, p)
		}
	}
	for _, p := range r.places {
		if b.Contains(p) {
			out.places = append(out.places, p)
		}
	}
	for _, l := range r.leaders {
		if crosses(b, l[0], l[1]) {
			out.leaders = append(out.leaders, l)
		}
	}
	return out
}

// clear reports whether a plate at p hides no marker's place and no line to
// one, and the line from it to place runs under no plate.
func (r *room) clear(place, p, half outline.Point) bool {
	plate := outline.Box{Min: p.Sub(half), Max: p.Add(half)}.Grow(plateClearance / 2)
	for _, q := range r.places {
		if q != place && plate.Contains(q) {
			return false
		}
	}
	for _, l := range r.leaders {
		if crosses(plate, l[0], l[1]) {
			return false
		}
	}
	for _, b := range r.plates {
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
