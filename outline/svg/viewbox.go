package svg

import (
	"strings"

	"github.com/vinylgeom/vinyl/outline"
)

// viewBox is the rectangle of user space that fills a viewport.
type viewBox struct{ x, y, width, height float64 }

// parseViewBox reads the four numbers. A negative extent is an error; an empty
// one, by the standard, draws nothing and is an error here too.
func parseViewBox(text string) (viewBox, error) {
	v, err := numbers(text)
	if err != nil {
		return viewBox{}, err
	}
	if len(v) != 4 || !(v[2] > 0) || !(v[3] > 0) {
		return viewBox{}, &syntaxError{offset: 0, want: "four numbers, the width and height above zero"}
	}
	return viewBox{v[0], v[1], v[2], v[3]}, nil
}

// into returns the map from the box into the viewport with the corner (x, y)
// and the given extent, by a preserveAspectRatio value (SVG 2, 8.6; "" means
// xMidYMid meet), and whether parts of the box can fall outside (slice).
func (b viewBox) into(x, y, width, height float64, aspect string) (t outline.Transform, slice bool, err error) {
	kx, ky := width/b.width, height/b.height
	align, slice, err := parseAspect(aspect)
	if err != nil {
		return t, false, err
	}
	if align != "none" {
		k := min(kx, ky)
		if slice {
			k = max(kx, ky)
		}
		kx, ky = k, k
	}
	tx, ty := x-b.x*kx, y-b.y*ky
	tx += alignment(align, "xMid", "xMax") * (width - b.width*kx)
	ty += alignment(align, "YMid", "YMax") * (height - b.height*ky)
	return outline.Transform{XX: kx, YY: ky, X0: tx, Y0: ty}, slice, nil
}

// alignment returns the share of the spare room that lies before the box.
func alignment(align, mid, far string) float64 {
	switch {
	case strings.Contains(align, mid):
		return 0.5
	case strings.Contains(align, far):
		return 1
	}
	return 0
}

func parseAspect(text string) (align string, slice bool, err error) {
	words := strings.Fields(text)
	align = "xMidYMid"
	if len(words) > 0 && words[0] == "defer" {
		words = words[1:] // SVG 1.1, meant for images only
	}
	if len(words) > 0 {
		align = words[0]
		words = words[1:]
	}
	if len(words) > 0 && (words[0] == "meet" || words[0] == "slice") {
		slice = words[0] == "slice"
		words = words[1:]
	}
	switch align {
	case "none", "xMinYMin", "xMidYMin", "xMaxYMin", "xMinYMid", "xMidYMid", "xMaxYMid", "xMinYMax", "xMidYMax", "xMaxYMax":
	default:
		words = append(words, align)
	}
	if len(words) > 0 {
		return "", false, &syntaxError{want: "none, or an alignment such as xMidYMid, then meet or slice"}
	}
	return align, slice && align != "none", nil
}
