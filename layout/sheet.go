package layout

import (
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Sheet is one load ready to cut. All shapes are in the sheet's coordinates:
// millimetres, x along the film from the load's start, y across it from an
// edge, y up.
type Sheet struct {
	Name   string       // the file stem, such as "load-01"
	Film   Film         // what is loaded
	Length units.Length // film used, from x = 0, lead and tail included
	Decals []PlacedDecal

	// WeedBorder is the box cut round the decals so that the waste comes off
	// in one piece; empty for none.
	WeedBorder outline.Path
	// WeedLines slit the waste where it would tear or drag letters.
	WeedLines []outline.Curve
	// TrimLines part decals and the load from the roll, the cut-off line
	// among them.
	TrimLines []outline.Curve
	// Marks register the films of a job in several colours.
	Marks []outline.Curve
}

// PlacedDecal is one decal on a sheet.
type PlacedDecal struct {
	ID     string   // short and unique in the order, such as "B-07"
	Design string   // the design's name
	Copy   int      // from 1, among the equal decals of the order
	Words  []string // what it says, slot by slot
	Colour string   // CSS colour of its film; empty: the sheet's film

	Path     outline.Path // welded, at its place on the sheet
	Rotation units.Angle  // counter-clockwise, from the design as drawn
	Mirrored bool         // mirrored left to right before it was turned
}

// Bounds returns the box of everything that is cut, empty for an empty sheet.
func (s Sheet) Bounds() outline.Box {
	b := s.WeedBorder.Bounds()
	for _, d := range s.Decals {
		b = b.Union(d.Path.Bounds())
	}
	for _, curves := range [][]outline.Curve{s.WeedLines, s.TrimLines, s.Marks} {
		for _, c := range curves {
			b = b.Union(c.Bounds())
		}
	}
	return b
}

// EdgeDistance returns the least distance from a cut to one of the film's two
// long edges, negative where a cut leaves the film. A sheet without cuts has
// the distance of its middle.
func (s Sheet) EdgeDistance() units.Length {
	b := s.Bounds()
	if b.IsEmpty() {
		return s.Film.Width / 2
	}
	return min(units.Length(b.Min.Y), s.Film.Width-units.Length(b.Max.Y))
}

// FilmArea returns the area of film that stays as decals; their paths must be
// welded.
func (s Sheet) FilmArea() units.Area {
	var sum units.Area
	for _, d := range s.Decals {
		sum += d.Path.Area()
	}
	return sum
}

// UsedFraction returns the share, 0 to 1, of the load's film (its length by
// the film's nominal width) that stays as decals.
func (s Sheet) UsedFraction() float64 {
	total := s.Length.Times(s.Film.Width)
	if total <= 0 {
		return 0
	}
	return float64(s.FilmArea() / total)
}

// Decal returns the decal with the given id, the first where several have it;
// an [*Error] that wraps [ErrNotFound] where none does.
func (s Sheet) Decal(id string) (PlacedDecal, error) {
	for _, d := range s.Decals {
		if d.ID == id {
			return d, nil
		}
	}
	return PlacedDecal{}, &Error{Op: "find decal", Subject: s.Name, Cause: ErrNotFound,
		Detail: fmt.Sprintf("no decal %q on this sheet", id)}
}
