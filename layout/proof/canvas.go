package proof

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"

	"github.com/golang/freetype/raster"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// MaxPixels is the largest picture that is drawn, in pixels: 256 MB in memory.
const MaxPixels = 64 << 20

// maxSide keeps coordinates within the rasteriser's 26.6 fixed point.
const maxSide = 1 << 20

// Canvas is a picture of a part of the plane, drawn in millimetres, y up. Make
// one with [NewCanvas]; the zero Canvas has no pixels and cannot be drawn on. What
// lies outside the view is cut off, and what has a coordinate that is not finite
// is left out. A nil colour is black. One goroutine draws on a canvas at a time.
type Canvas struct {
	img   *image.RGBA
	view  outline.Box
	scale float64 // pixels per millimetre
	fill  *raster.Rasterizer
}

// NewCanvas returns a white canvas that shows view at the given number of
// pixels per millimetre; an [*Error] wraps [ErrTooLarge] where that is more
// than [MaxPixels].
func NewCanvas(view outline.Box, pixelsPerMM float64) (*Canvas, error) {
	if view.IsEmpty() || !view.Min.IsFinite() || !view.Max.IsFinite() {
		return nil, &Error{Cause: ErrEmpty, Detail: fmt.Sprintf("%.3g by %.3g mm; give it a view with an area and finite corners", view.Width(), view.Height())}
	}
	if !(pixelsPerMM > 0) || math.IsInf(pixelsPerMM, 0) {
		return nil, &Error{Cause: ErrInvalid, Detail: fmt.Sprintf("%v pixels per millimetre; give a number above zero", pixelsPerMM)}
	}
	w, h := math.Ceil(view.Width()*pixelsPerMM), math.Ceil(view.Height()*pixelsPerMM)
	w, h = math.Max(w, 1), math.Max(h, 1)
	if w > maxSide || h > maxSide || w*h > MaxPixels {
		return nil, &Error{Cause: ErrTooLarge, Detail: fmt.Sprintf("%.0f x %.0f pixels; draw fewer pixels per millimetre, for %d pixels in all at most, %d along a side", w, h, MaxPixels, maxSide)}
	}
	img := image.NewRGBA(image.Rect(0, 0, int(w), int(h)))
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	r := raster.NewRasterizer(int(w), int(h))
	r.UseNonZeroWinding = true
	return &Canvas{img, view, pixelsPerMM, r}, nil
}

// Image returns the picture drawn so far; it is the canvas's own, and changes
// as more is drawn.
func (c *Canvas) Image() *image.RGBA { return c.img }

// point maps millimetres to the rasteriser's 26.6 pixels, flipping y.
func (c *Canvas) point(p outline.Point) fixed.Point26_6 {
	x := (p.X - c.view.Min.X) * c.scale * 64
	y := (c.view.Max.Y - p.Y) * c.scale * 64
	return fixed.Point26_6{X: clamp26(x), Y: clamp26(y)}
}

// clamp26 keeps far-away points within what the rasteriser can add up.
func clamp26(v float64) fixed.Int26_6 {
	const limit = 1 << 27 // two million pixels, twice the longest side
	if v != v {
		return 0
	}
	return fixed.Int26_6(math.Round(math.Max(-limit, math.Min(limit, v))))
}

func (c *Canvas) trace(to raster.Adder, start outline.Point, segments []outline.Segment) {
	to.Start(c.point(start))
	for _, s := range segments {
		switch s.Kind {
		case outline.Quad:
			to.Add2(c.point(s.C1), c.point(s.End))
		case outline.Cubic:
			to.Add3(c.point(s.C1), c.point(s.C2), c.point(s.End))
		default:
			to.Add1(c.point(s.End))
		}
	}
}

func (c *Canvas) paint(col color.Color) {
	p := raster.NewRGBAPainter(c.img)
	p.SetColor(orBlack(col))
	c.fill.Rasterize(p)
	c.fill.Clear()
}

func orBlack(col color.Color) color.Color {
	if col == nil {
		return color.Black
	}
	return col
}

// Fill paints the inside of p by the non-zero rule.
func (c *Canvas) Fill(p outline.Path, col color.Color) {
	for _, contour := range p {
		c.trace(c.fill, contour.Start, contour.Segments)
	}
	c.paint(col)
}

// strokeTolerance bounds how far a stroked line lies from its curve, in
// pixels: a twentieth cannot be seen.
const strokeTolerance = 0.05

// Stroke draws a line of the given width in millimetres along the curve, with
// round ends and corners, at least half a pixel wide.
func (c *Canvas) Stroke(curve outline.Curve, width float64, col color.Color) {
	const least = 0.5 // pixels
	w := least / c.scale
	if width > w { // and no NaN
		w = math.Min(width, c.view.Width()+c.view.Height())
	}
	// The rasteriser's stroker knows no cubics, and no far-away points.
	points := curve.Flatten(nil, units.Length(strokeTolerance/c.scale))
	for _, run := range runsIn(points, c.view.Grow(w+1/c.scale)) {
		var path raster.Path
		path.Start(c.point(run[0]))
		for _, p := range run[1:] {
			path.Add1(c.point(p))
		}
		c.fill.AddStroke(path, clamp26(w*c.scale*64), raster.RoundCapper, raster.RoundJoiner)
	}
	c.paint(col)
}

