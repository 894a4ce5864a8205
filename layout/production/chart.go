package production

import (
	"fmt"
	"html"
	"image/color"
	"image/png"
	"io"
	"math"

	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/outline"
)

// Chart dimensions in millimetres.
const (
	chartWidth = 180.0
	chartLeft  = 26.0 // for the stages' names
	chartRight = 4.0
	chartTop   = 4.0
	chartFoot  = 8.0
	rowHeight  = 9.0
	barHeight  = 7.0
	labelSize  = 3.2
)

// chartMaxWorkers is how many workers of a stage the chart gives a row; a
// larger crew shares the last one.
const chartMaxWorkers = 20

// check sees that a timetable, which may have come as JSON, can be drawn.
func (t Timetable) check() error {
	bad := func(where, detail string) error {
		return &Error{Where: where, Cause: ErrInvalid, Detail: detail, Fix: "draw a timetable as Schedule or Sequence returned it"}
	}
	if !permutes(t.Order, len(t.Loads)) {
		return bad("order", fmt.Sprintf("%d indexes for %d loads", len(t.Order), len(t.Loads)))
	}
	if len(t.Tasks) > MaxTasks || len(t.Stages) > MaxTasks {
		return &Error{Where: "timetable", Cause: ErrTooLarge, Detail: fmt.Sprintf("%d tasks at %d stages", len(t.Tasks), len(t.Stages)), Fix: "plan the loads in parts"}
	}
	if !(t.Span >= 0 && t.Span <= MaxMinutes*MaxTasks) {
		return bad("span", fmt.Sprintf("%v minutes", t.Span))
	}
	for i, task := range t.Tasks {
		if task.Load < 0 || task.Load >= len(t.Loads) || task.Stage < 0 || task.Stage >= len(t.Stages) || task.Worker < 0 ||
			!(0 <= task.Start && task.Start <= task.End && task.End <= t.Span) {
			return bad(fmt.Sprintf("task %d", i), fmt.Sprintf("load %d, stage %d, worker %d from %v to %v minutes", task.Load, task.Stage, task.Worker, task.Start, task.End))
		}
	}
	return nil
}

// rows returns, for each stage, its first row and the number of its rows.
func (t Timetable) rows() (first []int, count []int, total int) {
	for _, s := range t.Stages {
		n := min(s.workers(), chartMaxWorkers)
		first, count = append(first, total), append(count, n)
		total += n
	}
	return first, count, total
}

// tick returns a round step in minutes that gives at most ten ticks.
func tick(span float64) float64 {
	for _, step := range []float64{1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 1440} {
		if span/step <= 10 {
			return step
		}
	}
	return math.Ceil(span / 10)
}

// clock writes minutes as hours and minutes.
func clock(m float64) string {
	whole := int(math.Round(m))
	return fmt.Sprintf("%d:%02d", whole/60, whole%60)
}

// bar returns the bar of a task in millimetres, y down from the chart's top.
func (t Timetable) bar(task Task, first, count []int) (x, y, w float64) {
	scale := (chartWidth - chartLeft - chartRight) / math.Max(t.Span, 1e-9)
	row := first[task.Stage] + min(task.Worker, count[task.Stage]-1)
	return chartLeft + task.Start*scale, chartTop + float64(row)*rowHeight + (rowHeight-barHeight)/2, (task.End - task.Start) * scale
}

// The chart's colours, the same in both forms.
var (
	dark  = color.RGBA{0x1c, 0x1c, 0x1c, 0xff}
	grey  = color.RGBA{0xbb, 0xbb, 0xbb, 0xff}
	light = color.RGBA{0xd9, 0xde, 0xe7, 0xff}
	blue  = color.RGBA{0x33, 0x50, 0x7a, 0xff}
	white = color.RGBA{0xff, 0xff, 0xff, 0xff}
)

