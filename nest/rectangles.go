package nest

import (
	"context"
	"math"
	"time"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest/internal/rect"
	"github.com/vinylgeom/vinyl/nest/internal/search"
)

// evaluationsPerPass is how many orders of rectangles are looked at for one of Options.Iterations.
const evaluationsPerPass = 10

// isRectangle reports whether the outline is a rectangle with sides along the axes.
func isRectangle(m orb.MultiPolygon) bool {
	if len(m) != 1 || len(m[0]) != 1 {
		return false
	}
	b := m.Bound()
	corners := map[orb.Point]bool{}
	for _, p := range m[0][0] {
		if p[0] != b.Min[0] && p[0] != b.Max[0] || p[1] != b.Min[1] && p[1] != b.Max[1] {
			return false
		}
		corners[p] = true
	}
	n := len(m[0][0])
	if m[0][0][0] == m[0][0][n-1] {
		n--
	}
	return len(corners) == 4 && n == 4
}

// rectangle is how a kind takes part in rectangle packing.
type rectangle struct {
	ok              bool
	rect            rect.Rect
	upright, turned float64 // angles
}

// rectangleOf makes a rectangle, grown by the reach, of a kind that is one.
func (j *job) rectangleOf(k *kind) rectangle {
	if !isRectangle(k.outline) {
		return rectangle{}
	}
	b := k.outline.Bound()
	r := rectangle{ok: true, rect: rect.Rect{W: b.Max[0] - b.Min[0] + 2*j.reach, H: b.Max[1] - b.Min[1] + 2*j.reach}}
	angles := k.angles
	if angles == nil {
		angles = []float64{0, float64(canonicalRadians(math.Pi / 2))}
	}
	for _, a := range angles {
		sin, cos := sinCos(a)
		switch {
		case sin == 0 && !r.rect.Upright:
			r.rect.Upright, r.upright = true, a
		case cos == 0 && !r.rect.Turned:
			r.rect.Turned, r.turned = true, a
		}
	}
	r.ok = r.rect.Upright || r.rect.Turned
	return r
}

// rectangles lists the rectangles of a set of kinds, or reports that not all of them are.
func (j *job) rectangles(kinds []int) ([]rect.Rect, bool) {
	list := make([]rect.Rect, len(kinds))
	for i, k := range kinds {
		if !j.kinds[k].rectangle.ok {
			return nil, false
		}
		list[i] = j.kinds[k].rectangle.rect
	}
	return list, true
}

// rectanglePoses turns a packing into poses of the kinds' shapes.
func (j *job) rectanglePoses(kinds []int, p rect.Packing) []search.Pose {
	poses := make([]search.Pose, len(kinds))
	for i, k := range kinds {
		kd := &j.kinds[k]
		pose := search.Pose{Angle: kd.rectangle.upright}
		if p.Spots[i].Turned {
			pose.Angle = kd.rectangle.turned
		}
		b := posedBound(kd.outline, pose)
		sin, cos := sinCos(pose.Angle)
		pose.X = p.Spots[i].X + j.reach - b.Min[0] + (cos*kd.anchor[0] - sin*kd.anchor[1])
		pose.Y = p.Spots[i].Y + j.reach - b.Min[1] + (sin*kd.anchor[0] + cos*kd.anchor[1])
		poses[i] = pose
	}
	return poses
}

// packRectangles searches for a short packing of rectangles; greatest is a length beyond which none is of use, or +Inf,
// enough one that need not be bettered, or 0.
func (j *job) packRectangles(ctx context.Context, kinds []int, list []rect.Rect, seed uint64, deadline time.Time, evaluations, workers int, greatest, enough float64, improved func([]search.Pose)) ([]search.Pose, bool) {
	o := rect.Options{Seed: seed, Deadline: deadline, Evaluations: evaluations, Workers: workers, Enough: enough}
	if !math.IsInf(greatest, 1) {
		o.Greatest = greatest
	}
	var tell func(rect.Packing)
	if improved != nil {
		tell = func(p rect.Packing) { improved(j.rectanglePoses(kinds, p)) }
	}
	p, _, ok := rect.Pack(ctx, j.width, list, o, tell)
	if !ok {
		return nil, false
	}
	return j.rectanglePoses(kinds, p), true
}