// runsIn returns the parts of the polyline that lie in the box.
func runsIn(points []outline.Point, b outline.Box) [][]outline.Point {
	var runs [][]outline.Point
	open := false // the last run ends where the next line begins
	if len(points) == 1 && b.Contains(points[0]) {
		return [][]outline.Point{points}
	}
	for i := 1; i < len(points); i++ {
		t0, t1, ok := within(points[i-1], points[i], b)
		if !ok {
			open = false
			continue
		}
		if !open || t0 > 0 {
			runs = append(runs, []outline.Point{points[i-1].Lerp(points[i], t0)})
		}
		end := points[i]
		if t1 < 1 {
			end = points[i-1].Lerp(points[i], t1)
		}
		runs[len(runs)-1] = append(runs[len(runs)-1], end)
		open = t1 == 1
	}
	return runs
}

// within returns between which parameters the line from p to q lies in the box
// (Liang and Barsky, "A new concept and method for line clipping", ACM
// Transactions on Graphics 3, 1984); ok is false where nowhere, or where it has a
// coordinate that is not finite.
func within(p, q outline.Point, b outline.Box) (t0, t1 float64, ok bool) {
	t0, t1 = 0, 1
	d := q.Sub(p)
	if !d.IsFinite() {
		return 0, 0, false
	}
	for _, side := range [4][2]float64{{-d.X, p.X - b.Min.X}, {d.X, b.Max.X - p.X}, {-d.Y, p.Y - b.Min.Y}, {d.Y, b.Max.Y - p.Y}} {
		switch out, room := side[0], side[1]; {
		case out == 0 && room < 0:
			return 0, 0, false
		case out < 0:
			t0 = math.Max(t0, room/out)
		case out > 0:
			t1 = math.Min(t1, room/out)
		}
	}
	return t0, t1, t0 <= t1
}

// Outline draws a line along every contour of p.
func (c *Canvas) Outline(p outline.Path, width float64, col color.Color) {
	for _, contour := range p {
		c.Stroke(contour.Curve(), width, col)
	}
}

// Dashed draws a line of dashes, each and the space after it dash millimetres
// long, along the flattened curve; a solid one where dash is not above zero.
func (c *Canvas) Dashed(curve outline.Curve, width, dash float64, col color.Color) {
	if !(dash > 0) {
		c.Stroke(curve, width, col)
		return
	}
	points := curve.Flatten(nil, 0)
	left, on := dash, true
	run := []outline.Point{points[0]}
	flush := func() {
		if on && len(run) > 1 {
			c.Stroke(outline.Polyline(run...), width, col)
		}
	}
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		length := a.Distance(b)
		if length/dash > maxDashes {
			c.Stroke(curve, width, col)
			return
		}
		for done := 0.0; length-done > left; {
			done += left
			at := a.Lerp(b, done/length)
			run = append(run, at)
			flush()
			run, left, on = []outline.Point{at}, dash, !on
			a, length, done = at, length-done, 0
		}
		left -= length
		run = append(run, b)
	}
	flush()
}

// maxDashes bounds the work of one dashed segment; a longer one is drawn solid.
const maxDashes = 1e5

// Weight tells how heavy text is drawn.
type Weight uint8

// The weights of text.
const (
	Regular Weight = iota
	Bold
)

// String names the weight.
func (w Weight) String() string {
	switch w {
	case Regular:
		return "regular"
	case Bold:
		return "bold"
	}
	return "unknown weight"
}

// Anchor tells which point of a line of text stands at its place; the names are
// those of SVG's text-anchor.
type Anchor uint8

// The anchors, on the baseline.
const (
	Start Anchor = iota
	Middle
)

// String names the anchor.
func (a Anchor) String() string {
	switch a {
	case Start:
		return "start"
	case Middle:
		return "middle"
	}
	return "unknown anchor"
}

// maxTextPixels bounds the em of text: a letter of 4096 pixels takes 16 MB.
const maxTextPixels = 4096

// Text writes a line of text with its anchor at p, at the given height of the em
// in millimetres; zero writes nothing. Characters that the Go fonts lack come out
// as boxes. The error is an [*Error]: [ErrInvalid] for a height that is no
// number of zero or more, [ErrTooLarge] for one of more than 4096 pixels.
func (c *Canvas) Text(text string, p outline.Point, em float64, weight Weight, anchor Anchor, col color.Color) error {
	face, err := c.face(em, weight)
	if err != nil || !p.IsFinite() {
		return err
	}
	defer face.Close()
	at := c.point(p)
	if anchor == Middle {
		at.X -= font.MeasureString(face, text) / 2
	}
	d := font.Drawer{Dst: c.img, Src: image.NewUniform(orBlack(col)), Face: face, Dot: at}
	d.DrawString(text)
	return nil
}

// TextWidth returns the width of a line of text in millimetres. Its errors are
// those of [Canvas.Text].
func (c *Canvas) TextWidth(text string, em float64, weight Weight) (float64, error) {
	face, err := c.face(em, weight)
	if err != nil {
		return 0, err
	}
	defer face.Close()
	return float64(font.MeasureString(face, text)) / 64 / c.scale, nil
}

func (c *Canvas) face(em float64, weight Weight) (font.Face, error) {
	switch size := em * c.scale; {
	case !(em >= 0) || math.IsInf(em, 0):
		return nil, &Error{Cause: ErrInvalid, Detail: fmt.Sprintf("text %v mm high; give zero or more", em)}
	case size > maxTextPixels:
		return nil, &Error{Cause: ErrTooLarge, Detail: fmt.Sprintf("text of %.0f pixels; write it smaller, %d at most", size, maxTextPixels)}
	}
	data := goregular.TTF
	if weight == Bold {
		data = gobold.TTF
	}
	f, err := opentype.Parse(data)
	if err != nil {
		return nil, &Error{Cause: err, Detail: "the label font"}
	}
	return opentype.NewFace(f, &opentype.FaceOptions{Size: em * c.scale, DPI: 72, Hinting: font.HintingNone})
}