func css(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// shades returns the fill and the text of a load's bars: neighbours in the
// plan differ by lightness, which shows without colour.
func shades(place int) (fill, text color.RGBA) {
	if place%2 == 1 {
		return blue, white
	}
	return light, dark
}

// WriteSVG draws the timetable as a chart 180 mm wide: a row for each worker,
// a bar for each load. Neighbouring loads differ in lightness. The error is an
// [*Error] where the timetable does not fit together, before anything is
// written, or w's.
func (t Timetable) WriteSVG(w io.Writer) error {
	if err := t.check(); err != nil {
		return err
	}
	first, count, rows := t.rows()
	height := chartTop + float64(rows)*rowHeight + chartFoot
	e := &errWriter{w: w}
	e.printf(`<svg xmlns="http://www.w3.org/2000/svg" width="%.0fmm" height="%.0fmm" viewBox="0 0 %.0f %.0f" role="img" font-family="sans-serif" font-size="%.1f">`+"\n", chartWidth, height, chartWidth, height, labelSize)
	e.printf("<title>Plan: finished after %s hours</title>\n<rect width=\"%.0f\" height=\"%.0f\" fill=\"#ffffff\"/>\n", clock(t.Span), chartWidth, height)
	t.ticks(func(x float64, text string) {
		e.printf(`<path d="M%.2f %.1fV%.1f" stroke="#bbbbbb" stroke-width="0.2"/><text x="%.2f" y="%.1f" text-anchor="middle" fill="#333333">%s</text>`+"\n", x, chartTop-1, height-chartFoot+1, x, height-chartFoot+5, text)
	})
	for i, s := range t.Stages {
		e.printf(`<text x="1" y="%.1f" font-weight="bold" fill="#1c1c1c">%s</text>`+"\n", chartTop+float64(first[i])*rowHeight+6, html.EscapeString(s.Name))
	}
	place := t.position()
	for _, task := range t.Tasks {
		x, y, width := t.bar(task, first, count)
		fill, text := shades(place[task.Load])
		e.printf(`<rect x="%.2f" y="%.2f" width="%.2f" height="%.1f" fill="%s" stroke="#1c1c1c" stroke-width="0.2"><title>%s, %s: %s to %s</title></rect>`+"\n",
			x, y, width, barHeight, css(fill), html.EscapeString(t.Loads[task.Load].Name), html.EscapeString(t.Stages[task.Stage].Name), clock(task.Start), clock(task.End))
		if name := shortName(t.Loads[task.Load].Name); width > float64(len(name))*labelSize*0.62+0.8 {
			e.printf(`<text x="%.2f" y="%.2f" text-anchor="middle" fill="%s">%s</text>`+"\n", x+width/2, y+4.7, css(text), html.EscapeString(name))
		}
	}
	e.printf("</svg>\n")
	return e.err
}

// shortName keeps the number of "load-07", which is all a narrow bar can show.
func shortName(name string) string {
	const prefix = "load-"
	if len(name) > len(prefix) && name[:len(prefix)] == prefix {
		return name[len(prefix):]
	}
	return name
}

// position returns where in the plan's order each load comes.
func (t Timetable) position() []int {
	place := make([]int, len(t.Loads))
	for i, load := range t.Order {
		place[load] = i
	}
	return place
}

func (t Timetable) ticks(visit func(x float64, text string)) {
	if !(t.Span > 0) {
		return
	}
	step := tick(t.Span)
	for i := 0; float64(i)*step <= t.Span; i++ {
		visit(chartLeft+float64(i)*step*(chartWidth-chartLeft-chartRight)/t.Span, clock(float64(i)*step))
	}
}

// WritePNG draws the same chart as a picture, 8 pixels to the millimetre. Its
// errors are those of [Timetable.WriteSVG], and a [*proof.Error] where so many
// workers need more room than [proof.MaxPixels].
func (t Timetable) WritePNG(w io.Writer) error {
	if err := t.check(); err != nil {
		return err
	}
	first, count, rows := t.rows()
	height := chartTop + float64(rows)*rowHeight + chartFoot
	c, err := proof.NewCanvas(outline.Box{Max: outline.Pt(chartWidth, height)}, 8)
	if err != nil {
		return err
	}
	up := func(x, y float64) outline.Point { return outline.Pt(x, height-y) }
	var failed error
	note := func(err error) {
		if failed == nil {
			failed = err
		}
	}
	t.ticks(func(x float64, text string) {
		c.Stroke(outline.Polyline(up(x, chartTop-1), up(x, height-chartFoot+1)), 0.2, grey)
		note(c.Text(text, up(x, height-chartFoot+5), labelSize, proof.Regular, proof.Middle, dark))
	})
	for i, s := range t.Stages {
		note(c.Text(s.Name, up(1, chartTop+float64(first[i])*rowHeight+6), labelSize, proof.Bold, proof.Start, dark))
	}
	place := t.position()
	for _, task := range t.Tasks {
		x, y, width := t.bar(task, first, count)
		fill, text := shades(place[task.Load])
		b := outline.Path{outline.Polygon(up(x, y), up(x, y+barHeight), up(x+width, y+barHeight), up(x+width, y))}
		c.Fill(b, fill)
		c.Outline(b, 0.2, dark)
		if name := shortName(t.Loads[task.Load].Name); width > float64(len(name))*labelSize*0.62+0.8 {
			note(c.Text(name, up(x+width/2, y+4.7), labelSize, proof.Regular, proof.Middle, text))
		}
	}
	if failed != nil {
		return failed
	}
	return png.Encode(w, c.Image())
}

// errWriter keeps the first error of a run of writes.
type errWriter struct {
	w   io.Writer
	err error
}

func (e *errWriter) printf(format string, args ...any) {
	if e.err == nil {
		_, e.err = fmt.Fprintf(e.w, format, args...)
	}
}
