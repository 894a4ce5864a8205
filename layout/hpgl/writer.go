package hpgl

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Writer writes a job as HP-GL; it implements [cutpath.Writer]. Make one with
// [NewWriter] for each file. Its errors are those of what it writes to, or
// [*cutpath.Error] values that wrap [cutpath.ErrInvalidOption] or, with the
// place, [cutpath.ErrRange]; what has been written then is no whole file.
type Writer struct {
	out    *bufio.Writer
	opt    Options
	header cutpath.Header
	width  float64 // of the film, for FeedAlongY
	x, y   int     // where the pen is, in plotter units
	flat   []outline.Point
	line   []byte
}

// NewWriter returns a writer to w. It buffers; End flushes, and closing w is
// the caller's.
func NewWriter(w io.Writer, opt Options) *Writer {
	return &Writer{out: bufio.NewWriterSize(w, 1<<16), opt: opt}
}

// Begin writes the commands that set the machine up.
func (w *Writer) Begin(h cutpath.Header) error {
	if err := w.opt.check(); err != nil {
		return err
	}
	if w.opt.Tolerance == 0 {
		w.opt.Tolerance = Unit / 2
	}
	if w.opt.MaxPairs == 0 {
		w.opt.MaxPairs = DefaultMaxPairs
	}
	w.header = h
	w.width = float64(h.Film.Width)
	if w.width <= 0 && !h.Bounds.IsEmpty() {
		w.width = h.Bounds.Max.Y
	}
	w.out.WriteString("IN;")
	w.out.WriteString(w.opt.Before)
	fmt.Fprintf(w.out, "SP%d;", max(w.opt.Pen, 1))
	if w.opt.Speed > 0 {
		fmt.Fprintf(w.out, "VS%d;", max(1, int(math.Round(float64(w.opt.Speed/units.CentimetrePerSecond)))))
	}
	if w.opt.Force > 0 {
		fmt.Fprintf(w.out, "FS%d;", w.opt.Force)
	}
	mode := "PA;\n"
	if w.opt.Mode == Relative {
		// IN leaves the pen where it is: steps need a known place to start from.
		mode = "PA;PU0,0;PR;\n"
	}
	_, err := w.out.WriteString(mode)
	return err
}

// Stroke writes one cut: pen up to its start, pen down along it.
func (w *Writer) Stroke(s cutpath.Stroke) error {
	w.flat = s.Curve.Flatten(w.flat[:0], w.opt.Tolerance)
	w.line = w.line[:0]
	pairs := 0
	var x, y int
	for i, p := range w.flat {
		nx, ny, err := w.place(s, p)
		if err != nil {
			return err
		}
		if i == 0 {
			w.line = append(w.line, "PU"...)
			if nx != w.x || ny != w.y || w.opt.Mode == Absolute {
				if err := w.move(s, p, nx, ny, true); err != nil {
					return err
				}
			}
			w.line = append(w.line, ";PD"...)
			x, y = nx, ny
			continue
		}
		if nx == x && ny == y {
			continue // shorter than a unit
		}
		if pairs == w.opt.MaxPairs {
			w.line = append(w.line, ";PD"...)
			pairs = 0
		}
		if err := w.move(s, p, nx, ny, pairs == 0); err != nil {
			return err
		}
		pairs++
		x, y = nx, ny
	}
	w.line = append(w.line, ";\n"...)
	_, err := w.out.Write(w.line)
	return err
}

// End lifts the knife, sends it home if the job says so, and flushes.
func (w *Writer) End() error {
	w.line = append(w.line[:0], "PU"...)
	if w.header.Return {
		s := cutpath.Stroke{Contour: noStroke}
		x, y, err := w.place(s, w.header.Home)
		if err != nil {
			return err
		}
		if err := w.move(s, w.header.Home, x, y, true); err != nil {
			return err
		}
	}
	w.line = append(w.line, ';')
	w.line = append(w.line, w.opt.After...)
	w.line = append(w.line, "SP0;\n"...)
	if _, err := w.out.Write(w.line); err != nil {
		return err
	}
	return w.out.Flush()
}

// place returns p in plotter units, each coordinate rounded by itself.
func (w *Writer) place(s cutpath.Stroke, p outline.Point) (x, y int, err error) {
	q := p
	if w.opt.Axes == FeedAlongY {
		q = outline.Pt(w.width-p.Y, p.X)
	}
	limit := w.opt.Range.limit()
	if w.opt.Mode == Relative {
		limit = math.MaxInt32
	}
	for i, v := range [2]float64{q.X, q.Y} {
		u := math.Round(v * unitsPerMillimetre)
		if !(math.Abs(u) <= float64(limit)) {
			return 0, 0, rangeError(s, p, u, limit)
		}
		if i == 0 {
			x = int(u)
		} else {
			y = int(u)
		}
	}
	return x, y, nil
}

// move appends the pair that takes the pen to x, y.
func (w *Writer) move(s cutpath.Stroke, p outline.Point, x, y int, first bool) error {
	a, b := x, y
	if w.opt.Mode == Relative {
		a, b = x-w.x, y-w.y
		limit := w.opt.Range.limit()
		for _, v := range [2]int{a, b} {
			if v > limit || v < -limit {
				return rangeError(s, p, float64(v), limit)
			}
		}
	}
	if !first {
		w.line = append(w.line, ',')
	}
	w.line = strconv.AppendInt(w.line, int64(a), 10)
	w.line = append(w.line, ',')
	w.line = strconv.AppendInt(w.line, int64(b), 10)
	w.x, w.y = x, y
	return nil
}

// noStroke is the contour of what is no stroke: the way home.
const noStroke = -1

// rangeError tells which number of the stroke, at p, is beyond the limit.
func rangeError(s cutpath.Stroke, p outline.Point, units float64, limit int) error {
	detail := fmt.Sprintf("%.0f units of ±%d (%.3f mm)", units, limit, float64(limit)*float64(Unit))
	if s.Contour == noStroke {
		detail = fmt.Sprintf("home at (%.3f, %.3f) mm: %s", p.X, p.Y, detail)
	}
	return &cutpath.Error{Op: "write HP-GL", Role: s.Role, ID: s.ID, Contour: s.Contour, At: p, Cause: cutpath.ErrRange, Detail: detail,
		Fix: "send it Relative, split the job, or set Range to Wide if the machine takes larger numbers"}
}
