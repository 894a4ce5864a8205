package region

import "math"

const (
	// nearBorderCells: a node whose depth by the half-planes is less, in cells,
	// starts the march inwards; so no border is missed, for a cell's corner is at
	// most its diagonal from any border inside the cell.
	nearBorderCells = 1.5
	// insideCells: a cell whose corners are all deeper than this, in cells, has
	// no border in it.
	insideCells = 1.6
	// marches over the grid, each from its four corners.
	marches = 2
	// leastInside is the least depth, in cells, told for a cell wholly inside.
	leastInside = 0.05
)

// measure fills in the depths. Near the border they come from the half-planes;
// from there inwards the eikonal equation |grad depth| = 1 is solved by sweeps
// (H. Zhao, A fast sweeping method for eikonal equations, Mathematics of
// Computation 74, 2005).
func (r *Region) measure(size float64) {
	w, h := int(r.nx)+1, int(r.ny)+1
	u := make([]float64, w*h)
	fixed := make([]bool, w*h)
	for y := range h {
		for x := range w {
			at := y*w + x
			u[at] = math.Inf(1)
			if x == 0 || y == 0 || x == w-1 || y == h-1 {
				u[at], fixed[at] = 0, true
			}
			px, py := r.Box.MinX+float64(x)*size, r.Box.MinY+float64(y)*size
			deepest := math.Inf(-1)
			for k := range 4 {
				cx, cy := x-k&1, y-k>>1
				if cx < 0 || cy < 0 || cx == w-1 || cy == h-1 {
					continue
				}
				switch list := r.cells[cy*(w-1)+cx].list; list {
				case cellOutside:
					u[at], fixed[at] = 0, true
				case cellInside:
				default:
					deepest = max(deepest, r.signed(list, px, py))
				}
			}
			if !fixed[at] && !math.IsInf(deepest, -1) && deepest < nearBorderCells*size {
				u[at], fixed[at] = max(0, deepest), true
			}
		}
	}
	march(u, fixed, w, h, size)
	for y := range int(r.ny) {
		for x := range int(r.nx) {
			c := &r.cells[y*int(r.nx)+x]
			at := y*w + x
			v := [4]float64{u[at], u[at+1], u[at+w], u[at+w+1]}
			if c.list >= 0 {
				if min(v[0], v[1], v[2], v[3]) > insideCells*size {
					c.list = cellInside // the parts cover it together
				} else {
					for k := range v {
						v[k] = r.signed(c.list, r.Box.MinX+float64(x+k&1)*size, r.Box.MinY+float64(y+k>>1)*size)
					}
				}
			}
			if c.list == cellOutside {
				continue
			}
			c.mid = float32((v[0] + v[1] + v[2] + v[3]) / 4)
			c.gx = float32((v[1] + v[3] - v[0] - v[2]) / 2)
			c.gy = float32((v[2] + v[3] - v[0] - v[1]) / 2)
			if c.list == cellInside {
				// nowhere in the cell may the slope bring it to 0
				c.mid = max(c.mid, (abs(c.gx)+abs(c.gy))/2+float32(size)*leastInside)
			}
		}
	}
}

// march solves for the nodes that are not fixed.
func march(u []float64, fixed []bool, w, h int, size float64) {
	node := func(x, y int) {
		at := y*w + x
		if fixed[at] {
			return
		}
		a, b := min(u[at-1], u[at+1]), min(u[at-w], u[at+w])
		if a > b {
			a, b = b, a
		}
		if math.IsInf(a, 1) {
			return
		}
		d := a + size
		if b-a < size {
			d = (a + b + math.Sqrt(2*size*size-(a-b)*(a-b))) / 2
		}
		u[at] = min(u[at], d)
	}
	for range marches {
		for corner := range 4 {
			for j := 1; j < h-1; j++ {
				y := j
				if corner&2 != 0 {
					y = h - 1 - j
				}
				for i := 1; i < w-1; i++ {
					if corner&1 != 0 {
						node(w-1-i, y)
					} else {
						node(i, y)
					}
				}
			}
		}
	}
}

func abs(v float32) float32 {
	if v < 0 {
		return -v
	}
	return v
}

// signed is the depth by the planes of a cell's list, negative outside.
func (r *Region) signed(i int32, x, y float64) float64 {
	best, least := math.Inf(-1), math.Inf(1)
	for ; ; i++ {
		p := &r.planes[i]
		least = min(least, p.d-p.nx*x-p.ny*y)
		if p.mark == middleOfPart {
			continue
		}
		best = max(best, least)
		if p.mark == endOfCell {
			return best
		}
		least = math.Inf(1)
	}
}

// draw fills the sketch.
func (r *Region) draw(w, h float64) {
	var d [SketchSide * SketchSide]float64
	most := 0.0
	for i := range d {
		x, y := float64(i%SketchSide)+0.5, float64(i/SketchSide)+0.5
		d[i] = r.Depth(r.Box.MinX+x*w/SketchSide, r.Box.MinY+y*h/SketchSide)
		most = max(most, d[i])
	}
	r.SketchUnit = most / math.MaxUint8
	for i, v := range d {
		if v > 0 {
			r.Sketch[i] = uint8(max(1, math.Round(v/r.SketchUnit)))
		}
	}
}
