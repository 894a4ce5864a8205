package proof

import (
	"cmp"
	"image"
	"image/color"
	"slices"
)

// paletteSize is the most colours that a picture with a palette can have.
const paletteSize = 256

// paletted returns the picture with a palette of its most frequent colours,
// others replaced by the nearest of them: a proof has a handful of colours and
// the shades between them along edges, and is a third as large that way.
func paletted(img *image.RGBA) *image.Paletted {
	counts := map[color.RGBA]int{}
	last, run := color.RGBA{}, 0
	for i := 0; i+3 < len(img.Pix); i += 4 { // runs of one colour are counted at once
		c := color.RGBA{img.Pix[i], img.Pix[i+1], img.Pix[i+2], img.Pix[i+3]}
		if c == last {
			run++
			continue
		}
		counts[last] += run
		last, run = c, 1
	}
	counts[last] += run
	colours := make([]color.RGBA, 0, len(counts))
	for c, n := range counts {
		if n > 0 {
			colours = append(colours, c)
		}
	}
	slices.SortFunc(colours, func(a, b color.RGBA) int {
		return cmp.Or(cmp.Compare(counts[b], counts[a]), cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B), cmp.Compare(a.A, b.A))
	})
	var palette color.Palette
	index := make(map[color.RGBA]uint8, len(colours))
	for i, c := range colours {
		if i < paletteSize {
			palette = append(palette, c)
			index[c] = uint8(i)
		} else {
			index[c] = uint8(palette.Index(c))
		}
	}
	out := image.NewPaletted(img.Rect, palette)
	last, at := color.RGBA{}, index[color.RGBA{}]
	for i := range out.Pix {
		c := color.RGBA{img.Pix[4*i], img.Pix[4*i+1], img.Pix[4*i+2], img.Pix[4*i+3]}
		if c != last {
			last, at = c, index[c]
		}
		out.Pix[i] = at
	}
	return out
}
