package proof

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
)

// Options say how a picture is drawn.
type Options struct {
	PixelsPerMM float64 // zero: 4, so that 12 in of film are 1219 pixels
	Title       string  // above the film; empty: the sheet's name, film and length
	NoIDs       bool    // leave the decals' ids out
	Markers     []Marker
}

// Marker is a numbered place on a picture.
type Marker struct {
	At    outline.Point
	Label string // one to three characters
	Shape MarkerShape
}

// MarkerShape tells markers apart without colour.
type MarkerShape uint8

// The shapes of markers.
const (
	Disc MarkerShape = iota
	Square
	Triangle
	Diamond
)

// defaultPixelsPerMM draws 12 in film 1219 pixels wide.
const defaultPixelsPerMM = 4

func (o Options) scale() float64 {
	if o.PixelsPerMM == 0 {
		return defaultPixelsPerMM
	}
	return o.PixelsPerMM
}

var (
	ink       = color.RGBA{0x22, 0x22, 0x22, 0xff}
	faint     = color.RGBA{0x77, 0x77, 0x77, 0xff}
	linerEdge = color.RGBA{0xb0, 0xa8, 0x98, 0xff}
	liner     = color.RGBA{0xf4, 0xf1, 0xe8, 0xff} // release liner, off-white
	lightBack = color.RGBA{0x5a, 0x61, 0x6b, 0xff} // behind film so light that the liner would hide it
)

// lightFilm is the luminance above which film is shown on a dark ground.
const lightFilm = 0.80

// Image draws the sheet as it is cut.
func Image(sheet layout.Sheet, opt Options) (*image.RGBA, error) {
	const title, border = 14.0, 5.0 // mm above and around the film
	length := math.Max(float64(sheet.Length), sheet.Bounds().Max.X)
	film := outline.Box{Max: outline.Pt(length, float64(sheet.Film.Width))}
	if sheet.Length <= 0 || sheet.Film.Width <= 0 {
		return nil, &Error{Cause: ErrEmpty, Detail: fmt.Sprintf("sheet %q is %v long on film %v wide", sheet.Name, sheet.Length, sheet.Film.Width)}
	}
	view := film.Grow(border)
	view.Max.Y += title
	c, err := NewCanvas(view, opt.scale())
	if err != nil {
		return nil, err
	}
	filmColour, err := Colour(sheet.Film.Colour)
	if err != nil {
		return nil, err
	}
	ground := liner
	if luminance(filmColour) > lightFilm {
		ground = lightBack
	}
	c.Fill(boxPath(film), ground)
	c.Outline(boxPath(film), 0.3, linerEdge)
	for _, d := range sheet.Decals {
		col := filmColour
		if d.Colour != "" {
			if col, err = Colour(d.Colour); err != nil {
				return nil, err
			}
		}
		c.Fill(d.Path, col)
	}
	helper := faint
	if ground == lightBack {
		helper = color.RGBA{0xe8, 0xe8, 0xe8, 0xff}
	}
	c.Outline(sheet.WeedBorder, 0.25, helper)
	for _, l := range sheet.WeedLines {
		c.Dashed(l, 0.35, 2, helper)
	}
	for _, l := range sheet.TrimLines {
		c.Dashed(l, 0.5, 5, helper)
	}
	for _, l := range sheet.Marks {
		c.Stroke(l, 0.25, helper)
	}
	if !opt.NoIDs {
		for _, d := range sheet.Decals {
			if err := c.label(d.ID, d.Path.Bounds().Centre()); err != nil {
				return nil, err
			}
		}
	}
	for _, m := range opt.Markers {
		if err := c.Mark(m); err != nil {
			return nil, err
		}
	}
	text := opt.Title
	if text == "" {
		text = fmt.Sprintf("%s   %s, %s wide   %s used   as cut", sheet.Name, sheet.Film.Name, sheet.Film.Width.InchString(), sheet.Length.InchString())
	}
	if err := c.fitText(text, outline.Pt(0, film.Max.Y+border), 5.5, view.Max.X-30, ink); err != nil {
		return nil, err
	}
	return c.Image(), c.scaleBar(outline.Pt(film.Max.X, film.Max.Y+border))
}

