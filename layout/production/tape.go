package production

import (
	"fmt"
	"slices"

	"github.com/vinylgeom/vinyl/units"
)

// Strip is a stretch of sheet that is covered with application tape in one
// piece: a column of decals, or a whole load.
type Strip struct {
	Name   string       `json:"name"`
	Width  units.Length `json:"width"`  // across the tape
	Length units.Length `json:"length"` // along the tape
}

// TapeRoll is a width of application tape on the shelf.
type TapeRoll struct {
	Width units.Length `json:"width"`
}

// TapePiece is the tape for one strip.
type TapePiece struct {
	Strip  string       `json:"strip"`
	Width  units.Length `json:"width"`  // of the roll
	Length units.Length `json:"length"` // to cut off
}

// TapePlan is the tape for a job.
type TapePlan struct {
	Pieces []TapePiece  `json:"pieces"`
	Length units.Length `json:"length"` // of all pieces
	Area   units.Area   `json:"area"`
	Waste  units.Area   `json:"waste"` // tape that lies outside the strips
}

// tapeSlack bounds the rounding of sums of inches, so that a strip as wide as a
// roll less its borders is covered by it.
const tapeSlack = 1e-6 * units.Millimetre

// Tape chooses, for every strip, the narrowest roll that covers its width with
// border to spare at each side, in one piece: an overlap in the middle of a
// decal leaves a line of bubbles (film maker's guide 11, "Selection and use of
// application paper", help.arlon.com). The border is common practice without a
// source. A strip that no roll covers is an [*Error] that names the width.
func Tape(strips []Strip, rolls []TapeRoll, border units.Length) (TapePlan, error) {
	plan := TapePlan{Pieces: []TapePiece{}}
	if !(border >= 0) || !border.IsFinite() {
		return plan, &Error{Where: "tape border", Cause: ErrInvalid, Detail: border.String(), Fix: "give zero or more"}
	}
	widths := make([]units.Length, 0, len(rolls))
	for _, r := range rolls {
		if !(r.Width > 0) || !r.Width.IsFinite() {
			return plan, &Error{Where: "tape roll", Cause: ErrInvalid, Detail: r.Width.String() + " wide", Fix: "give a width above zero"}
		}
		widths = append(widths, r.Width)
	}
	slices.Sort(widths)
	for _, s := range strips {
		if !(s.Width > 0) || !(s.Length > 0) || !s.Width.IsFinite() || !s.Length.IsFinite() {
			return plan, &Error{Where: "strip " + s.Name, Cause: ErrInvalid, Detail: fmt.Sprintf("%v by %v", s.Width, s.Length), Fix: "give sizes above zero"}
		}
		need := s.Width + 2*border
		i, _ := slices.BinarySearch(widths, need-tapeSlack)
		if i == len(widths) {
			return plan, &Error{Where: "strip " + s.Name, Cause: ErrTooLarge, Detail: fmt.Sprintf("it needs tape %s wide", need.Fraction(16)), Fix: "use wider tape or tape its decals one by one"}
		}
		p := TapePiece{s.Name, widths[i], s.Length + 2*border}
		plan.Pieces = append(plan.Pieces, p)
		plan.Length += p.Length
		plan.Area += p.Width.Times(p.Length)
		plan.Waste += p.Width.Times(p.Length) - s.Width.Times(s.Length)
	}
	return plan, nil
}
