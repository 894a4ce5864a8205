package rowfill

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Area is a strip, or one load of it, that fills up.
type Area struct {
	rowHeight float64
	width     float64
	length    float64 // +Inf for an open strip
	rowY      []float64
	rows      [][]span
	least     map[*Shape][]float64 // per row, an x below which the shape is known not to fit
	full      map[*Shape]bool      // shapes that are known not to fit any more
	lastLeast []float64            // of the shape looked for last
	front     float64              // where the shape put last begins
}

// mostShapes is how many different shapes are looked for from the start of the area on; later ones begin lookBack times
// their width before the place where the one before them was put.
const (
	mostShapes = 1200
	lookBack   = 4
)

// NewArea returns an empty area 0 ≤ x ≤ length, 0 ≤ y ≤ width in rows of the given height, of which the last may reach
// beyond the width.
func NewArea(width, length, rowHeight float64) *Area {
	n := max(1, int(math.Ceil(width/rowHeight)))
	a := &Area{rowHeight: rowHeight, width: width, length: length, rows: make([][]span, n),
		least: map[*Shape][]float64{}, full: map[*Shape]bool{}}
	for i := range n + 1 {
		a.rowY = append(a.rowY, float64(i)*rowHeight)
	}
	return a
}

// Block takes what the outline, grown by pad, covers. It may lie outside the area in part.
func (a *Area) Block(outline orb.MultiPolygon, pad float64) {
	for _, polygon := range outline {
		for k, spans := range grown(orb.MultiPolygon{polygon}, 0, a.rowHeight, len(a.rows), pad) {
			a.rows[k] = joined(append(a.rows[k], spans...))
		}
	}
}

// RowHeight is the height of the area's rows, for NewShape.
func (a *Area) RowHeight() float64 { return a.rowHeight }

// Spot is where a shape fits: its shift, and where it then ends.
type Spot struct {
	X, Y, End float64
	row, n    int
}

// Find returns the spot at which the shape ends furthest to the left, the lowest of several.
func (a *Area) Find(s *Shape) (Spot, bool) {
	best := Spot{End: math.Inf(1)}
	if a.full[s] || s.height() > a.width || s.width() > a.length {
		return best, false
	}
	least := a.least[s]
	if least == nil {
		least = make([]float64, len(a.rows))
		for i := range least {
			least[i] = -s.minX
			if len(a.least) > mostShapes {
				// A walk from the start for every new shape would take too long; one like it did not fit before about there.
				least[i] = max(least[i], min(a.lastLeast[i], a.front)-lookBack*s.width())
			}
		}
		a.least[s] = least
	}
	fits := false
	for row := range a.rows {
		if end := least[row] + s.maxX; end >= best.End || end > a.length {
			fits = fits || end <= a.length
			continue
		}
		y, n, ok := a.lift(s, row)
		if !ok {
			least[row] = math.Inf(1)
			continue
		}
		x := a.slide(s, row, n, least[row], best.End)
		least[row] = x
		if end := x + s.maxX; end <= a.length {
			fits = true
			if end < best.End {
				best = Spot{X: x, Y: y, End: end, row: row, n: n}
			}
		}
	}
	a.lastLeast = least
	if math.IsInf(best.End, 1) {
		if !fits {
			a.full[s] = true
		}
		return best, false
	}
	return best, true
}

// lift returns the shift in y that puts the shape's lowest point on the border of the row, and how many rows it then takes.
func (a *Area) lift(s *Shape, row int) (y float64, n int, ok bool) {
	y = a.rowY[row] - s.minY
	for y+s.minY < a.rowY[row] {
		y = math.Nextafter(y, math.Inf(1))
	}
	top := y + s.maxY
	if top > a.width {
		return 0, 0, false
	}
	n = len(s.rows)
	for row+n < len(a.rows) && top > a.rowY[row+n] {
		n++
	}
	for n > 1 && top <= a.rowY[row+n-1] {
		n--
	}
	return y, min(n, len(a.rows)-row), true
}

// slide returns the least shift x ≥ from at which the shape fits in n rows from row on, or any larger x once the shape
// would end beyond limit.
func (a *Area) slide(s *Shape, row, n int, from, limit float64) float64 {
	x := from
	for again := true; again; {
		again = false
		for k := range n {
			taken := a.rows[row+k]
			if len(taken) == 0 {
				continue
			}
			for _, part := range s.rows[min(k, len(s.rows)-1)] {
				for {
					i := firstEndingAfter(taken, x+part.from)
					if i == len(taken) || taken[i].from >= x+part.to {
						break
					}
					x = taken[i].to - part.from
					for x+part.from < taken[i].to {
						x = math.Nextafter(x, math.Inf(1))
					}
					again = true
				}
			}
			if x+s.maxX >= limit {
				return x
			}
		}
	}
	return x
}

// firstEndingAfter returns the first span that ends after x.
func firstEndingAfter(spans []span, x float64) int {
	lo, hi := 0, len(spans)
	for lo < hi {
		if mid := (lo + hi) / 2; spans[mid].to <= x {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

// Put takes the rows of the shape at the spot that Find returned.
func (a *Area) Put(s *Shape, spot Spot) {
	a.front = spot.X + s.minX
	for k := range spot.n {
		row := a.rows[spot.row+k]
		for _, part := range s.rows[min(k, len(s.rows)-1)] {
			add := span{spot.X + part.from, spot.X + part.to}
			i := firstEndingAfter(row, add.from)
			if i > 0 && row[i-1].to == add.from {
				i--
			}
			j := i
			for j < len(row) && row[j].from <= add.to {
				add = span{min(add.from, row[j].from), max(add.to, row[j].to)}
				j++
			}
			row = slices.Replace(row, i, j, add)
		}
		a.rows[spot.row+k] = row
	}
}
