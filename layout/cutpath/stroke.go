package cutpath

import (
	"github.com/vinylgeom/vinyl/outline"
)

// Role tells what a stroke is cut for.
type Role uint8

// The roles. Their order here says nothing about the order of cutting.
const (
	Decal      Role = iota // a contour of a decal
	Mark                   // a registration mark
	WeedLine               // a slit in the waste
	WeedBorder             // the box round the decals
	TrimLine               // parts decals, or the load from the roll
	TestPiece              // proves blade depth and offset before anything counts
)

// String names the role.
func (r Role) String() string {
	switch r {
	case Decal:
		return "decal"
	case Mark:
		return "mark"
	case WeedLine:
		return "weed line"
	case WeedBorder:
		return "weed border"
	case TrimLine:
		return "trim line"
	case TestPiece:
		return "test piece"
	}
	return "unknown role"
}

// NoDecal is the Stroke.Decal of a stroke that belongs to no decal.
const NoDecal = -1

// Stroke is one cut from knife down to knife up.
type Stroke struct {
	Role Role

	Decal   int    // index into the sheet's Decals; NoDecal for the other roles
	ID      string // that decal's id, such as "B-07"
	Design  string // and its design's name
	Colour  string // CSS colour of the film it is cut from; may be empty
	Contour int    // index of the contour in the decal's path, or of the line in its list

	// Curve is what is cut, in the sheet's millimetres; after [Job.For], the
	// way of the knife's swivel axis.
	Curve outline.Curve
	// Closed reports that the artwork's contour is closed. Curve then ends
	// exactly where it starts, unless Prepared is set.
	Closed bool
	// Prepared reports that Curve is the way of a certain device's knife, with
	// overcut and compensation.
	Prepared bool
}

// Finite reports whether every coordinate of the stroke is a finite number; if
// not, at is the last point before the one that is not.
func (s Stroke) Finite() (at outline.Point, ok bool) {
	at = s.Curve.Start
	if !at.IsFinite() {
		return at, false
	}
	for _, g := range s.Curve.Segments {
		if !g.End.IsFinite() || (g.Kind != outline.Line && !g.C1.IsFinite()) || (g.Kind == outline.Cubic && !g.C2.IsFinite()) {
			return at, false
		}
		at = g.End
	}
	return at, true
}
