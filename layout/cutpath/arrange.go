package cutpath

import (
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Repeat returns the job cut n times along the film, each copy pitch further
// on, the first where it is; each is finished before the next. The load grows
// by (n-1) times the pitch. j is not modified.
func (j Job) Repeat(n int, pitch units.Length) (Job, error) {
	if n < 1 || n > maxCopies || !(pitch > 0) || !pitch.IsFinite() {
		return Job{}, optionError("repeat", fmt.Sprintf("%d copies, pitch %v", n, pitch), "ask for 1 to 10,000 copies and a pitch above zero")
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

// maxCopies bounds the work of one call.
const maxCopies = 10_000

// Split parts the job across the film into jobs of the given length, for
// machines whose coordinates end there: the classic limit of HP-GL is
// 819.175 mm. Each part has its own origin, a whole number of lengths along the
// film, and a name that ends in its number; the film is moved on by the length
// between them. Strokes that cross a border are cut in two there and keep
// their order within their part. Without such, there is one part. j is not
// modified.
func (j Job) Split(length units.Length) ([]Job, error) {
	l := float64(length)
	if !(l > 0) || math.IsInf(l, 0) {
		return nil, optionError("split", fmt.Sprintf("length %v", length), "give a length above zero")
	}
	b := j.Bounds()
	if b.IsEmpty() {
		return []Job{j}, nil
	}
	if !(b.Min.X >= 0) || !(b.Max.X/l <= maxCopies) {
		return nil, &Error{Op: "split", Sheet: j.Name, Contour: -1, Cause: ErrRange, Detail: fmt.Sprintf("cuts from x = %.3f to %.3f mm, parts of %v", b.Min.X, b.Max.X, length), Fix: "begin at x = 0, and make at most 10,000 parts"}
	}
	n := max(1, int(math.Ceil(b.Max.X/l)))
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
			parts[i].Length = min(length, j.Length-units.Length(i)*length)
		}
	}
	for _, s := range j.Strokes {
		for _, c := range piecesAt(s, l) {
			i := min(int(math.Floor(c.Bounds().Centre().X/l)), n-1)
			t := s
			t.Curve = c.Transform(outline.Translate(outline.Pt(-float64(i)*l, 0)))
			t.Closed = s.Closed && c.End() == c.Start
			parts[i].Strokes = append(parts[i].Strokes, t)
		}
	}
	return parts, nil
}

// piecesAt cuts the stroke wherever it crosses a multiple of l in x; one that
// crosses none comes back as it is. Its curves become chords within
// outline.DefaultTolerance where it is cut.
func piecesAt(s Stroke, l float64) []outline.Curve {
	b := s.Curve.Bounds()
	if math.Floor(b.Min.X/l) == math.Ceil(b.Max.X/l)-1 || b.Min.X == b.Max.X {
		return []outline.Curve{s.Curve}
	}
	var out []outline.Curve
	var now []outline.Point
	points := s.Curve.Flatten(nil, 0)
	now = append(now, points[0])
	for i := 1; i < len(points); i++ {
		a, p := points[i-1], points[i]
		for {
			// The border that lies ahead between a and p, nearest to a.
			var x float64
			if p.X > a.X {
				x = (math.Floor(a.X/l) + 1) * l
				if x >= p.X {
					break
				}
			} else {
				x = (math.Ceil(a.X/l) - 1) * l
				if x <= p.X {
					break
				}
			}
			a = outline.Pt(x, a.Y+(p.Y-a.Y)*(x-a.X)/(p.X-a.X))
			now = append(now, a)
			out = append(out, outline.Polyline(now...))
			now = []outline.Point{a}
		}
		now = append(now, p)
		// A node on the border: cut there if the way goes on to the other side.
		if r := p.X / l; r == math.Floor(r) && i+1 < len(points) && (points[i+1].X-p.X)*(p.X-points[i-1].X) > 0 {
			out = append(out, outline.Polyline(now...))
			now = []outline.Point{p}
		}
	}
	if len(now) > 1 {
		out = append(out, outline.Polyline(now...))
	}
	if n := len(out); s.Closed && n > 1 {
		// The last piece leads into the first.
		first, last := out[0], out[n-1]
		if last.End() == first.Start && math.Floor(last.Bounds().Centre().X/l) == math.Floor(first.Bounds().Centre().X/l) {
			last.Segments = append(last.Segments, first.Segments...)
			out[0] = last
			out = out[:n-1]
		}
	}
	return out
}
