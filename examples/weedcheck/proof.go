package main

import (
	"fmt"
	"image/color"
	"image/png"
	"io"
	"math"

	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// Colours of the proof: film in a light blue, findings in a dark orange. These differ
// in lightness too, and markers by shape and letter, for people who do not see
// red and green apart.
var (
	filmColour   = color.RGBA{0xb9, 0xcd, 0xe5, 0xff}
	edgeColour   = color.RGBA{0x3b, 0x55, 0x7a, 0xff}
	alertColour  = color.RGBA{0xb8, 0x4a, 0x00, 0xff}
	borderColour = color.RGBA{0x77, 0x77, 0x77, 0xff}
	inkColour    = color.RGBA{0x11, 0x11, 0x11, 0xff}
)

const (
	// pictureWidth is the width of the proof in pixels.
	pictureWidth = 1600
	// markerSize is a marker's radius, and lineHeight that of the table's lines, both
	// as a share of the picture's width.
	markerSize = 0.011
	lineHeight = 0.0155
	// maxLines bounds the table; the JSON report has them all.
	maxLines = 60
)

// drawProof draws the design, its markers and their table; safe is its smallest safe scale.
func drawProof(w io.Writer, p outline.Path, report weedability.Report, safe float64) error {
	markers := report.Markers(report.WeedLines)
	border := report.Waste.Border
	width := border.Width() * 1.04
	radius, line := markerSize*width, lineHeight*width
	rows := min(len(markers), maxLines) + 3
	view := outline.Box{
		Min: outline.Pt(border.Min.X-0.02*width, border.Min.Y-0.02*width-float64(rows)*line),
		Max: outline.Pt(border.Max.X+0.02*width, border.Max.Y+0.02*width+3*line),
	}
	scale := pictureWidth / view.Width()
	if h := view.Height() * scale; h > 4*pictureWidth {
		scale *= 4 * pictureWidth / h
	}
	c, err := proof.NewCanvas(view, scale)
	if err != nil {
		return err
	}
	c.Fill(p, filmColour)
	// The stroker knows no cubic curves: what is stroked is flattened first.
	for _, contour := range p {
		points := contour.Flatten(nil, 0)
		if len(points) > 1 {
			c.Stroke(outline.Polyline(append(points, points[0])...), 1.2/scale, edgeColour)
		}
	}
	c.Outline(outline.Path{outline.Rectangle(border)}, 1.5/scale, borderColour)
	for _, m := range markers {
		for _, curve := range m.Lines {
			curve = outline.Polyline(curve.Flatten(nil, 0)...)
			if m.Shape == weedability.MarkFlag {
				c.Dashed(curve, 3/scale, 12/scale, inkColour)
			} else {
				c.Stroke(curve, 4/scale, alertColour)
			}
		}
	}
	for _, m := range placed(markers, radius) {
		if m.at != m.At {
			c.Stroke(outline.Polyline(m.at, m.At), 1.5/scale, inkColour)
		}
	}
	for _, m := range placed(markers, radius) {
		if err := drawMarker(c, m.Marker, m.at, radius, scale); err != nil {
			return err
		}
	}
	if err := pullArrow(c, report, line, scale); err != nil {
		return err
	}
	at := outline.Pt(border.Min.X, border.Min.Y-2.2*line)
	head := fmt.Sprintf("%s to pick, %s of film, %s, about %.1f min to weed (estimate); smallest safe scale %.3f",
		count(len(report.Counters), "counter"), count(len(report.Islands), "piece"), count(len(report.Findings), "finding"), report.WeedMinutes, safe)
	if err := c.Text(head, outline.Pt(border.Min.X, border.Max.Y+1.6*line), 1.1*line, proof.Bold, proof.Start, inkColour); err != nil {
		return err
	}
	for i, m := range markers {
		if i == maxLines {
			if err := c.Text(fmt.Sprintf("and %d more, see the report", len(markers)-i), at, 0.85*line, proof.Regular, proof.Start, inkColour); err != nil {
				return err
			}
			break
		}
		if err := drawMarker(c, m, outline.Pt(at.X+0.6*line, at.Y+0.3*line), 0.45*line, scale); err != nil {
			return err
		}
		if err := c.Text(m.Label+"   "+m.Text, outline.Pt(at.X+1.8*line, at.Y), 0.85*line, proof.Regular, proof.Start, inkColour); err != nil {
			return err
		}
		at.Y -= line
	}
	return png.Encode(w, c.Image())
}

// place is a marker and where it is drawn: moved aside where it would hide another.
type place struct {
	weedability.Marker
	at outline.Point
}

// placed moves markers that would overlap on a spiral round their place.
func placed(markers []weedability.Marker, radius float64) []place {
	var out []place
	for _, m := range markers {
		at := m.At
		for step := 0; step < 200; step++ {
			free := true
			for _, o := range out {
				free = free && o.at.Distance(at) >= 2.1*radius
			}
			if free {
				break
			}
			sin, cos := math.Sincos(float64(step) * 2.4)
			r := radius * 0.6 * math.Sqrt(float64(step+4))
			at = m.At.Add(outline.Pt(r*cos, r*sin))
		}
		out = append(out, place{m, at})
	}
	return out
}

// drawMarker draws the marker's shape, dark where a limit is broken, with its label.
func drawMarker(c *proof.Canvas, m weedability.Marker, at outline.Point, radius, scale float64) error {
	shape := markerPath(m.Shape, at, radius)
	fill, ink := color.RGBA{0xff, 0xff, 0xff, 0xff}, inkColour
	if m.Alert {
		fill, ink = inkColour, color.RGBA{0xff, 0xff, 0xff, 0xff}
	}
	c.Fill(shape, fill)
	c.Outline(shape, 1.5/scale, inkColour)
	em := radius * 1.05
	if len(m.Label) > 2 {
		em = radius * 0.85
	}
	return c.Text(m.Label, outline.Pt(at.X, at.Y-0.36*em), em, proof.Bold, proof.Middle, ink)
}

// markerPath returns the outline of a marker.
func markerPath(s weedability.MarkerShape, at outline.Point, r float64) outline.Path {
	polygon := func(n int, from float64) outline.Path {
		var points []outline.Point
		for k := range n {
			sin, cos := math.Sincos((from + 360*float64(k)/float64(n)) * math.Pi / 180)
			points = append(points, at.Add(outline.Pt(1.25*r*cos, 1.25*r*sin)))
		}
		return outline.Path{outline.Polygon(points...)}
	}
	switch s {
	case weedability.MarkSquare:
		return outline.Path{outline.Rectangle(outline.Box{Min: at, Max: at}.Grow(0.95 * r))}
	case weedability.MarkTriangle:
		return outline.Path{outline.Polygon(at.Add(outline.Pt(0, 1.6*r)), at.Add(outline.Pt(-1.45*r, -0.8*r)), at.Add(outline.Pt(1.45*r, -0.8*r)))}
	case weedability.MarkDiamond:
		return polygon(4, 90)
	case weedability.MarkPentagon:
		return polygon(5, -90)
	case weedability.MarkHexagon:
		return polygon(6, 0)
	case weedability.MarkFlag:
		return outline.Path{outline.Polygon(at.Add(outline.Pt(-1.2*r, -0.8*r)), at.Add(outline.Pt(0.8*r, -0.8*r)), at.Add(outline.Pt(1.4*r, 0)), at.Add(outline.Pt(0.8*r, 0.8*r)), at.Add(outline.Pt(-1.2*r, 0.8*r)))}
	}
	return outline.Path{circle(at, r)}
}

func circle(at outline.Point, r float64) outline.Contour {
	var points []outline.Point
	for k := range 32 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 16)
		points = append(points, at.Add(outline.Pt(r*cos, r*sin)))
	}
	return outline.Polygon(points...)
}

