package proof

import (
	"fmt"
	"image"
	"image/draw"
	"math"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// MaxStretches is the greatest number of pictures of one sheet.
const MaxStretches = 1000

// beyond is how much film a stretch shows past its ends, so that most letters on
// the border between two, and their numbers, are seen whole.
const beyond = units.Inch / 2

// Stretches draws the sheet as [Image] does and parts the picture across into n,
// from the sheet's start on, each of an equal length of film and half an inch of
// its neighbours: a long load on paper. Above each stands which stretch it is.
// Errors are those of Image; an n below 1 or above [MaxStretches] is an [*Error]
// wrapping [ErrInvalid].
func Stretches(sheet layout.Sheet, opt Options, n int) ([]*image.RGBA, error) {
	if n < 1 || n > MaxStretches {
		return nil, &Error{Cause: ErrInvalid, Detail: fmt.Sprintf("%d stretches; ask for 1 to %d", n, MaxStretches)}
	}
	c, film, err := drawn(sheet, opt, n)
	if err != nil {
		return nil, err
	}
	if n == 1 {
		return []*image.RGBA{c.Image()}, nil
	}
	length := film.Width() / float64(n)
	b := c.img.Bounds()
	out := make([]*image.RGBA, n)
	for k := range out {
		from, to := float64(k)*length, float64(k+1)*length
		if k > 0 {
			text := fmt.Sprintf("%s   from %.0f in to %.0f in", sheet.Name, units.Length(from).Inches(), units.Length(to).Inches())
			if err := c.fitText(text, outline.Pt(from, film.Max.Y+border), titleHeight, length, ink); err != nil {
				return nil, err
			}
		}
		part := image.Rect(0, b.Min.Y, b.Max.X, b.Max.Y)
		if k > 0 {
			part.Min.X = int(math.Floor((from - float64(beyond) - c.view.Min.X) * c.scale))
		}
		if k < n-1 {
			part.Max.X = int(math.Ceil((to + float64(beyond) - c.view.Min.X) * c.scale))
		}
		part = part.Intersect(b)
		out[k] = image.NewRGBA(image.Rect(0, 0, part.Dx(), part.Dy()))
		draw.Draw(out[k], out[k].Bounds(), c.img, part.Min, draw.Src)
	}
	return out, nil
}
