package outline

import (
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/units"
)

// cornerTurn is the turn from which a node of a polyline counts as a corner that
// [Simplify] and [Fit] keep: 35° tells a drawn corner from the chords of a curve.
const cornerTurn = 35 * units.Degree

// Simplify returns p with fewer nodes, every border within tolerance (zero:
// [DefaultTolerance]) of what it was. Runs of short segments become lines and
// cubics; corners stay, as does the place where one origin follows another.
// Borders that pass each other closer than twice the tolerance may cross in the
// result: weld it. Errors are a [*PathError] for p and an [*OptionError] for the
// tolerance. p is not modified.
func Simplify(p Path, tolerance units.Length) (Path, error) {
	if err := checkInput("simplify", p, tolerance); err != nil {
		return nil, err
	}
	tol := float64(orDefault(tolerance))
	q := make(Path, 0, len(p))
	for _, c := range p {
		q = append(q, simplifyContour(c, tol))
	}
	return q, nil
}

func checkInput(op string, p Path, tolerance units.Length) error {
	if err := checkTolerance(op, tolerance); err != nil {
		return err
	}
	return p.check(op)
}

// simplifyContour fits the stretches between corners anew, and keeps what was
// where that takes no more nodes.
func simplifyContour(c Contour, tolerance float64) Contour {
	n := len(c.Segments)
	if n < 3 {
		return c
	}
	starts := make([]Point, n)
	at := c.Start
	for i, s := range c.Segments {
		starts[i], at = at, s.End
	}
	isCorner := func(i int) bool {
		a, b := (i+n-1)%n, i
		in := c.Segments[a].Direction(starts[a], 1)
		out := c.Segments[b].Direction(starts[b], 0)
		return c.Segments[a].Origin != c.Segments[b].Origin ||
			math.Abs(math.Atan2(in.Cross(out), in.Dot(out))) > cornerTurn.Radians()
	}
	first := 0
	for i := range n {
		if isCorner(i) {
			first = i
			break
		}
	}
	out := Contour{Start: starts[first]}
	for i := 0; i < n; {
		j := i + 1
		for j < n && !isCorner((first+j)%n) {
			j++
		}
		stretch := Curve{Start: starts[(first+i)%n]}
		for k := i; k < j; k++ {
			stretch.Segments = append(stretch.Segments, c.Segments[(first+k)%n])
		}
		points := stretch.Flatten(nil, units.Length(tolerance/4))
		fitted := fitCurve(points, tolerance/2, stretch.Segments[0].Origin)
		if len(fitted) >= len(stretch.Segments) {
			fitted = stretch.Segments
		}
		out.Segments = append(out.Segments, fitted...)
		i = j
	}
	return out
}

// Fit returns a curve of lines and cubics through points, within tolerance (zero:
// [DefaultTolerance]) of the polyline. It starts and ends with the first and last
// point and keeps corners, where the polyline turns by 35° or more. Repeated
// points count once; one point alone gives a curve without segments. Errors are a
// [*PathError] for points that are none or not finite and an [*OptionError] for the
// tolerance.
func Fit(points []Point, tolerance units.Length) (Curve, error) {
	if err := checkTolerance("fit", tolerance); err != nil {
		return Curve{}, err
	}
	var clean []Point
	for i, p := range points {
		if !p.IsFinite() {
			return Curve{}, &PathError{"fit", 0, i, p, ErrNotFinite, "give every point a finite position"}
		}
		if len(clean) == 0 || clean[len(clean)-1] != p {
			clean = append(clean, p)
		}
	}
	if len(clean) == 0 {
		return Curve{}, &PathError{"fit", -1, -1, Point{}, ErrTooFewPoints, "give at least one point"}
	}
	tol := float64(orDefault(tolerance))
	c := Curve{Start: clean[0]}
	for i := 0; i < len(clean)-1; {
		j := i + 1
		for j < len(clean)-1 {
			in, out := clean[j].Sub(clean[j-1]), clean[j+1].Sub(clean[j])
			if math.Abs(math.Atan2(in.Cross(out), in.Dot(out))) > cornerTurn.Radians() {
				break
			}
			j++
		}
		c.Segments = append(c.Segments, fitCurve(clean[i:j+1], tol, 0)...)
		i = j
	}
	return c, nil
}

// fitCurve fits lines and cubics to a polyline without corners.
func fitCurve(points []Point, tolerance float64, origin int32) []Segment {
	n := len(points)
	if n < 2 {
		return nil
	}
	return fitRange(nil, points, endTangent(points), endTangent(reversedPoints(points)), tolerance, origin)
}

func reversedPoints(points []Point) []Point {
	r := make([]Point, len(points))
	for i, p := range points {
		r[len(points)-1-i] = p
	}
	return r
}

// endTangent estimates the tangent at the first point from the parabola through
// the first three.
func endTangent(points []Point) Point {
	slope := points[1].Sub(points[0])
	if len(points) > 2 {
		a, b := slope, points[2].Sub(points[1])
		if la, lb := a.Norm(), b.Norm(); la > 0 && lb > 0 {
			// By chord length: twice the first slope less that of both.
			slope = a.Mul(2 / la).Sub(a.Add(b).Mul(1 / (la + lb)))
		}
	}
	t, _ := slope.unit()
	return t
}

