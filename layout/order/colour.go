package order

import (
	"fmt"
	"sort"
	"strings"

	"github.com/vinylgeom/vinyl/layout/artwork"
	"github.com/vinylgeom/vinyl/layout/colours"
	"github.com/vinylgeom/vinyl/outline"
)

// byFilm parts a design in several colours into a design for each film, in the
// order of application; their letters are B1, B2 and so on. Every part carries
// the same registration crosses, which nest with it.
func (o Order) byFilm(d Design) ([]Design, error) {
	it := d.Item
	fail := func(detail, fix string) ([]Design, error) {
		return nil, &Error{Cause: ErrInvalid, Detail: detail, Fix: fix}
	}
	if it.Border > 0 {
		return fail("a border round a design in several colours", "draw the border as a layer of the design")
	}
	if len(d.Filled.Layers) < 2 {
		return fail("colours are given, but the design has one colour", "leave colours out, or fill the design's shapes in several")
	}
	k, err := it.factor(d.Filled)
	if err != nil {
		return nil, err
	}
	parted, err := colours.Split(layersOf(d.Filled, k), colours.Options{InsideGlass: it.InsideGlass, Trap: it.Trap})
	if err != nil {
		return nil, err
	}
	var out []Design
	for i, f := range parted.Films {
		film, ok := o.film(Item{Film: it.Colours[f.Colour]})
		if _, given := it.Colours[f.Colour]; !given || !ok {
			return fail(fmt.Sprintf("no film is named for the colour %s", f.Colour), "name a film of the order for each of "+strings.Join(coloursOf(parted), ", "))
		}
		part := d
		part.Letter = fmt.Sprintf("%s%d", d.Letter, i+1)
		part.Film = film
		path := f.Piece()
		path = clean(path)
		part.Path = path.Transform(outline.Translate(path.Bounds().Min.Mul(-1)))
		part.Notes = append([]string(nil), d.Notes...)
		part.Notes = append(part.Notes, fmt.Sprintf("film %d of %d to apply; lay its crosses on those of the others", i+1, len(parted.Films)))
		out = append(out, part)
	}
	return out, nil
}

func layersOf(f *artwork.Filled, k float64) []colours.Layer {
	out := make([]colours.Layer, len(f.Layers))
	for i, l := range f.Layers {
		out[i] = colours.Layer{Colour: l.Colour, Path: l.Path.Transform(outline.Scale(k, k))}
	}
	return out
}

func coloursOf(s colours.Separation) []string {
	var out []string
	for _, f := range s.Films {
		out = append(out, f.Colour)
	}
	sort.Strings(out)
	return out
}
