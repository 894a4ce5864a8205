package main

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"

	"github.com/golang/freetype/raster"
	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest"
	"golang.org/x/image/math/fixed"
)

// fill is the colour of the ith outline: hues a golden angle apart, light enough for dark edges to show.
func fill(i int) color.RGBA {
	h := math.Mod(float64(i)*137.50776, 360) / 60
	channel := func(n float64) uint8 {
		k := math.Mod(n+h*2, 12)
		return uint8(255 * (0.78 - 0.18*max(-1, min(k-3, 9-k, 1))))
	}
	return color.RGBA{channel(0), channel(8), channel(4), 255}
}

// placed are the outlines of a layout and the index of each one's piece.
func placed(in instance, r nest.Result) (outlines []orb.MultiPolygon, piece []int) {
	index := map[string]int{}
	for i, p := range in.pieces {
		index[p.ID] = i
	}
	for _, load := range r.Loads {
		for _, p := range load.Placements {
			i := index[p.Piece]
			outlines = append(outlines, p.Apply(in.pieces[i].Outline))
			piece = append(piece, i)
		}
	}
	return outlines, piece
}

// writeSVG writes the layout in its own unit, y flipped for SVG.
func writeSVG(w io.Writer, in instance, r nest.Result) error {
	length, width := float64(r.Length), in.stripWidth
	if _, err := fmt.Fprintf(w, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%d"><title>%.3f%% of a strip %g by %g</title>`+"\n",
		length, width, pictureWidth, 100*r.Density, length, width); err != nil {
		return err
	}
	fmt.Fprintf(w, `<g transform="matrix(1 0 0 -1 0 %g)" stroke="#222" stroke-width="%g" stroke-linejoin="round" fill-rule="evenodd">`+"\n", width, length/1500)
	fmt.Fprintf(w, `<rect width="%g" height="%g" fill="#f4f4f0"/>`+"\n", length, width)
	outlines, piece := placed(in, r)
	for n, outline := range outlines {
		c := fill(piece[n])
		fmt.Fprintf(w, `<path fill="#%02x%02x%02x" d="`, c.R, c.G, c.B)
		for _, polygon := range outline {
			for _, ring := range polygon {
				for i, p := range ring {
					command := "L"
					if i == 0 {
						command = "M"
					}
					fmt.Fprintf(w, "%s%g %g", command, p[0], p[1])
				}
				fmt.Fprint(w, "Z")
			}
		}
		fmt.Fprintln(w, `"/>`)
	}
	_, err := fmt.Fprintln(w, "</g></svg>")
	return err
}

// pictureWidth is the width of pictures in pixels, mostPixels the greatest height.
const (
	pictureWidth = 1600
	mostPixels   = 4000
)

// writePNG draws the layout, y up.
func writePNG(w io.Writer, in instance, r nest.Result) error {
	const border = 12
	length, width := float64(r.Length), in.stripWidth
	scale := min((pictureWidth-2*border)/length, (mostPixels-2*border)/width)
	wide, high := int(math.Ceil(length*scale))+2*border, int(math.Ceil(width*scale))+2*border
	img := image.NewRGBA(image.Rect(0, 0, wide, high))
	draw.Draw(img, img.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	point := func(p orb.Point) fixed.Point26_6 {
		return fixed.Point26_6{X: fixed.Int26_6(64 * (border + p[0]*scale)), Y: fixed.Int26_6(64 * (border + (width-p[1])*scale))}
	}
	painter := raster.NewRGBAPainter(img)
	rasterizer := raster.NewRasterizer(wide, high)
	paint := func(outline orb.MultiPolygon, c color.Color, line bool) {
		rasterizer.Clear()
		for _, polygon := range outline {
			for _, ring := range polygon {
				var path raster.Path
				path.Start(point(ring[0]))
				for _, p := range ring[1:] {
					path.Add1(point(p))
				}
				path.Add1(point(ring[0]))
				if line {
					raster.Stroke(rasterizer, path, 80, raster.RoundCapper, raster.RoundJoiner)
				} else {
					rasterizer.AddPath(path)
				}
			}
		}
		painter.SetColor(c)
		rasterizer.UseNonZeroWinding = line
		rasterizer.Rasterize(painter)
	}
	strip := orb.MultiPolygon{{{{0, 0}, {length, 0}, {length, width}, {0, width}}}}
	paint(strip, color.RGBA{244, 244, 240, 255}, false)
	outlines, piece := placed(in, r)
	for n, outline := range outlines {
		paint(outline, fill(piece[n]), false)
		paint(outline, color.RGBA{34, 34, 34, 255}, true)
	}
	paint(strip, color.RGBA{120, 120, 120, 255}, true)
	return png.Encode(w, img)
}
