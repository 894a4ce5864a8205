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

// Options say how a picture is drawn. The zero value suits a screen and a print
// across a page. [Shape] looks at PixelsPerMM and Markers only.
type Options struct {
	PixelsPerMM float64 // zero: 4, so that 12 in of film are 1219 pixels; less where a long sheet would make an unwieldy picture
	Title       string  // above the film; empty: the sheet's name, film and length
	NoIDs       bool    // leave the decals' ids out
	// Film is the shape of the film where it is no rectangle: a leftover with
	// its holes, in the sheet's coordinates. Empty: the sheet's length by its
	// film's width.
	Film outline.Path
	// TextHeight is the em of the decals' ids, in millimetres of film; markers
	// are four fifths of it. Zero: 4.2.
	TextHeight float64
	// Markers are numbered places. On a sheet each stands beside its place, where it
	// covers no edge, letter or line, with a line that leads to a dot on the
	// place; on a single shape it stands on it.
	Markers []Marker
}

// Marker is a numbered place on a picture, in the picture's millimetres.
type Marker struct {
	At    outline.Point
	Label string // one to three characters
	Shape MarkerShape
}

// MarkerShape tells markers apart without colour.
type MarkerShape uint8

// The shapes of markers. Triangle stands on its base, Diamond on a corner; any
// other number is drawn as a Disc.
const (
	Disc MarkerShape = iota
	Square
	Triangle
	Diamond
)

// String names the shape.
func (s MarkerShape) String() string {
	switch s {
	case Disc:
		return "disc"
	case Square:
		return "square"
	case Triangle:
		return "triangle"
	case Diamond:
		return "diamond"
	}
	return "unknown shape"
}

// defaultTextHeight is legible on the screen and, with film 12 in wide printed across
// a page, on paper.
const defaultTextHeight = 4.2

// markerShare is the height of markers' text as a share of the ids'.
const markerShare = 0.8

func (o Options) textHeight() float64 {
	if o.TextHeight == 0 {
		return defaultTextHeight
	}
	return o.TextHeight
}

// defaultPixelsPerMM draws 12 in film 1219 pixels wide.
const defaultPixelsPerMM = 4

// defaultPixels bounds the pictures of long sheets that state no scale: 12 in film
// 6 m long is drawn at the default scale, a whole roll of 50 m at a third of it.
const defaultPixels = 32 << 20

