package order

import (
	"context"
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// mendTiers maps the order's word to the mildest severity that is mended.
var mendTiers = map[string]weedability.Severity{
	"refuse":  weedability.Refuse,
	"warn":    weedability.Warn,
	"caution": weedability.Caution,
}

// mendRounds bounds how often a mended design that has changed its size is
// brought back to it and looked at again.
const mendRounds = 3

// mend puts right what the order wants mended of a design, and brings it back
// to its size where that has changed its box: a blunted point at the top. Parts
// of a design in several colours are left as they are, since a change of one
// would not fit the others.
func (d *Design) mend(ctx context.Context, tier string) error {
	if tier == "" {
		return nil
	}
	if len(d.Item.Colours) > 0 {
		d.Notes = append(d.Notes, "not mended, since it is cut from several films: mend its artwork")
		return nil
	}
	if d.Item.InsideGlass { // mended as drawn, so that its mirror image is that of the decal for outside
		d.turnOver()
	}
	opt := weedability.RemedyOptions{Tier: mendTiers[tier], Describe: d.Describe}
	for range mendRounds {
		m, err := weedability.Mend(ctx, d.Path, limits(d.Film), opt)
		if err != nil {
			return err
		}
		if len(m.Changes) == 0 {
			break
		}
		d.Path = m.Path
		d.Changes = append(d.Changes, m.Changes...)
		k, err := d.Item.rescale(d.Path)
		if err != nil {
			return err
		}
		d.Path = d.Path.Transform(outline.Scale(k, k))
		d.Path = d.Path.Transform(outline.Translate(d.Path.Bounds().Min.Mul(-1)))
		if math.Abs(k-1) < sizeSlack {
			break
		}
	}
	if d.Item.InsideGlass {
		d.turnOver()
	}
	return nil
}

// turnOver mirrors the path and what was changed of it left to right.
func (d *Design) turnOver() {
	b := d.Path.Bounds()
	over := outline.MirrorX().Then(outline.Translate(outline.Pt(b.Min.X+b.Max.X, 0)))
	d.Path = d.Path.Transform(over)
	for i := range d.Changes {
		d.Changes[i].At = over.Apply(d.Changes[i].At)
	}
}

// rescale returns the factor that gives a finished path the item's size.
func (it Item) rescale(p outline.Path) (float64, error) {
	if it.CapHeight > 0 {
		return 1, nil
	}
	whole := it.size()
	whole.Border = 0
	return whole.Factor(p)
}

// mended says what the remedies have changed, place by place.
func (d Design) mended() []string {
	var out []string
	for _, c := range d.Changes {
		text := fmt.Sprintf("%s %s at %s", kindWords[c.Kind].one, c.Done, d.short(c.Of))
		if c.After > 0 {
			text += fmt.Sprintf(", %.2f to %.2f %s", c.Before, c.After, unitWord(c.Unit))
		}
		out = append(out, text)
	}
	return out
}
