package svgsheet

import (
	"bufio"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// ErrNoSize is the cause where neither the film and load nor the cuts give the
// page a size.
var ErrNoSize = errors.New("the page has no size")

// Options of [NewWriter]. The zero value draws lines of 0.25 mm with four
// decimals on a page of the load's size.
type Options struct {
	// LineWidth of the strokes on screen and paper; zero is 0.25 mm. It means
	// nothing to the cut.
	LineWidth units.Length
	// Decimals of coordinates in millimetres, 1 to 9; zero is 4.
	Decimals int
	// Width and Height of the page; zero: the load's length and the film's
	// width, or what reaches to the far end of the cuts where those are not
	// known. The page's lower left corner is the sheet's origin.
	Width, Height units.Length
}

// Writer writes a job as SVG; it implements [cutpath.Writer]. Make one with
// [NewWriter] for each file. Its errors are those of what it writes to, or
// [*cutpath.Error] values that wrap [cutpath.ErrInvalidOption], [ErrNoSize] or,
// with the place, [cutpath.ErrNotFinite]; what has been written then is no whole
// file.
type Writer struct {
	out    *bufio.Writer
	opt    Options
	height float64
	film   string // the colour of the group that is open
	group  string // the decal, or the role, of the group that is open
	open   int    // groups open
	buf    []byte
	scale  float64 // 10^Decimals
}

// NewWriter returns a writer to w. It buffers; End flushes, and closing w is
// the caller's.
func NewWriter(w io.Writer, opt Options) *Writer {
	return &Writer{out: bufio.NewWriterSize(w, 1<<16), opt: opt}
}

// Begin writes the head of the file: size, title and description.
func (w *Writer) Begin(h cutpath.Header) error {
	o := &w.opt
	switch {
	case !(o.LineWidth >= 0) || !o.LineWidth.IsFinite():
		return wrong(cutpath.ErrInvalidOption, fmt.Sprintf("LineWidth is %v", o.LineWidth), "give zero or more")
	case o.Decimals < 0 || o.Decimals > 9:
		return wrong(cutpath.ErrInvalidOption, fmt.Sprintf("Decimals is %d", o.Decimals), "give 1 to 9, or zero for 4")
	case !(o.Width >= 0) || !o.Width.IsFinite() || !(o.Height >= 0) || !o.Height.IsFinite():
		return wrong(cutpath.ErrInvalidOption, fmt.Sprintf("the page, Width by Height, is %v by %v", o.Width, o.Height), "give zero or more")
	}
	if o.LineWidth == 0 {
		o.LineWidth = 0.25
	}
	if o.Decimals == 0 {
		o.Decimals = 4
	}
	w.scale = math.Pow(10, float64(o.Decimals))
	width, height := float64(o.Width), float64(o.Height)
	if width == 0 {
		width = float64(h.Length)
	}
	if height == 0 {
		height = float64(h.Film.Width)
	}
	if !h.Bounds.IsEmpty() {
		if width <= 0 {
			width = h.Bounds.Max.X
		}
		if height <= 0 {
			height = h.Bounds.Max.Y
		}
	}
	if !(width > 0) || !(height > 0) || math.IsInf(width, 0) || math.IsInf(height, 0) {
		return wrong(ErrNoSize, fmt.Sprintf("it is %g by %g mm", width, height), "give the film a width and the load a length, or set Width and Height")
	}
	w.height = height
	ws, hs := w.number(width), w.number(height)
	fmt.Fprintf(w.out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n", ws, hs, ws, hs)
	fmt.Fprintf(w.out, "<title>%s</title>\n", escape(h.Title))
	description := h.Description
	if description == "" {
		description = describe(h)
	}
	fmt.Fprintf(w.out, "<desc>%s</desc>\n", escape(description))
	_, err := fmt.Fprintf(w.out, "<g fill=\"none\" stroke-width=\"%s\" stroke-linejoin=\"round\" stroke-linecap=\"round\">\n", w.number(float64(o.LineWidth)))
	return err
}

func wrong(cause error, detail, fix string) error {
	return &cutpath.Error{Op: "write SVG", Contour: -1, Cause: cause, Detail: detail, Fix: fix}
}

func describe(h cutpath.Header) string {
	film := h.Film.Name
	if film == "" {
		film = "film"
	}
	return fmt.Sprintf("Cut lines in millimetres, for %s; x along the film.", film)
}

// Stroke writes one path, and opens the group of its film and decal.
func (w *Writer) Stroke(s cutpath.Stroke) error {
	if at, ok := s.Finite(); !ok {
		return &cutpath.Error{Op: "write SVG", Role: s.Role, ID: s.ID, Contour: s.Contour, At: at, Cause: cutpath.ErrNotFinite, Fix: "give every point a finite position"}
	}
	colour := s.Colour
	if colour == "" {
		colour = "black"
	}
	group := s.Role.String()
	if s.Role == cutpath.Decal {
		group = "decal\x00" + strconv.Itoa(s.Decal)
	}
	if w.open > 0 && w.film != colour {
		w.out.WriteString("</g>\n</g>\n")
		w.open = 0
	}
	if w.open == 0 {
		fmt.Fprintf(w.out, "<g class=\"film\" stroke=\"%s\">\n", escape(colour))
		w.open, w.film, w.group = 1, colour, ""
	}
	if w.group != group {
		if w.open == 2 {
			w.out.WriteString("</g>\n")
		}
		if s.Role == cutpath.Decal {
			w.out.WriteString("<g class=\"decal\"")
			if s.ID != "" {
				fmt.Fprintf(w.out, " data-id=\"%s\"", escape(s.ID))
			}
			if s.Design != "" {
				fmt.Fprintf(w.out, " data-design=\"%s\"", escape(s.Design))
			}
			w.out.WriteString(">\n")
		} else {
			fmt.Fprintf(w.out, "<g class=\"%s\">\n", strings.ReplaceAll(s.Role.String(), " ", "-"))
		}
		w.open, w.group = 2, group
	}
	b := append(w.buf[:0], "<path d=\""...)
	b = append(b, 'M')
	b = w.point(b, s.Curve.Start)
	last := len(s.Curve.Segments) - 1
	closed := s.Closed && !s.Prepared
	for i, g := range s.Curve.Segments {
		switch g.Kind {
		case outline.Line:
			if i == last && closed && g.End == s.Curve.Start {
				continue // Z draws it
			}
			b = append(b, 'L')
		case outline.Quad:
			b = append(b, 'Q')
			b = append(w.point(b, g.C1), ' ')
		case outline.Cubic:
			b = append(b, 'C')
			b = append(w.point(b, g.C1), ' ')
			b = append(w.point(b, g.C2), ' ')
		}
		b = w.point(b, g.End)
	}
	if closed {
		b = append(b, 'Z')
	}
	b = append(b, "\"/>\n"...)
	w.buf = b
	_, err := w.out.Write(b)
	return err
}

// End closes the groups and flushes.
func (w *Writer) End() error {
	for range w.open {
		w.out.WriteString("</g>\n")
	}
	if _, err := w.out.WriteString("</g>\n</svg>\n"); err != nil {
		return err
	}
	return w.out.Flush()
}

// point appends p with y down.
func (w *Writer) point(b []byte, p outline.Point) []byte {
	b = w.appendNumber(b, p.X)
	b = append(b, ' ')
	return w.appendNumber(b, w.height-p.Y)
}

func (w *Writer) number(v float64) string { return string(w.appendNumber(nil, v)) }

// appendNumber appends v rounded to the wanted decimals, without trailing
// zeros and without a negative zero.
func (w *Writer) appendNumber(b []byte, v float64) []byte {
	v = math.Round(v*w.scale) / w.scale
	if v == 0 {
		return append(b, '0')
	}
	n := len(b)
	b = strconv.AppendFloat(b, v, 'f', w.opt.Decimals, 64)
	if strings.IndexByte(string(b[n:]), '.') >= 0 {
		for b[len(b)-1] == '0' {
			b = b[:len(b)-1]
		}
		if b[len(b)-1] == '.' {
			b = b[:len(b)-1]
		}
	}
	return b
}

// escape returns s safe inside an attribute or an element.
func escape(s string) string {
	var b strings.Builder
	// A strings.Builder does not fail.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