func (o Options) scale(view outline.Box) float64 {
	if o.PixelsPerMM == 0 {
		return math.Min(defaultPixelsPerMM, math.Sqrt(defaultPixels/(view.Width()*view.Height())))
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

// lightFilm is the luma above which film is shown on a dark ground.
const lightFilm = 0.80

// Image draws the sheet as it is cut, from its start at the left. An id stands
// on its decal where that has room for it, so that it hides no letter. The
// error is an [*Error]: [ErrEmpty] for a sheet without length or width,
// [ErrTooLarge] beyond [MaxPixels], [ErrInvalid] for a colour, scale or text height
// that is none.
func Image(sheet layout.Sheet, opt Options) (*image.RGBA, error) {
	c, _, err := drawn(sheet, opt, 1)
	if err != nil {
		return nil, err
	}
	return c.Image(), nil
}

// In millimetres: what is left above and around the film, the title's height,
// and the room that the scale bar needs beside it.
const (
	titleBand   = 14.0
	border      = 5.0
	titleHeight = 5.5
	titleRoom   = 30.0
)

// drawn draws the sheet, whose film it returns, with the title and the scale bar
// over the first of n stretches.
func drawn(sheet layout.Sheet, opt Options, n int) (*Canvas, outline.Box, error) {
	length := math.Max(float64(sheet.Length), sheet.Bounds().Max.X)
	film := outline.Box{Max: outline.Pt(length, float64(sheet.Film.Width))}
	fail := func(err error) (*Canvas, outline.Box, error) { return nil, film, err }
	if sheet.Length <= 0 || sheet.Film.Width <= 0 {
		return fail(&Error{Cause: ErrEmpty, Detail: fmt.Sprintf("sheet %q is %v long on film %v wide", sheet.Name, sheet.Length, sheet.Film.Width)})
	}
	view := film.Grow(border)
	view.Max.Y += titleBand
	c, err := NewCanvas(view, opt.scale(view))
	if err != nil {
		return fail(err)
	}
	filmColour, err := Colour(sheet.Film.Colour)
	if err != nil {
		return fail(err)
	}
	ground := liner
	if luma(filmColour) > lightFilm {
		ground = lightBack
	}
	shape := opt.Film
	if len(shape) == 0 {
		shape = boxPath(film)
	}
	c.Fill(shape, ground)
	c.Outline(shape, 0.3, linerEdge)
	for _, d := range sheet.Decals {
		col := filmColour
		if d.Colour != "" {
			if col, err = Colour(d.Colour); err != nil {
				return fail(err)
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
	if err := c.labels(sheet, opt); err != nil {
		return fail(err)
	}
	text := opt.Title
	if text == "" {
		text = fmt.Sprintf("%s   %s, %s wide   %s used   as cut", sheet.Name, sheet.Film.Name, sheet.Film.Width.InchString(), sheet.Length.InchString())
	}
	first := film.Max.X / float64(n)
	if n > 1 {
		first -= float64(beyond) + 1 // the next stretch does not show it
	}
	if err := c.fitText(text, outline.Pt(0, film.Max.Y+border), titleHeight, first-titleRoom, ink); err != nil {
		return fail(err)
	}
	return c, film, c.scaleBar(outline.Pt(first, film.Max.Y+border))
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
	return c.Text(text, p, em, Bold, Start, col)
}

// scaleBar draws a bar of one inch that ends at p.
func (c *Canvas) scaleBar(p outline.Point) error {
	const inch = 25.4
	a := outline.Pt(p.X-inch, p.Y)
	c.Stroke(outline.Polyline(a.Add(outline.Pt(0, 1.2)), a, p, p.Add(outline.Pt(0, 1.2))), 0.35, ink)
	return c.Text("1 in", a.Lerp(p, 0.5).Add(outline.Pt(0, 1.6)), 3.6, Regular, Middle, ink)
}

// labels writes the decals' ids and the markers where they hide nothing.
func (c *Canvas) labels(sheet layout.Sheet, opt Options) error {
	if opt.NoIDs && len(opt.Markers) == 0 {
		return nil
	}
	free, err := newRoom(c.view, sheet)
	if err != nil {
		return err
	}
	em := opt.textHeight()
	if !opt.NoIDs {
		for i, d := range sheet.Decals {
			if err := c.label(free, sheet, i, d.ID, em); err != nil {
				return err
			}
		}
	}
	return c.marksBeside(free, opt.Markers, markerShare*em)
}

// smallerText are the sizes that are tried for an id or a marker, as shares of the
// wanted.
var smallerText = [...]float64{1, 0.8, 0.65}

// label writes the id of the i-th decal on a small plate.
func (c *Canvas) label(free *room, sheet layout.Sheet, i int, id string, em float64) error {
	for k, share := range smallerText {
		w, err := c.TextWidth(id, share*em, Bold)
		if err != nil {
			return err
		}
		half := outline.Pt(w/2+0.3*share*em, 0.62*share*em)
		p, ok := free.forID(sheet, i, half)
		if !ok && k+1 < len(smallerText) {
			continue
		}
		free.take(p, half)
		plate := boxPath(outline.Box{Min: p.Sub(half), Max: p.Add(half)})
		c.Fill(plate, color.White)
		c.Outline(plate, 0.25, ink)
		return c.Text(id, p.Sub(outline.Pt(0, 0.36*share*em)), share*em, Bold, Middle, ink)
	}
	return nil
}

// marksBeside draws the markers beside their places: first every line to a
// place, then the plates, so that no line runs over a number.
func (c *Canvas) marksBeside(free *room, markers []Marker, em float64) error {
	at := make([]outline.Point, len(markers))
	radius, ems := make([]float64, len(markers)), make([]float64, len(markers))
	for _, m := range markers {
		free.mark(m.At)
	}
	for i, m := range markers {
		for _, share := range smallerText {
			w, err := c.TextWidth(m.Label, share*em, Bold)
			if err != nil {
				return err
			}
			height, ok := share*em, false
			radius[i] = math.Max(w/2+0.2*height, 0.66*height) / m.Shape.textShare()
			half := outline.Pt(radius[i], radius[i])
			if at[i], ok = free.beside(m.At, half); ok || share == smallerText[len(smallerText)-1] {
				ems[i] = height
				free.take(at[i], half) // without room it stands on its place
				break
			}
		}
		free.lead(m.At, at[i])
	}
	for i, m := range markers {
		if at[i] != m.At {
			line := outline.Polyline(m.At, at[i])
			c.Stroke(line, 0.18*em, color.White)
			c.Stroke(line, 0.07*em, ink)
		}
		dot := outline.Path{polygonAt(m.At, 0.16*em, 24, 0)}
		c.Fill(dot, ink)
		c.Outline(dot, 0.06*em, color.White)
	}
	for i, m := range markers {
		if err := c.mark(m, at[i], radius[i], ems[i]); err != nil {
			return err
		}
	}
	return nil
}

// textShare is the radius of the circle in a shape's middle that text may
// fill, as a share of the shape's own radius.
func (s MarkerShape) textShare() float64 {
	switch s {
	case Triangle:
		return 1 / 1.7
	case Diamond:
		return 1 / 1.5
	case Square:
		return 1 / 1.25
	}
	return 1
}

// Mark draws a marker on its place: its shape in white with a dark rim and its
// label in it, 3.4 mm high. Its errors are those of [Canvas.Text].
func (c *Canvas) Mark(m Marker) error {
	const r, em = 2.6, 3.4
	return c.mark(m, m.At, r/m.Shape.textShare(), em)
}

// mark draws a marker's shape of the given radius and its text at p.
func (c *Canvas) mark(m Marker, p outline.Point, radius, em float64) error {
	var shape outline.Contour
	switch m.Shape {
	case Square:
		shape = polygonAt(p, radius, 4, 45)
	case Triangle:
		shape = polygonAt(p, radius, 3, 90)
	case Diamond:
		shape = polygonAt(p, radius, 4, 0)
	default:
		shape = polygonAt(p, radius, 32, 0)
	}
	c.Fill(outline.Path{shape}, color.White)
	c.Stroke(shape.Curve(), 0.1*em, ink)
	return c.Text(m.Label, p.Sub(outline.Pt(0, em*0.36)), em, Bold, Middle, ink)
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

// WritePNG draws the sheet and writes it as PNG. Errors are those of [Image]
// and of w.
func WritePNG(w io.Writer, sheet layout.Sheet, opt Options) error {
	img, err := Image(sheet, opt)
	if err != nil {
		return err
	}
	return Encode(w, img)
}

// Shape draws a single path, filled in the given CSS colour (see [Colour]), with
// a margin of 3 % of its larger side. The error is an [*Error].
func Shape(p outline.Path, colour string, opt Options) (*image.RGBA, error) {
	b := p.Bounds()
	view := b.Grow(0.03 * math.Max(b.Width(), b.Height()))
	c, err := NewCanvas(view, opt.scale(view))
	if err != nil {
		return nil, err
	}
	col, err := Colour(colour)
	if err != nil {
		return nil, err
	}
	if luma(col) > lightFilm {
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

// WriteShapePNG draws a single path and writes it as PNG. Errors are those of
// [Shape] and of w.
func WriteShapePNG(w io.Writer, p outline.Path, colour string, opt Options) error {
	img, err := Shape(p, colour, opt)
	if err != nil {
		return err
	}
	return Encode(w, img)
}

// Encode writes a picture as PNG, with the 256 colours that are the most frequent
// in it: pictures of one or a few films look the same with them. Errors are those
// of w.
func Encode(w io.Writer, img *image.RGBA) error { return png.Encode(w, paletted(img)) }