// count writes a number of things.
func count(n int, of string) string {
	if n == 1 {
		return "1 " + of
	}
	return fmt.Sprintf("%d %ss", n, of)
}

// pullArrow shows where to start peeling and which way to pull, and says the order of work.
func pullArrow(c *proof.Canvas, report weedability.Report, line, scale float64) error {
	p, border := report.Pull, report.Waste.Border
	sin, cos := math.Sincos(p.Degrees * math.Pi / 180)
	d := outline.Pt(cos, sin)
	from, to := p.From, p.From.Add(d.Mul(3.2*line))
	side := d.Perp().Mul(0.5 * line)
	c.Stroke(outline.Polyline(from, to), 3/scale, inkColour)
	c.Fill(outline.Path{outline.Polygon(to.Add(d.Mul(line)), to.Add(side), to.Sub(side))}, inkColour)
	work := "peel from the arrow"
	if len(report.WeedLines) > 0 {
		work = "the dashed lines part the waste: peel each part from the arrow's side on"
	}
	switch n := len(report.Counters); {
	case n == 1:
		work += "; then pick C1"
	case n > 1:
		work += fmt.Sprintf("; then pick in the order C1 to C%d", n)
	}
	return c.Text(work, outline.Pt(border.Min.X, border.Max.Y+0.5*line), 0.8*line, proof.Regular, proof.Start, inkColour)
}
