package svg

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// WriteOptions tells [Write] how to lay a path on a page. The zero value is
// the usual.
type WriteOptions struct {
	// Width and Height are the page, (0, 0) being its lower left corner. Where
	// one is zero the page is the box of all that is written, with Margin
	// around it, and the drawing moves there.
	Width, Height units.Length

	// Margin is the room left around the box where there is no page.
	Margin units.Length

	// Fill is the colour; "" is black. Layers have their own.
	Fill string

	// Decimals is the number of decimals of a millimetre to write; zero means
	// as many as it takes to read back the same numbers.
	Decimals int

	// Title names the drawing, in a title element; "" leaves it out.
	Title string
}

// Layer is what is written in one colour.
type Layer struct {
	ID   string // the id of its element; "" for none
	Fill string // "" is the options' Fill

	// Path is the film, filled by the non-zero rule; it should be welded.
	Path outline.Path
	// Curves are open lines, drawn thin and without fill.
	Curves []outline.Curve
}

// lineWidth is how wide open curves are drawn: visible, and no wider than a
// knife's cut is taken to be on a proof.
const lineWidth = 0.2

// Write writes p as an SVG document at its physical size: width and height in
// millimetres, a viewBox in millimetres, one path element without transforms.
//
// [Read] gives p back: x and, on a page, y within the rounding of one
// subtraction, because SVG's y runs down.
//
// Errors: an [*outline.PathError] for p, which wraps [outline.ErrEmpty] where
// there is neither a contour nor a page; an [*OptionError] for opt; the writer's
// own.
func Write(w io.Writer, p outline.Path, opt WriteOptions) error {
	return WriteLayers(w, []Layer{{Path: p}}, opt)
}

// WriteLayers writes several layers as Write does one, the first at the
// bottom, each a path element with its id and colour; a layer's curves follow
// in a second one. Nothing is written where a layer has an error. Characters that
// XML cannot hold are replaced by U+FFFD in ids, colours and the title.
func WriteLayers(w io.Writer, layers []Layer, opt WriteOptions) error {
	page, err := opt.page(layers)
	if err != nil {
		return err
	}
	decimals := opt.Decimals
	if decimals == 0 {
		decimals = exact
	}
	// y down, the page's upper left corner at (0, 0).
	down := outline.Transform{XX: 1, YY: -1, X0: 0 - page.Min.X, Y0: page.Max.Y}
	width, height := appendNumber(nil, page.Width(), decimals), appendNumber(nil, page.Height(), decimals)
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "<svg xmlns=\"%s\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n", namespace, width, height, width, height)
	if opt.Title != "" {
		fmt.Fprintf(b, "<title>%s</title>\n", escape(opt.Title))
	}
	for _, l := range layers {
		l.write(b, down, decimals, opt.Fill)
	}
	b.WriteString("</svg>\n")
	return b.Flush()
}

// page returns the rectangle to write, or what is wrong.
func (opt WriteOptions) page(layers []Layer) (outline.Box, error) {
	for _, size := range []struct {
		name  string
		value units.Length
	}{{"Width", opt.Width}, {"Height", opt.Height}, {"Margin", opt.Margin}} {
		if !(size.value >= 0 && size.value <= MaxCoordinate) {
			return outline.Box{}, &OptionError{size.name, size.value.String(), "give a length from 0 to 1 km"}
		}
	}
	if opt.Decimals < 0 || opt.Decimals > maxDecimals {
		return outline.Box{}, &OptionError{"Decimals", fmt.Sprint(opt.Decimals), fmt.Sprintf("give 1 to %d, or 0 for exact numbers", maxDecimals)}
	}
	box := outline.EmptyBox()
	for _, l := range layers {
		if err := l.Path.Check(); err != nil {
			return box, err
		}
		box = box.Union(l.Path.Bounds())
		for _, c := range l.Curves {
			if err := (outline.Path{c.Closed()}).Check(); err != nil {
				return box, err
			}
			box = box.Union(c.Bounds())
		}
	}
	if opt.Width > 0 && opt.Height > 0 {
		return outline.Box{Max: outline.Pt(float64(opt.Width), float64(opt.Height))}, nil
	}
	box = box.Grow(float64(opt.Margin))
	if !(box.Width() > 0 && box.Height() > 0) {
		return box, &outline.PathError{Op: "write", Contour: -1, Node: -1, Cause: outline.ErrEmpty, Fix: "give a path with a contour, or a page"}
	}
	return box, nil
}

// maxDecimals bounds WriteOptions.Decimals: float64 has no more.
const maxDecimals = 17

func (l Layer) write(b *bufio.Writer, down outline.Transform, decimals int, fill string) {
	id := ""
	if l.ID != "" {
		id = fmt.Sprintf(" id=\"%s\"", escape(l.ID))
	}
	if l.Fill != "" {
		fill = l.Fill
	}
	if fill == "" {
		fill = "#000"
	}
	var data []byte
	if len(l.Path) > 0 {
		fmt.Fprintf(b, "<path%s fill=\"%s\" d=\"", id, escape(fill))
		id = ""
		for i, c := range l.Path {
			data = data[:0]
			if i > 0 {
				data = append(data, '\n')
			}
			// Not Path.Transform, which would turn the contours round.
			b.Write(appendContour(data, outline.Contour(c.Curve().Transform(down)), decimals))
		}
		b.WriteString("\"/>\n")
	}
	if len(l.Curves) > 0 {
		fmt.Fprintf(b, "<path%s fill=\"none\" stroke=\"%s\" stroke-width=\"%g\" d=\"", id, escape(fill), lineWidth)
		for i, c := range l.Curves {
			data = data[:0]
			if i > 0 {
				data = append(data, '\n')
			}
			b.Write(appendCurve(data, c.Transform(down), decimals))
		}
		b.WriteString("\"/>\n")
	}
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\"", "&quot;")

// escape makes s fit for XML's text and attributes (XML 1.0, 2.2).
func escape(s string) string {
	return escaper.Replace(strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF {
			return utf8.RuneError
		}
		return r
	}, s))
}
