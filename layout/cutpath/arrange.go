package cutpath

import (
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Repeat returns the job cut n times along the film, each copy pitch further
// on, the first where it is; each is finished before the next. The load grows
// by (n-1) times the pitch. j is not modified. The error is an [*Error]: it
// wraps [ErrInvalidOption], or [ErrTooLarge] where there would be more than
// [MaxStrokes] or [MaxNodes].
func (j Job) Repeat(n int, pitch units.Length) (Job, error) {
	if n < 1 || n > MaxCopies || !(pitch > 0 && pitch <= maxPitch) {
		return Job{}, optionError("repeat", fmt.Sprintf("%d copies, pitch %v", n, pitch), fmt.Sprintf("ask for 1 to %d copies and a pitch above zero, 1 km at most", MaxCopies))
	}
	if err := checkSize("repeat", j.Name, n*len(j.Strokes), n*nodes(j.Strokes)); err != nil {
		return Job{}, err
	}
	out := j
	out.Strokes = make([]Stroke, 0, n*len(j.Strokes))
	out.places = nil
	for i := range n {
		t := outline.Translate(outline.Pt(float64(pitch)*float64(i), 0))
		for _, s := range j.Strokes {
			if i > 0 {
				s.Curve = s.Curve.Transform(t)
			}
			out.Strokes = append(out.Strokes, s)
		}
	}
	if out.Length > 0 {
		out.Length += units.Length(n-1) * pitch
	}
	return out, nil
}

// MaxCopies bounds the copies of [Job.Repeat] and the parts of [Job.Split].
const MaxCopies = 10_000

// maxPitch is longer than any roll.
const maxPitch = units.Length(1e6)

// Split parts the job across the film into jobs of the given length, for
// machines whose coordinates end there: the classic limit of HP-GL is
// 819.175 mm. Each part has its own origin, a whole number of lengths along the
// film, and a name that ends in its number; the film is moved on by the length
// between them. Strokes that cross a border are cut in two there and keep
// their order within their part. Without such, there is one part. j is not
// modified. The error is an [*Error]: [ErrInvalidOption] for the length,
// [ErrRange] where cuts lie before x = 0 or beyond [MaxCopies] parts,
// [ErrTooLarge] where the pieces would have more than [MaxNodes].
func (j Job) Split(length units.Length) ([]Job, error) {
	l := float64(length)
	if !(l > 0) || math.IsInf(l, 0) {
		return nil, optionError("split", fmt.Sprintf("length %v", length), "give a length above zero")
	}
	b := j.Bounds()
	if b.IsEmpty() {
		return []Job{j}, nil
	}
	if !(b.Min.X >= 0) || !(b.Max.X/l <= MaxCopies) {
		return nil, &Error{Op: "split", Sheet: j.Name, Contour: -1, Cause: ErrRange, Detail: fmt.Sprintf("cuts from x = %.3f to %.3f mm, parts of %v", b.Min.X, b.Max.X, length), Fix: "begin at x = 0, and make at most 10,000 parts"}
	}
	n := int(cell(b.Max.X, l)) + 1
	if n > 1 && float64(n-1)*l == b.Max.X { // it ends on the border
		n--
	}
	if n == 1 {
		return []Job{j}, nil
	}
	parts := make([]Job, n)
	for i := range parts {
		parts[i] = j
		parts[i].Strokes, parts[i].places = nil, nil
		parts[i].Name = fmt.Sprintf("%s-%d", j.Name, i+1)
		parts[i].Description = fmt.Sprintf("part %d of %d, from %.3f mm along the film", i+1, n, float64(i)*l)
		if j.Length > 0 {
			parts[i].Length = max(0, min(length, j.Length-units.Length(i)*length))
		}
	}
	left := MaxNodes
	for _, s := range j.Strokes {
		pieces, ok := piecesAt(s, l, left)
		if !ok {
			return nil, tooLarge("split", j.Name, fmt.Sprintf("more than %d nodes", MaxNodes))
		}
		for _, c := range pieces {
			left -= len(c.Segments)
			i := min(int(cell(c.Bounds().Centre().X, l)), n-1)
			t := s
			t.Curve = c.Transform(outline.Translate(outline.Pt(-float64(i)*l, 0)))
			t.Closed = s.Closed && c.End() == c.Start
			parts[i].Strokes = append(parts[i].Strokes, t)
		}
	}
	return parts, nil
}

// cell returns which stretch of length l holds x: the k with k·l <= x < (k+1)·l,
// in the very products that pieces are cut at.
func cell(x, l float64) float64 {
	k := math.Floor(x / l)
	if (k+1)*l <= x { // x/l is rounded
		return k + 1
	}
	if k*l > x {
		return k - 1
	}
	return k
}

// piecesAt cuts the stroke wherever it crosses a multiple of l in x; one that
// crosses none comes back as it is. Its curves become chords within
// outline.DefaultTolerance where it is cut. most bounds the points; ok is false
// where there would be more.
func piecesAt(s Stroke, l float64, most int) (out []outline.Curve, ok bool) {
	b := s.Curve.Bounds()
	if last := cell(b.Min.X, l); b.Max.X <= (last+1)*l {
		return []outline.Curve{s.Curve}, true
	}
	points := s.Curve.Flatten(nil, 0)
	now := []outline.Point{points[0]}
	cut := func(p outline.Point) {
		out = append(out, outline.Polyline(append(now, p)...))
		now = append(now[:0:0], p)
		most -= 2
	}
	for i := 1; i < len(points) && most > 0; i++ {
		a, p := points[i-1], points[i]
		// The borders strictly between a and p, nearest to a first.
		at := func(k float64) outline.Point { return outline.Pt(k*l, a.Y+(p.Y-a.Y)*(k*l-a.X)/(p.X-a.X)) }
		if p.X > a.X {
			for k := cell(a.X, l) + 1; k*l < p.X && most > 0; k++ {
				cut(at(k))
			}
		} else {
			k := cell(a.X, l)
			if k*l == a.X {
				k--
			}
			for ; k*l > p.X && most > 0; k-- {
				cut(at(k))
			}
		}
		// A node on the border: cut there if the way goes on to the other side.
		if cell(p.X, l)*l == p.X && i+1 < len(points) && (points[i+1].X-p.X)*(p.X-a.X) > 0 {
			cut(p)
			continue
		}
		now = append(now, p)
		most--
	}
	if len(now) > 1 {
		out = append(out, outline.Polyline(now...))
	}
	if n := len(out); s.Closed && n > 1 {
		// The last piece leads into the first.
		first, last := out[0], out[n-1]
		if last.End() == first.Start && cell(last.Bounds().Centre().X, l) == cell(first.Bounds().Centre().X, l) {
			last.Segments = append(last.Segments, first.Segments...)
			out[0] = last
			out = out[:n-1]
		}
	}
	return out, most > 0
}
