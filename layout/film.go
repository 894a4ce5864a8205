package layout

import (
	"fmt"

	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// Film is a roll of self-adhesive film as it lies on the shelf.
type Film struct {
	Name   string                `json:"name"`             // what the shop calls it
	Colour string                `json:"colour,omitempty"` // CSS colour for pictures, such as "#1d3557"; empty is black
	Width  units.Length          `json:"width"`            // nominal width; true stock may be less (11.8 in sold as 12 in)
	Class  weedability.FilmClass `json:"class,omitzero"`   // "cast", "reflective" ...; absent: calendered
}

// Bed is the room a machine leaves on a film: what the pinch rollers take at
// each long edge, and what the start and end of a load cannot use.
type Bed struct {
	EdgeMargin units.Length `json:"edge_margin,omitzero"` // at each long edge, to the outermost cut
	Lead       units.Length `json:"lead,omitzero"`        // at the start of each load
	Tail       units.Length `json:"tail,omitzero"`        // at its end
	MaxLoad    units.Length `json:"max_load,omitzero"`    // greatest length of a load, lead and tail included; zero: no limit
}

// Usable returns the width between the margins, an error wrapping
// [ErrDoesNotFit] where the margins leave none.
func (b Bed) Usable(f Film) (units.Length, error) {
	switch {
	case !(f.Width > 0) || !f.Width.IsFinite():
		return 0, &Error{Op: "film", Subject: f.Name, Cause: ErrInvalid,
			Detail: fmt.Sprintf("width is %v", f.Width), Fix: "give the film a width above zero"}
	case !(b.EdgeMargin >= 0) || !b.EdgeMargin.IsFinite():
		return 0, &Error{Op: "film", Subject: f.Name, Cause: ErrInvalid,
			Detail: fmt.Sprintf("edge margin is %v", b.EdgeMargin), Fix: "give a margin of zero or more"}
	case f.Width <= 2*b.EdgeMargin:
		return 0, &Error{Op: "film", Subject: f.Name, Cause: ErrDoesNotFit,
			Detail: fmt.Sprintf("it is %v wide and its two margins take %v", f.Width, 2*b.EdgeMargin),
			Fix:    "use a wider film or smaller margins"}
	}
	return f.Width - 2*b.EdgeMargin, nil
}
