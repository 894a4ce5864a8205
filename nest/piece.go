package nest

import (
	"fmt"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/units"
)

// Piece is an outline to be placed Count times. In JSON it is an object with the names given beside the fields; what is zero
// is left out, and may be left out of what is read.
type Piece struct {
	// ID names the piece in placements and errors. It must not be empty and must be unique within one call.
	ID string `json:"id"`
	// Outline is in millimetres, y up, about an origin of the caller's choice, about which placements turn. Rings may run
	// either way and may or may not repeat their first point. Holes are room for other pieces where these fit. Separate
	// parts move together. Nest does not modify it. In JSON it is polygons of rings of points, [[[[x, y], ...], ...], ...], as
	// the coordinates of a MultiPolygon in GeoJSON (RFC 7946, section 3.1.7).
	Outline orb.MultiPolygon `json:"outline"`
	// Count is the number of copies. Zero means one.
	Count int `json:"count,omitzero"`
	// Rotations says how the piece may be turned. The zero value is not at all.
	Rotations Rotations `json:"rotations,omitzero"`
	// Mirror says whether copies are placed mirrored. The zero value is never.
	Mirror Mirror `json:"mirror,omitzero"`
	// Grain ties the piece to the grain of the film, which runs along x. The zero value is free.
	Grain Grain `json:"grain,omitzero"`
	// Group is kept together: in a load the pieces of one group take a stretch of x of their own, and the loads of one
	// group follow one another. Pieces without a group form one group, "".
	Group string `json:"group,omitzero"`
}

func (p Piece) count() int {
	if p.Count == 0 {
		return 1
	}
	return p.Count
}

// RotationMode is the kind of rotations that are allowed.
type RotationMode int

// The kinds of rotation.
const (
	RotateNone    RotationMode = iota // as drawn
	RotateHalf                        // 0° and 180°
	RotateQuarter                     // 0°, 90°, 180° and 270°
	RotateList                        // the angles of Rotations.List and no others
	RotateAny                         // any angle
)

// String returns a short English name.
func (m RotationMode) String() string {
	switch m {
	case RotateNone:
		return "none"
	case RotateHalf:
		return "half turns"
	case RotateQuarter:
		return "quarter turns"
	case RotateList:
		return "list"
	case RotateAny:
		return "any"
	}
	return fmt.Sprintf("RotationMode(%d)", int(m))
}

// Rotations is the set of allowed rotations, counter-clockwise. The zero value allows none but 0°.
type Rotations struct {
	// Mode is the kind of rotations.
	Mode RotationMode `json:"mode"`
	// List holds the allowed angles for RotateList (0° only if it is in the list). It must be empty in the other modes.
	List []units.Angle `json:"list,omitempty"` // such as "45°"
}

// Mirror says whether a piece is placed mirrored, that is with x replaced by -x before it is turned.
type Mirror int

// The modes of mirroring.
const (
	MirrorNever   Mirror = iota // every copy as drawn
	MirrorAllowed               // each copy whichever way packs better
	MirrorAlways                // every copy mirrored, such as for the inside of glass
)

// String returns a short English name.
func (m Mirror) String() string {
	switch m {
	case MirrorNever:
		return "never"
	case MirrorAllowed:
		return "allowed"
	case MirrorAlways:
		return "always"
	}
	return fmt.Sprintf("Mirror(%d)", int(m))
}

// Grain ties a direction of the piece to the film's grain, which runs along x. It narrows Rotations: only those that bring
// the direction in line with the grain remain, and it is an error when none does.
type Grain struct {
	// Mode says whether, and how strictly.
	Mode GrainMode `json:"mode"`
	// Direction is the direction, in the piece as drawn, that has to lie along the grain. Zero is the piece's own x axis.
	// In a mirrored copy it is mirrored too.
	Direction units.Angle `json:"direction,omitzero"`
}

// GrainMode says whether the sense of the grain matters.
type GrainMode int

// The modes of grain.
const (
	GrainFree   GrainMode = iota // the grain does not matter
	GrainAlong                   // Direction lies along x, either way round
	GrainOneWay                  // Direction points towards +x
)

// String returns a short English name.
func (m GrainMode) String() string {
	switch m {
	case GrainFree:
		return "free"
	case GrainAlong:
		return "along"
	case GrainOneWay:
		return "one way"
	}
	return fmt.Sprintf("GrainMode(%d)", int(m))
}
