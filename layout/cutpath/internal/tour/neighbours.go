package tour

import (
	"math"
	"sort"

	"github.com/vinylgeom/vinyl/outline"
)

// grid sorts points into square cells, about two to a cell.
type grid struct {
	points     []outline.Point
	cell       float64
	min        outline.Point
	cols, rows int
	start      []int32 // of each cell in items
	items      []int32
	live       []int32 // number of items of each cell not yet removed; they stand first
}

func newGrid(points []outline.Point) *grid {
	b := outline.EmptyBox()
	for _, p := range points {
		b.Min.X, b.Min.Y = min(b.Min.X, p.X), min(b.Min.Y, p.Y)
		b.Max.X, b.Max.Y = max(b.Max.X, p.X), max(b.Max.Y, p.Y)
	}
	g := &grid{points: points, min: b.Min, cols: 1, rows: 1, cell: 1}
	w, h := b.Width(), b.Height()
	if n := float64(len(points)); n > 0 && w+h > 0 {
		g.cell = math.Max(math.Sqrt(w*h*2/n), (w+h)/n)
		g.cols, g.rows = int(w/g.cell)+1, int(h/g.cell)+1
	}
	count := make([]int32, g.cols*g.rows+1)
	for _, p := range points {
		count[g.index(p)+1]++
	}
	for i := 1; i < len(count); i++ {
		count[i] += count[i-1]
	}
	g.start = count
	g.items = make([]int32, len(points))
	g.live = make([]int32, g.cols*g.rows)
	for i, p := range points {
		c := g.index(p)
		g.items[g.start[c]+g.live[c]] = int32(i)
		g.live[c]++
	}
	return g
}

func (g *grid) cellOf(p outline.Point) (x, y int) {
	x = min(max(int((p.X-g.min.X)/g.cell), 0), g.cols-1)
	y = min(max(int((p.Y-g.min.Y)/g.cell), 0), g.rows-1)
	return x, y
}

func (g *grid) index(p outline.Point) int {
	x, y := g.cellOf(p)
	return y*g.cols + x
}

// remove takes point i out of later searches.
func (g *grid) remove(i int) {
	c := g.index(g.points[i])
	s := g.start[c]
	for k := range g.live[c] {
		if g.items[s+k] == int32(i) {
			g.live[c]--
			g.items[s+k], g.items[s+g.live[c]] = g.items[s+g.live[c]], g.items[s+k]
			return
		}
	}
}

// ring calls visit for each live point in the cells at distance r (in cells)
// round p's; it reports whether any such cell exists.
func (g *grid) ring(p outline.Point, r int, visit func(i int)) bool {
	cx, cy := g.cellOf(p)
	any := false
	row := func(y, x0, x1 int) {
		if y < 0 || y >= g.rows {
			return
		}
		for x := max(x0, 0); x <= min(x1, g.cols-1); x++ {
			any = true
			c := y*g.cols + x
			s := g.start[c]
			for k := range g.live[c] {
				visit(int(g.items[s+k]))
			}
		}
	}
	if r == 0 {
		row(cy, cx, cx)
		return any
	}
	row(cy-r, cx-r, cx+r)
	row(cy+r, cx-r, cx+r)
	for y := cy - r + 1; y < cy+r; y++ {
		row(y, cx-r, cx-r)
		row(y, cx+r, cx+r)
	}
	return any
}

// nearest returns the live point nearest to p that ok accepts, or -1. Of equal
// ones the lowest index wins.
func (g *grid) nearest(p outline.Point, ok func(i int) bool) int {
	best, bestD := -1, math.Inf(1)
	// p may lie outside the grid, where a ring is further off than its number.
	cx, cy := g.cellOf(p)
	outside := math.Hypot(
		math.Max(0, math.Max(g.min.X+float64(cx)*g.cell-p.X, p.X-g.min.X-float64(cx+1)*g.cell)),
		math.Max(0, math.Max(g.min.Y+float64(cy)*g.cell-p.Y, p.Y-g.min.Y-float64(cy+1)*g.cell)))
	for r := 0; ; r++ {
		any := g.ring(p, r, func(i int) {
			d := p.Distance(g.points[i])
			if (d < bestD || (d == bestD && i < best)) && ok(i) {
				best, bestD = i, d
			}
		})
		// All of ring r+1 is at least r cells away from p's own cell's border.
		if best >= 0 && bestD <= float64(r)*g.cell-outside {
			return best
		}
		if !any && r > max(g.cols, g.rows) {
			return best
		}
	}
}

// maxOutlook is the number of a stop's places that neighbours are looked for
// from: enough to see all round a contour.
const maxOutlook = 4

// outlook appends the points from which stop i sees its neighbours.
func (p *Problem) outlook(points []outline.Point, i int) []outline.Point {
	switch {
	case p.B[i] != p.A[i]:
		return append(points, p.A[i], p.B[i])
	case p.Places != nil && len(p.Places[i]) > 1:
		n := min(len(p.Places[i]), maxOutlook)
		for k := range n {
			points = append(points, p.Places[i][k*len(p.Places[i])/n])
		}
		return points
	}
	return append(points, p.A[i])
}

// neighbours returns for each stop up to k stops near it, nearest first; up to
// twice as many where it has two ends.
func neighbours(p *Problem, k int) [][]int32 {
	n := len(p.A)
	points := make([]outline.Point, 0, 2*n)
	owner := make([]int32, 0, 2*n)
	first := make([]int, n+1)
	for i := range n {
		first[i] = len(points)
		points = p.outlook(points, i)
		for len(owner) < len(points) {
			owner = append(owner, int32(i))
		}
	}
	first[n] = len(points)
	g := newGrid(points)
	type near struct {
		stop int32
		d    float64
	}
	lists := make([][]int32, n)
	store := make([]int32, 0, n*k)
	var found []near
	for i := range n {
		ends := points[first[i]:first[i+1]]
		want := k
		if p.A[i] != p.B[i] {
			want = 2 * k
		}
		found = found[:0]
		for _, e := range ends {
			from := len(found)
			for r := 0; ; r++ {
				any := g.ring(e, r, func(j int) {
					if owner[j] != int32(i) {
						found = append(found, near{owner[j], e.Distance(points[j])})
					}
				})
				// Points beyond ring r are at least r cells away.
				within := 0
				for _, f := range found[from:] {
					if f.d <= float64(r)*g.cell {
						within++
					}
				}
				if within >= k || (!any && r > max(g.cols, g.rows)) {
					break
				}
			}
		}
		sort.Slice(found, func(a, b int) bool {
			if found[a].d != found[b].d {
				return found[a].d < found[b].d
			}
			return found[a].stop < found[b].stop
		})
		from := len(store)
	next:
		for _, f := range found {
			if len(store)-from == want {
				break
			}
			for _, s := range store[from:] {
				if s == f.stop {
					continue next
				}
			}
			store = append(store, f.stop)
		}
		lists[i] = store[from:len(store):len(store)]
	}
	return lists
}
