package cutpath

import (
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// knifeWay leads the axis of one knife from stroke to stroke. The tip trails
// the axis by d and moves only the way the blade points; so while the tip is at
// T with unit tangent t, the axis is at T + d·t. On a circle of radius r that
// is a circle of radius √(r²+d²). At a corner the tip stays and the axis swings
// about it, on an arc of radius d.
type knifeWay struct {
	device  Device
	d       float64
	tol     float64
	corner  float64 // radians
	step    float64 // greatest turn between two points of the axis's way
	heading outline.Point
	out     []outline.Curve
	now     outline.Curve // the part being made
}

// maxStep bounds the turn between two points of the axis's way in radians,
// where a small offset would allow coarser ones.
const maxStep = math.Pi / 12

// maxHalvings bounds how often a segment is halved to follow it.
const maxHalvings = 14

func newKnifeWay(d Device) *knifeWay {
	w := &knifeWay{device: d, d: float64(d.Knife.Offset), tol: float64(d.Tolerance), corner: float64(d.Knife.CornerAngle), step: maxStep}
	sin, cos := math.Sincos(d.Knife.Heading.Radians())
	w.heading = outline.Pt(cos, sin)
	if w.d > w.tol {
		// A chord over the angle s lies d·(1 − cos(s/2)) inside the arc; half
		// the tolerance is for it, half for the chords of the artwork.
		w.step = math.Min(maxStep, 2*math.Acos(1-w.tol/(2*w.d)))
	}
	return w
}

// stroke returns the axis's way for one stroke: one part, or more where the
// knife is lifted at corners.
func (w *knifeWay) stroke(sheet string, s Stroke) ([]outline.Curve, error) {
	tip := s.Curve
	if !moves(tip) {
		return nil, strokeError("compensate", sheet, s, tip.Start, ErrNoLength, "", "leave it out")
	}
	fail := func(detail, fix string) ([]outline.Curve, error) {
		return nil, strokeError("compensate", sheet, s, s.Curve.Start, ErrTooSmall, detail, fix)
	}
	if s.Closed {
		if over := float64(w.device.Knife.Overcut); over > 0 {
			if length := curveLength(tip); over > length {
				return fail(fmt.Sprintf("the overcut of %v is longer than the contour, %.3f mm", w.device.Knife.Overcut, length), "use a shorter overcut, or leave the contour out")
			}
			tip = withOvercut(tip, over)
		}
	}
	if w.d == 0 {
		return []outline.Curve{tip}, nil
	}
	if s.Closed {
		// A shape that fits between tip and axis is spun, not cut.
		if b := s.Curve.Bounds(); math.Max(b.Width(), b.Height()) < 2*w.d {
			return fail(fmt.Sprintf("it is %.3f by %.3f mm, and the blade offset is %v", b.Width(), b.Height(), w.device.Knife.Offset), "use a blade with less offset, enlarge the shape, or leave it out")
		}
	}
	w.out, w.now = nil, outline.Curve{}
	first := true
	at := tip.Start
	var dir outline.Point // the tip's, at the end of what has been made
	for _, g := range tip.Segments {
		if len(w.now.Segments) > MaxNodes {
			return nil, tooLarge("compensate", sheet, fmt.Sprintf("%v %s has more than %d nodes within a tolerance of %v", s.Role, s.ID, MaxNodes, w.device.Tolerance))
		}
		leave := tangentAt(at, g, 0)
		if leave == (outline.Point{}) {
			continue // no length
		}
		if first {
			w.begin(at, leave)
			first = false
		} else {
			w.turn(at, dir, leave)
		}
		if g.Kind == outline.Line {
			w.now.Segments = append(w.now.Segments, outline.LineTo(w.axis(g.End, leave)))
			dir = leave
		} else {
			dir = w.follow(at, g, 0, 1, leave, tangentAt(at, g, 1), 0)
		}
		at = g.End
	}
	w.heading = dir
	w.out = append(w.out, w.now)
	return w.out, nil
}

// moves reports whether the curve leads anywhere.
func moves(c outline.Curve) bool {
	at := c.Start
	for _, g := range c.Segments {
		if tangentAt(at, g, 0) != (outline.Point{}) {
			return true
		}
		at = g.End
	}
	return false
}

// axis returns where the axis is while the tip is at p and heads along t.
func (w *knifeWay) axis(p, t outline.Point) outline.Point { return p.Add(t.Mul(w.d)) }

// begin puts the knife down with its tip at p and turns it to t. A blade that
// swivels freely still points the way it did when it was lifted, so the axis
// comes down that way and swings round the start.
func (w *knifeWay) begin(p, t outline.Point) {
	if w.device.Knife.Sharp == LiftAndTurn {
		w.heading = t
	}
	w.now = outline.Curve{Start: w.axis(p, w.heading)}
	w.swing(p, w.heading, t)
}

// turn brings the knife round the corner at p.
func (w *knifeWay) turn(p, from, to outline.Point) {
	angle := math.Abs(turnBetween(from, to))
	if w.device.Knife.Sharp == LiftAndTurn && angle >= float64(w.device.Knife.LiftAngle) {
		w.out = append(w.out, w.now)
		w.now = outline.Curve{Start: w.axis(p, to)}
		return
	}
	w.swing(p, from, to)
}

// swing appends the arc of the axis about p.
func (w *knifeWay) swing(p, from, to outline.Point) {
	angle := turnBetween(from, to)
	if angle == 0 {
		return
	}
	n := 1
	if math.Abs(angle) >= w.corner {
		n = int(math.Ceil(math.Abs(angle) / w.step))
	}
	for i := 1; i < n; i++ {
		sin, cos := math.Sincos(angle * float64(i) / float64(n))
		t := outline.Pt(from.X*cos-from.Y*sin, from.X*sin+from.Y*cos)
		w.now.Segments = append(w.now.Segments, outline.LineTo(w.axis(p, t)))
	}
	w.now.Segments = append(w.now.Segments, outline.LineTo(w.axis(p, to)))
}

// follow appends the axis's way along the curve g from t0 to t1, where the tip
// has the tangents v0 and v1, and returns the last one.
func (w *knifeWay) follow(start outline.Point, g outline.Segment, t0, t1 float64, v0, v1 outline.Point, depth int) outline.Point {
	mid := (t0 + t1) / 2
	vm := tangentAt(start, g, mid)
	if vm == (outline.Point{}) {
		vm = v0
	}
	// The first halvings are made unseen: a curve may come back to its chord.
	split := depth < 2
	if !split && depth < maxHalvings {
		a, b, m := w.axis(g.At(start, t0), v0), w.axis(g.At(start, t1), v1), w.axis(g.At(start, mid), vm)
		split = m.DistanceToLine(a, b) > w.tol/2 || math.Abs(turnBetween(v0, vm)) > w.step || math.Abs(turnBetween(vm, v1)) > w.step
	}
	if split {
		vm = w.follow(start, g, t0, mid, v0, vm, depth+1)
		return w.follow(start, g, mid, t1, vm, v1, depth+1)
	}
	p := g.At(start, t1)
	if math.Abs(turnBetween(v0, v1)) > 2*w.step {
		w.swing(p, v0, v1) // a cusp
	} else {
		w.now.Segments = append(w.now.Segments, outline.LineTo(w.axis(p, v1)))
	}
	return v1
}

// turnBetween returns the angle from a to b, -π to π, positive to the left.
func turnBetween(a, b outline.Point) float64 { return math.Atan2(a.Cross(b), a.Dot(b)) }

// withOvercut returns the closed curve run on past its start by the given
// length, which is at most its own.
func withOvercut(c outline.Curve, length float64) outline.Curve {
	out := outline.Curve{Start: c.Start, Segments: append([]outline.Segment{}, c.Segments...)}
	at := c.Start
	for _, s := range c.Segments {
		l := segmentLength(at, s, 0, 1)
		if l >= length {
			if l == length {
				return outline.Curve{Start: out.Start, Segments: append(out.Segments, s)}
			}
			part, _ := s.Split(at, paramAt(at, s, length))
			out.Segments = append(out.Segments, part)
			return out
		}
		out.Segments = append(out.Segments, s)
		length -= l
		at = s.End
	}
	return out
}
