package rowfill

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// span is a closed interval of x.
type span struct{ from, to float64 }

// Shape is an outline at one rotation, as extents in rows counted from its lowest point.
type Shape struct {
	rows                   [][]span
	minX, maxX, minY, maxY float64
}

// bandSlack widens the band of a row, relative to the row height, so that a vertex that rounding moves across the border
// between two rows is counted in both.
const bandSlack = 1e-7

// spanSlack widens interpolated extents, relative to the size of the coordinates, to cover their rounding. Vertices are
// exact and are not widened.
const spanSlack = 1e-13

// NewShape cuts an outline, grown by pad, into rows of the given height.
func NewShape(outline orb.MultiPolygon, rowHeight, pad float64) *Shape {
	b := outline.Bound()
	s := &Shape{minX: b.Min[0] - pad, maxX: b.Max[0] + pad, minY: b.Min[1] - pad, maxY: b.Max[1] + pad}
	n := max(1, int(math.Ceil((s.maxY-s.minY)/rowHeight)))
	s.rows = grown(outline, s.minY, rowHeight, n, pad)
	return s
}

// reaches are how far a disc of radius 1 reaches along x when its part that is at most so far away along y is looked at: a
// staircase of three steps around the quarter circle.
var reaches = [...]struct{ y, x float64 }{{0.5, 1}, {0.866025403784439, 0.866025403784439}, {1, 0.5}}

// grown is extents of the outline grown by pad, rounded outward.
func grown(outline orb.MultiPolygon, y0, h float64, n int, pad float64) [][]span {
	if pad <= 0 {
		return extents(outline, y0, h, n, 0)
	}
	var rows [][]span
	for _, r := range reaches {
		for k, spans := range extents(outline, y0, h, n, r.y*pad) {
			for i := range spans {
				spans[i].from -= r.x * pad
				spans[i].to += r.x * pad
			}
			if rows == nil {
				rows = make([][]span, n)
			}
			rows[k] = append(rows[k], spans...)
		}
	}
	for k := range rows {
		rows[k] = joined(rows[k])
	}
	return rows
}

// Width and height of the shape's box.
func (s *Shape) width() float64  { return s.maxX - s.minX }
func (s *Shape) height() float64 { return s.maxY - s.minY }

// extents returns the projections on x of the outline's parts in n bands of height h that start at y0, each band widened by
// more on both sides. The projection of what lies in a band is that of the edges in it, joined with the cross-section along
// its lower border.
func extents(outline orb.MultiPolygon, y0, h float64, n int, more float64) [][]span {
	rows := make([][]span, n)
	crossings := make([][]float64, n)
	slack := bandSlack*h + more
	for _, polygon := range outline {
		for _, ring := range polygon {
			for i := range ring {
				a, b := ring[i], ring[(i+1)%len(ring)]
				if a == b {
					continue
				}
				if a[1] > b[1] {
					a, b = b, a
				}
				first := max(0, int(math.Floor((a[1]-slack-y0)/h)))
				last := min(n-1, int(math.Floor((b[1]+slack-y0)/h)))
				for k := first; k <= last; k++ {
					low, high := y0+float64(k)*h-slack, y0+float64(k+1)*h+slack
					x0, inside := at(a, b, max(low, a[1]))
					x1, inside1 := at(a, b, min(high, b[1]))
					if !inside && !inside1 {
						continue
					}
					if a[1] == b[1] {
						x0, x1 = a[0], b[0]
					}
					pad := 0.0
					if low > a[1] || high < b[1] {
						if a[0] != b[0] {
							pad = spanSlack * (math.Abs(a[0]) + math.Abs(b[0]) + math.Abs(a[1]) + math.Abs(b[1]))
						}
					}
					rows[k] = append(rows[k], span{min(x0, x1) - pad, max(x0, x1) + pad})
					if a[1] <= low && b[1] > low {
						x, _ := at(a, b, low)
						crossings[k] = append(crossings[k], x)
					}
				}
			}
		}
	}
	for k := range rows {
		slices.Sort(crossings[k])
		for i := 0; i+1 < len(crossings[k]); i += 2 {
			rows[k] = append(rows[k], span{crossings[k][i], crossings[k][i+1]})
		}
		rows[k] = joined(rows[k])
	}
	return rows
}

// at is the x of the edge ab, a below b, at height y, and whether y is within the edge.
func at(a, b orb.Point, y float64) (float64, bool) {
	switch {
	case y <= a[1]:
		return a[0], y == a[1]
	case y >= b[1]:
		return b[0], y == b[1]
	}
	t := (y - a[1]) / (b[1] - a[1])
	return a[0] + t*(b[0]-a[0]), true
}

// joined sorts spans and joins those that touch.
func joined(spans []span) []span {
	if len(spans) == 0 {
		return nil
	}
	slices.SortFunc(spans, func(a, b span) int {
		switch {
		case a.from < b.from:
			return -1
		case a.from > b.from:
			return 1
		}
		return 0
	})
	out := spans[:1]
	for _, s := range spans[1:] {
		if last := &out[len(out)-1]; s.from <= last.to {
			last.to = max(last.to, s.to)
		} else {
			out = append(out, s)
		}
	}
	return out
}
