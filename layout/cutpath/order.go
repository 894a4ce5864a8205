package cutpath

import (
	"context"

	"github.com/vinylgeom/vinyl/outline"
)

// orderStrokes orders the strokes of each phase and joins the phases.
func orderStrokes(ctx context.Context, phases []phase, opt Options) ([]Stroke, error) {
	var out []Stroke
	at := opt.Home
	for _, p := range phases {
		contours := make([]outline.Contour, len(p.strokes))
		for i, s := range p.strokes {
			contours[i] = outline.Contour(s.Curve)
		}
		parent := enclosing(contours)
		waiting := make([]int, len(p.strokes))
		for _, q := range parent {
			if q >= 0 {
				waiting[q]++
			}
		}
		done := make([]bool, len(p.strokes))
		left := map[int]int{}
		for _, s := range p.strokes {
			left[s.Decal]++
		}
		current := NoDecal
		for range p.strokes {
			best, bestD := -1, 0.0
			for i, s := range p.strokes {
				if done[i] || waiting[i] > 0 || (current != NoDecal && left[current] > 0 && s.Decal != current) {
					continue
				}
				d := at.Distance(s.Curve.Start)
				if best < 0 || d < bestD {
					best, bestD = i, d
				}
			}
			s := p.strokes[best]
			done[best] = true
			current = s.Decal
			left[current]--
			if q := parent[best]; q >= 0 {
				waiting[q]--
			}
			out = append(out, s)
			at = s.Curve.End()
		}
	}
	return out, ctx.Err()
}
