package order

import (
	"fmt"
	"math"
	"strings"

	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// tapeStrips returns what of a load is taped in one piece: a straight gang
// column by column along the film, an irregular one as a whole, or decal by
// decal where no tape is as wide as the load, and a decal that is wider than
// any tape in lanes.
func (r *runner) tapeStrips(name, way string, load nest.Load) ([]production.Strip, error) {
	var boxes []span
	for _, p := range load.Placements {
		d, ok := r.designOf(p)
		if !ok {
			continue
		}
		b := d.Path.Transform(Placed{Rotation: p.Rotation, X: p.X, Y: p.Y}.transform()).Bounds()
		boxes = append(boxes, span{b.Min.X, b.Max.X, b.Min.Y, b.Max.Y})
	}
	if len(boxes) == 0 {
		return nil, nil
	}
	var groups [][]span
	if way == Straight {
		groups = columns(boxes)
	} else {
		groups = [][]span{boxes}
	}
	var out []production.Strip
	for i, g := range groups {
		s := g[0].union(g[1:])
		strip := production.Strip{Name: fmt.Sprintf("%s, strip %d", name, i+1), Width: units.Length(s.y1 - s.y0), Length: units.Length(s.x1 - s.x0)}
		if strip.Width <= r.order.Shop.widestStrip() {
			out = append(out, strip)
			continue
		}
		for j, b := range g { // the narrower side across the tape
			across, along := units.Length(b.y1-b.y0), units.Length(b.x1-b.x0)
			if across > along {
				across, along = along, across
			}
			out = append(out, r.order.Shop.lanes(production.Strip{Name: fmt.Sprintf("%s, decal %d", name, j+1), Width: across, Length: along})...)
		}
	}
	return out, nil
}

// tapeOverlap is by how much lanes of tape lie on one another over a decal that
// is wider than any tape: common practice, no source.
const tapeOverlap = 10 * units.Millimetre

// widestStrip returns the width of the widest strip that a tape of the shop
// covers with its border.
func (s Shop) widestStrip() units.Length {
	var widest units.Length
	for _, t := range s.tapes() {
		widest = max(widest, t.Width)
	}
	return widest - 2*s.tapeBorder()
}

// lanes returns the strip as it is taped: whole, or where no tape is as wide in
// lanes side by side, each a little over the last.
func (s Shop) lanes(strip production.Strip) []production.Strip {
	widest := s.widestStrip()
	if strip.Width <= widest || widest <= tapeOverlap {
		return []production.Strip{strip}
	}
	n := math.Ceil(float64((strip.Width - tapeOverlap) / (widest - tapeOverlap)))
	lane := strip
	lane.Width = (strip.Width + units.Length(n-1)*tapeOverlap) / units.Length(n)
	var out []production.Strip
	for i := range int(n) {
		lane.Name = fmt.Sprintf("%s, lane %d", strip.Name, i+1)
		out = append(out, lane)
	}
	return out
}

// tape chooses the tape for the strips.
func (s Shop) tape(strips []production.Strip) (production.TapePlan, error) {
	return production.Tape(strips, s.tapes(), s.tapeBorder())
}

// TapeReport is one piece of application tape of a load.
type TapeReport struct {
	Strip    string  `json:"strip"`    // what it covers
	WidthMM  float64 `json:"width_mm"` // of the tape
	LengthMM float64 `json:"length_mm"`
	WasteMM2 float64 `json:"waste_mm2"` // of it, past the strip
}

// tapeOf returns the tape that a load takes.
func (r *Result) tapeOf(l Load) ([]TapeReport, error) {
	strips, err := r.weigher().tapeStrips(l.Sheet.Name, r.way(), l.nested())
	if err != nil {
		return nil, err
	}
	plan, err := r.Order.Shop.tape(strips)
	if err != nil {
		return nil, err
	}
	out := make([]TapeReport, len(plan.Pieces))
	for i, p := range plan.Pieces {
		waste := p.Width.Times(p.Length) - strips[i].Width.Times(strips[i].Length)
		out[i] = TapeReport{p.Strip, figure(float64(p.Width)), figure(float64(p.Length)), figure(float64(waste))}
	}
	return out, nil
}

// tapeWords says what tape is cut off for a load, equal pieces together.
func tapeWords(pieces []TapeReport) string {
	var kinds []string
	count := map[string]int{}
	for _, p := range pieces {
		kind := units.Length(p.WidthMM).Fraction(16) + " tape, " + units.Length(p.LengthMM).Fraction(16) + " long"
		if count[kind] == 0 {
			kinds = append(kinds, kind)
		}
		count[kind]++
	}
	for i, k := range kinds {
		if count[k] > 1 {
			kinds[i] = fmt.Sprintf("%d × %s", count[k], k)
		}
	}
	return strings.Join(kinds, "; ")
}

// span is a box on the sheet: x along the film, y across it.
type span struct{ x0, x1, y0, y1 float64 }

func (s span) union(others []span) span {
	for _, o := range others {
		s = span{min(s.x0, o.x0), max(s.x1, o.x1), min(s.y0, o.y0), max(s.y1, o.y1)}
	}
	return s
}

// columns groups boxes whose extents across the film overlap.
func columns(boxes []span) [][]span {
	var out [][]span
	for _, b := range boxes {
		column := []span{b}
		y0, y1 := b.y0, b.y1
		var rest [][]span
		for _, g := range out {
			u := g[0].union(g[1:])
			if u.y0 < y1 && y0 < u.y1 {
				column = append(column, g...)
				y0, y1 = min(y0, u.y0), max(y1, u.y1)
			} else {
				rest = append(rest, g)
			}
		}
		out = append(rest, column)
	}
	return out
}