// fitText writes text at p, smaller where it would be wider than width.
func (c *Canvas) fitText(text string, p outline.Point, em, width float64, col color.Color) error {
	w, err := c.TextWidth(text, em, Bold)
	if err != nil {
		return err
	}
	if w > width && width > 0 {
		em *= width / w
	}
	return c.Text(text, p, em, Bold, false, col)
}

// scaleBar draws a bar of one inch that ends at p.
func (c *Canvas) scaleBar(p outline.Point) error {
	const inch = 25.4
	a := outline.Pt(p.X-inch, p.Y)
	c.Stroke(outline.Polyline(a.Add(outline.Pt(0, 1.2)), a, p, p.Add(outline.Pt(0, 1.2))), 0.35, ink)
	return c.Text("1 in", a.Lerp(p, 0.5).Add(outline.Pt(0, 1.6)), 3.6, Regular, true, ink)
}

// label writes an id on a small plate centred at p.
func (c *Canvas) label(id string, p outline.Point) error {
	const em = 4.2
	w, err := c.TextWidth(id, em, Bold)
	if err != nil {
		return err
	}
	half := outline.Pt(w/2+1.2, 2.6)
	plate := boxPath(outline.Box{Min: p.Sub(half), Max: p.Add(half)})
	c.Fill(plate, color.White)
	c.Outline(plate, 0.25, ink)
	return c.Text(id, p.Sub(outline.Pt(0, 1.5)), em, Bold, true, ink)
}

// Mark draws a marker: its shape in white with a dark rim and its label in it.
func (c *Canvas) Mark(m Marker) error {
	const r, em = 2.6, 3.4
	var shape outline.Contour
	switch m.Shape {
	case Square:
		shape = polygonAt(m.At, r*1.25, 4, 45)
	case Triangle:
		shape = polygonAt(m.At, r*1.7, 3, 90)
	case Diamond:
		shape = polygonAt(m.At, r*1.5, 4, 0)
	default:
		shape = polygonAt(m.At, r, 32, 0)
	}
	c.Fill(outline.Path{shape}, color.White)
	c.Stroke(shape.Curve(), 0.45, ink)
	return c.Text(m.Label, m.At.Sub(outline.Pt(0, em*0.36)), em, Bold, true, ink)
}

func polygonAt(centre outline.Point, r float64, n int, startDegrees float64) outline.Contour {
	points := make([]outline.Point, n)
	for i := range points {
		a := (startDegrees + 360*float64(i)/float64(n)) * math.Pi / 180
		points[i] = centre.Add(outline.Pt(r*math.Cos(a), r*math.Sin(a)))
	}
	return outline.Polygon(points...)
}

func boxPath(b outline.Box) outline.Path {
	return outline.Path{outline.Polygon(b.Min, outline.Pt(b.Max.X, b.Min.Y), b.Max, outline.Pt(b.Min.X, b.Max.Y))}
}

// WritePNG draws the sheet and writes it as PNG.
func WritePNG(w io.Writer, sheet layout.Sheet, opt Options) error {
	img, err := Image(sheet, opt)
	if err != nil {
		return err
	}
	return encode(w, img)
}

// Shape draws a single path, filled in the given CSS colour, with a margin of
// 3 % of its larger side.
func Shape(p outline.Path, colour string, opt Options) (*image.RGBA, error) {
	b := p.Bounds()
	c, err := NewCanvas(b.Grow(0.03*math.Max(b.Width(), b.Height())), opt.scale())
	if err != nil {
		return nil, err
	}
	col, err := Colour(colour)
	if err != nil {
		return nil, err
	}
	if luminance(col) > lightFilm {
		c.Fill(boxPath(c.view), lightBack)
	}
	c.Fill(p, col)
	for _, m := range opt.Markers {
		if err := c.Mark(m); err != nil {
			return nil, err
		}
	}
	return c.Image(), nil
}

// WriteShapePNG draws a single path and writes it as PNG.
func WriteShapePNG(w io.Writer, p outline.Path, colour string, opt Options) error {
	img, err := Shape(p, colour, opt)
	if err != nil {
		return err
	}
	return encode(w, img)
}

// encode favours speed: a proof is looked at, then thrown away.
func encode(w io.Writer, img image.Image) error {
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	return e.Encode(w, img)
}
