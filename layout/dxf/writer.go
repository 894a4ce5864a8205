package dxf

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Layering tells what the layers are named after.
type Layering uint8

// The layerings.
const (
	ByFilm   Layering = iota // the film's name
	ByColour                 // the film's colour, such as C_1D3557
)

// String names the layering.
func (l Layering) String() string {
	switch l {
	case ByFilm:
		return "by film"
	case ByColour:
		return "by colour"
	}
	return "unknown layering"
}

// Options of [NewWriter]. The zero value fits arcs within
// [outline.DefaultTolerance] and layers by film.
type Options struct {
	Layers Layering
	// Tolerance bounds the deviation of lines and arcs from the curves; zero
	// is outline.DefaultTolerance, a nanometre the least: finer is no file's
	// decimals.
	Tolerance units.Length
	// Chords writes straight chords only, for readers that do not know bulges.
	Chords bool
	// Decimals of coordinates in millimetres, 1 to 9; zero is 4.
	Decimals int
}

// leastTolerance keeps a curve from becoming hundreds of thousands of arcs.
const leastTolerance units.Length = 1e-6

// Writer writes a job as DXF; it implements [cutpath.Writer]. Make one with
// [NewWriter] for each file. Its errors are those of what it writes to, or
// [*cutpath.Error] values that wrap [cutpath.ErrInvalidOption] or, with the
// place, [cutpath.ErrNotFinite]; what has been written then is no whole file.
type Writer struct {
	out      *bufio.Writer
	opt      Options
	header   cutpath.Header
	vertices []vertex
	flat     []outline.Point
}

// vertex is a point of a polyline and the bulge of the piece that leaves it.
type vertex struct {
	at    outline.Point
	bulge float64
}

// NewWriter returns a writer to w. It buffers; End flushes, and closing w is
// the caller's.
func NewWriter(w io.Writer, opt Options) *Writer {
	return &Writer{out: bufio.NewWriterSize(w, 1<<16), opt: opt}
}

// Begin writes the header and the table of layers.
func (w *Writer) Begin(h cutpath.Header) error {
	o := &w.opt
	switch {
	case o.Layers > ByColour:
		return invalid("Layers", uint8(o.Layers), "use ByFilm or ByColour")
	case o.Tolerance != 0 && !(o.Tolerance >= leastTolerance && o.Tolerance.IsFinite()):
		return invalid("Tolerance", float64(o.Tolerance), "give zero for the usual, or a nanometre (0.000001 mm) or more")
	case o.Decimals < 0 || o.Decimals > 9:
		return invalid("Decimals", o.Decimals, "give 1 to 9, or zero for 4")
	}
	if o.Tolerance == 0 {
		o.Tolerance = outline.DefaultTolerance
	}
	if o.Decimals == 0 {
		o.Decimals = 4
	}
	w.header = h
	w.comment("units: millimetres; x along the film, y across it")
	if h.Title != "" {
		w.comment("sheet: " + h.Title)
	}
	if h.Description != "" {
		w.comment(h.Description)
	}
	w.pair(0, "SECTION")
	w.pair(2, "HEADER")
	w.pair(9, "$ACADVER")
	w.pair(1, "AC1009")
	b := h.Bounds
	if b.IsEmpty() {
		b = outline.Box{}
	}
	w.pair(9, "$EXTMIN")
	w.point(b.Min)
	w.real(30, 0)
	w.pair(9, "$EXTMAX")
	w.point(b.Max)
	w.real(30, 0)
	limit := b.Max
	if h.Length > 0 {
		limit.X = float64(h.Length)
	}
	if h.Film.Width > 0 {
		limit.Y = float64(h.Film.Width)
	}
	w.pair(9, "$LIMMIN")
	w.point(outline.Pt(math.Min(0, b.Min.X), math.Min(0, b.Min.Y)))
	w.pair(9, "$LIMMAX")
	w.point(limit)
	w.pair(0, "ENDSEC")

	w.pair(0, "SECTION")
	w.pair(2, "TABLES")
	w.pair(0, "TABLE")
	w.pair(2, "LTYPE")
	w.pair(70, "1")
	w.pair(0, "LTYPE")
	w.pair(2, "CONTINUOUS")
	w.pair(70, "0")
	w.pair(3, "Solid line")
	w.pair(72, "65")
	w.pair(73, "0")
	w.pair(40, "0.0")
	w.pair(0, "ENDTAB")
	layers := w.layers()
	w.pair(0, "TABLE")
	w.pair(2, "LAYER")
	w.pair(70, strconv.Itoa(len(layers)))
	for _, l := range layers {
		w.pair(0, "LAYER")
		w.pair(2, l)
		w.pair(70, "0")
		w.pair(62, "7")
		w.pair(6, "CONTINUOUS")
	}
	w.pair(0, "ENDTAB")
	w.pair(0, "ENDSEC")
	w.pair(0, "SECTION")
	return w.pair(2, "ENTITIES")
}