// fitRange fits points, with tangents into the curve at both ends, and divides
// where one piece does not do.
func fitRange(out []Segment, points []Point, t0, t1 Point, tolerance float64, origin int32) []Segment {
	n := len(points)
	a, b := points[0], points[n-1]
	inner := points[1 : n-1]
	if a != b && fitsLine(a, b, inner, tolerance) || n == 2 {
		return append(out, Segment{End: b, Origin: origin})
	}
	if seg, ts, ok := fitHermite(a, b, t0, t1.Mul(-1), withMiddles(points), tolerance); ok && hugs(seg, points, ts, tolerance) {
		seg.Origin = origin
		return append(out, seg)
	}
	// Divide in the middle of the length: the error is often spread evenly.
	var total, sum float64
	for i := 1; i < n; i++ {
		total += points[i].Distance(points[i-1])
	}
	m := 1
	for m = 1; m < n-2; m++ {
		if sum += points[m].Distance(points[m-1]); sum >= total/2 {
			break
		}
	}
	t, ok := points[m+1].Sub(points[m-1]).unit()
	if !ok {
		t, _ = points[m+1].Sub(points[m]).unit()
	}
	out = fitRange(out, points[:m+1], t0, t.Mul(-1), tolerance, origin)
	return fitRange(out, points[m:], t, t1, tolerance, origin)
}

// hugShare is the share of the tolerance that the samples of a cubic may use up;
// between them it can be a little further away.
const hugShare = 0.95

// hugs reports whether the cubic from points[0] stays within tolerance of the
// polyline, also between the places ts that are nearest to [withMiddles] of it.
func hugs(s Segment, points []Point, ts []float64, tolerance float64) bool {
	t0 := 0.0
	for k := range len(ts) + 1 {
		t1 := 1.0
		if k < len(ts) {
			t1 = ts[k]
		}
		edge := k / 2 // each has its two halves
		first, last := max(0, edge-1), min(len(points)-2, edge+1)
		for _, share := range [...]float64{0.25, 0.5, 0.75} {
			q, near := s.At(points[0], t0+(t1-t0)*share), math.Inf(1)
			for e := first; e <= last; e++ {
				near = math.Min(near, q.DistanceToLine(points[e], points[e+1]))
			}
			if near > tolerance*hugShare {
				return false
			}
		}
		t0 = t1
	}
	return true
}

// withMiddles returns the inner points and the middles of all edges, so that a
// fit does not bulge between points that lie far apart.
func withMiddles(points []Point) []Point {
	out := make([]Point, 0, 2*len(points))
	for i := 1; i < len(points); i++ {
		out = append(out, points[i-1].Lerp(points[i], 0.5))
		if i < len(points)-1 {
			out = append(out, points[i])
		}
	}
	return out
}

// MergeNodes returns p without what adds nothing to its border: segments of no
// length, and nodes between two lines that go straight on within tolerance (zero:
// [DefaultTolerance]). Lines of different origin stay apart, curves stay as they
// are: [Simplify] fits them anew. Errors are a [*PathError] for p and an
// [*OptionError] for the tolerance. p is not modified.
func MergeNodes(p Path, tolerance units.Length) (Path, error) {
	if err := checkInput("merge nodes", p, tolerance); err != nil {
		return nil, err
	}
	tol := float64(orDefault(tolerance))
	q := make(Path, 0, len(p))
	for _, c := range p {
		out := Contour{Start: c.Start}
		at := c.Start
		var skipped, leading []Point // nodes that the last line leaves out, and the first
		lineStart := c.Start
		for _, s := range c.Segments {
			if s.End == at && (s.Kind == Line || s.C1 == at && (s.Kind == Quad || s.C2 == at)) {
				continue
			}
			k := len(out.Segments) - 1
			if k >= 0 && s.Kind == Line && out.Segments[k].Kind == Line && out.Segments[k].Origin == s.Origin &&
				s.End != lineStart && fitsLine(lineStart, s.End, append(skipped, at), tol) {
				skipped = append(skipped, at)
				if k == 0 {
					leading = append(leading, at)
				}
				out.Segments[k].End = s.End
			} else {
				out.Segments = append(out.Segments, s)
				skipped, lineStart = skipped[:0], at
			}
			at = s.End
		}
		// The start may lie in the middle of a line.
		if k := len(out.Segments) - 1; k > 1 {
			a, b := out.Segments[k], out.Segments[0]
			if a.Kind == Line && b.Kind == Line && a.Origin == b.Origin {
				from := out.Segments[k-1].End
				if from != b.End && fitsLine(from, b.End, slices.Concat(skipped, []Point{out.Start}, leading), tol) {
					out.Start = from
					out.Segments = out.Segments[:k]
				}
			}
		}
		q = append(q, out)
	}
	return q, nil
}

// DropSpecks returns p without the contours that enclose less than minArea, and
// how many they are: islands too small to stick and counters too small to pick.
// What lies inside a dropped contour stays. p is not modified.
func DropSpecks(p Path, minArea units.Area) (kept Path, dropped int) {
	for _, c := range p {
		if math.Abs(float64(c.Area())) < float64(minArea) {
			dropped++
			continue
		}
		kept = append(kept, c)
	}
	return kept, dropped
}
