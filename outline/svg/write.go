package svg

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// WriteOptions tells [Write] how to lay a path on a page. The zero value is
// the usual.
type WriteOptions struct {
	// Width and Height are the page; zero takes the path's box instead, with
	// Margin around it, and moves the path there. With a page the path keeps
	// its place, (0, 0) being the page's lower left corner.
	Width, Height units.Length

	// Margin is the room left around the box where there is no page.
	Margin units.Length

	// Fill is the colour; "" is black.
	Fill string

	// Decimals is the number of decimals of a millimetre to write; zero means
	// as many as it takes to read back the same numbers.
	Decimals int

	// Title names the drawing, in a title element; "" leaves it out.
	Title string
}

// Write writes p as an SVG document at its physical size: width and height in
// millimetres, a viewBox in millimetres, one path element without transforms.
// p should be welded; it is filled by the non-zero rule.
//
// Reading the result gives p back, bit for bit where the page's height is 0 or
// subtracting from it is exact, and within rounding of y otherwise.
func Write(w io.Writer, p outline.Path, opt WriteOptions) error {
	if err := p.Check(); err != nil {
		return err
	}
	if opt.Width < 0 || opt.Height < 0 || opt.Margin < 0 || !opt.Width.IsFinite() || !opt.Height.IsFinite() || !opt.Margin.IsFinite() {
		return &ReadError{Attribute: "width", Value: opt.Width.String() + " x " + opt.Height.String(), Cause: ErrOption, Fix: "give a page of finite size"}
	}
	page := outline.Box{Max: outline.Pt(float64(opt.Width), float64(opt.Height))}
	if opt.Width == 0 || opt.Height == 0 {
		page = p.Bounds().Grow(float64(opt.Margin))
		if page.IsEmpty() {
			return &outline.PathError{Op: "write", Contour: -1, Node: -1, Cause: outline.ErrEmpty, Fix: "give a path with a contour, or a page"}
		}
	}
	decimals := opt.Decimals
	if decimals <= 0 {
		decimals = exact
	}
	// y down, the page's upper left corner at (0, 0).
	down := outline.Transform{XX: 1, YY: -1, X0: -page.Min.X, Y0: page.Max.Y}
	number := func(v float64) string { return string(appendNumber(nil, v, decimals)) }
	b := bufio.NewWriter(w)
	width, height := number(page.Width()), number(page.Height())
	fmt.Fprintf(b, "<svg xmlns=\"%s\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n", namespace, width, height, width, height)
	if opt.Title != "" {
		fmt.Fprintf(b, "<title>%s</title>\n", escape(opt.Title))
	}
	colour := opt.Fill
	if colour == "" {
		colour = "#000"
	}
	fmt.Fprintf(b, "<path fill=\"%s\" d=\"", escape(colour))
	var data []byte
	for i, c := range p {
		if i > 0 {
			b.WriteByte('\n')
		}
		data = appendContour(data[:0], outline.Contour(c.Curve().Transform(down)), decimals)
		b.Write(data)
	}
	b.WriteString("\"/>\n</svg>\n")
	return b.Flush()
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\"", "&quot;")

func escape(s string) string { return escaper.Replace(s) }