func invalid(name string, v any, fix string) error {
	return &cutpath.Error{Op: "write DXF", Contour: -1, Cause: cutpath.ErrInvalidOption, Detail: fmt.Sprintf("%s is %v", name, v), Fix: fix}
}

// Stroke writes one POLYLINE.
func (w *Writer) Stroke(s cutpath.Stroke) error {
	w.vertices = w.vertices[:0]
	if at, ok := s.Finite(); !ok {
		return &cutpath.Error{Op: "write DXF", Role: s.Role, ID: s.ID, Contour: s.Contour, At: at, Cause: cutpath.ErrNotFinite, Fix: "give every point a finite position"}
	}
	if w.opt.Chords {
		w.flat = s.Curve.Flatten(w.flat[:0], w.opt.Tolerance)
		for _, p := range w.flat {
			w.vertices = append(w.vertices, vertex{at: p})
		}
	} else {
		w.vertices = appendArcs(w.vertices, s.Curve, float64(w.opt.Tolerance))
	}
	closed := s.Closed && !s.Prepared
	if n := len(w.vertices); closed && n > 1 && w.vertices[n-1].at == w.vertices[0].at {
		// The flag closes it; repeating the first point would add a piece
		// without length.
		w.vertices = w.vertices[:n-1]
	}
	layer := w.layer(s.Colour, s.Role)
	w.pair(0, "POLYLINE")
	w.pair(8, layer)
	w.pair(66, "1")
	w.point(outline.Point{})
	w.real(30, 0)
	if closed {
		w.pair(70, "1")
	} else {
		w.pair(70, "0")
	}
	for _, v := range w.vertices {
		w.pair(0, "VERTEX")
		w.pair(8, layer)
		w.point(v.at)
		w.real(30, 0)
		if v.bulge != 0 {
			w.pair(42, strconv.FormatFloat(v.bulge, 'f', bulgeDecimals, 64))
		}
	}
	w.pair(0, "SEQEND")
	return w.pair(8, layer)
}

// bulgeDecimals keeps an arc of a metre's radius within 0.1 µm.
const bulgeDecimals = 9

// End closes the file and flushes.
func (w *Writer) End() error {
	w.pair(0, "ENDSEC")
	w.pair(0, "EOF")
	return w.out.Flush()
}

// pair writes a group code and its value; bufio keeps the first error.
func (w *Writer) pair(code int, value string) error {
	var b [8]byte
	digits := strconv.AppendInt(b[:0], int64(code), 10)
	for range 3 - len(digits) {
		w.out.WriteByte(' ')
	}
	w.out.Write(digits)
	w.out.WriteByte('\n')
	w.out.WriteString(value)
	return w.out.WriteByte('\n')
}

// comment writes a line that readers skip.
func (w *Writer) comment(text string) {
	w.pair(999, strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, text))
}

func (w *Writer) point(p outline.Point) {
	w.real(10, p.X)
	w.real(20, p.Y)
}

func (w *Writer) real(code int, v float64) {
	text := strconv.FormatFloat(v, 'f', w.opt.Decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	w.pair(code, text)
}

// layers returns the names for the table, layer 0 first as readers expect.
func (w *Writer) layers() []string {
	names := []string{"0"}
	seen := map[string]bool{"0": true}
	for _, c := range w.header.Colours {
		for _, r := range w.header.Roles {
			if l := w.layer(c, r); !seen[l] {
				seen[l] = true
				names = append(names, l)
			}
		}
	}
	return names
}

// layer returns the name of a stroke's layer: film or colour, then, for
// helper cuts, their role.
func (w *Writer) layer(colour string, r cutpath.Role) string {
	base := "FILM"
	switch {
	case w.opt.Layers == ByColour && colour != "":
		base = "C_" + layerName(strings.TrimPrefix(colour, "#"))
	case w.opt.Layers == ByFilm && w.header.Film.Name != "":
		base = layerName(w.header.Film.Name)
	}
	if r == cutpath.Decal {
		return base
	}
	role := layerName(r.String())
	if most := maxLayerName - len(role) - 1; len(base) > most {
		base = base[:most]
	}
	return base + "_" + role
}

// maxLayerName is the length of a symbol name in release 12.
const maxLayerName = 31

// layerName maps text to what release 12 allows in a name: letters, digits,
// $, - and _.
func layerName(text string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z':
			return r - 'a' + 'A'
		case r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '$', r == '-', r == '_':
			return r
		}
		return '_'
	}, text)
	if len(name) > maxLayerName {
		name = name[:maxLayerName]
	}
	if name == "" {
		return "FILM"
	}
	return name
}
