package convex

// Placed is a shape at a pose: what the exact test looks at.
type Placed struct {
	Points    []Point
	Triangles [][3]int32
	Box       Box
	boxes     []Box
}

// Placed turns the outline about its origin, then shifts it.
func (o *Outline) Placed(x, y, angle float64) *Placed {
	pts := o.Turned(angle)
	for i := range pts {
		pts[i].X += x
		pts[i].Y += y
	}
	p := &Placed{Points: pts, Triangles: o.Triangles, Box: BoxOf(pts), boxes: make([]Box, len(o.Triangles))}
	for i, t := range o.Triangles {
		a, b, c := pts[t[0]], pts[t[1]], pts[t[2]]
		p.boxes[i] = Box{min(a.X, b.X, c.X), min(a.Y, b.Y, c.Y), max(a.X, b.X, c.X), max(a.Y, b.Y, c.Y)}
	}
	return p
}

func (b Box) meets(c Box) bool {
	return b.MinX < c.MaxX && c.MinX < b.MaxX && b.MinY < c.MaxY && c.MinY < b.MaxY
}

// Overlap reports whether the interiors of the two shapes meet, exactly for
// the float64 coordinates. Touching is not overlap.
func Overlap(p, q *Placed) bool {
	if !p.Box.meets(q.Box) {
		return false
	}
	for i, s := range p.Triangles {
		if !p.boxes[i].meets(q.Box) {
			continue
		}
		for j, t := range q.Triangles {
			if p.boxes[i].meets(q.boxes[j]) && trianglesOverlap(p.Points, s, q.Points, t) {
				return true
			}
		}
	}
	return false
}

func trianglesOverlap(p []Point, s [3]int32, q []Point, t [3]int32) bool {
	a := [3]Point{p[s[0]], p[s[1]], p[s[2]]}
	b := [3]Point{q[t[0]], q[t[1]], q[t[2]]}
	if !counterClockwise(&a) || !counterClockwise(&b) {
		return false // no interior left after rounding
	}
	return !separates(&a, &b) && !separates(&b, &a)
}

func counterClockwise(t *[3]Point) bool {
	switch Orient(t[0], t[1], t[2]) {
	case 0:
		return false
	case -1:
		t[1], t[2] = t[2], t[1]
	}
	return true
}

// separates reports whether an edge of a has all of b on its outer side.
func separates(a, b *[3]Point) bool {
	for i := range 3 {
		u, v := a[i], a[(i+1)%3]
		if Orient(u, v, b[0]) <= 0 && Orient(u, v, b[1]) <= 0 && Orient(u, v, b[2]) <= 0 {
			return true
		}
	}
	return false
}
