package layout

import (
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/units"
)

// fitSlack is how much an exact fit may miss by rounding, in millimetres: far
// below anything that can be cut.
const fitSlack = 1e-9

// MaxAcross is the most decals that are counted side by side: far more than
// there are cuttable ones on any film.
const MaxAcross = 1_000_000

// Across returns how many decals of the given width go side by side across
// the film, gap apart, between the bed's margins: 0 where one alone is too
// wide. The error is an [*Error]: it wraps [ErrInvalid] for a length that is no
// sensible value and for more than [MaxAcross], [ErrDoesNotFit] where the
// margins take the whole film.
func Across(f Film, b Bed, width, gap units.Length) (int, error) {
	usable, err := b.Usable(f)
	if err != nil {
		return 0, err
	}
	if !(width > 0) || !width.IsFinite() || !(gap >= 0) || !gap.IsFinite() {
		return 0, &Error{Op: "across", Subject: f.Name, Cause: ErrInvalid,
			Detail: fmt.Sprintf("decal width %v, gap %v", width, gap), Fix: "give a width above zero and a gap of zero or more"}
	}
	n := math.Floor(float64((usable + gap + fitSlack) / (width + gap)))
	if !(n <= MaxAcross) {
		return 0, &Error{Op: "across", Subject: f.Name, Cause: ErrInvalid,
			Detail: fmt.Sprintf("decals %v wide on a film of %v are more than %d", width, f.Width, MaxAcross), Fix: "check the units of both"}
	}
	return int(n), nil
}

// LargestAcross returns the greatest width at which n decals go side by side
// across the film; the error is an [*Error] that wraps [ErrDoesNotFit] where the
// margins or the gaps alone are too wide, else [ErrInvalid].
func LargestAcross(f Film, b Bed, n int, gap units.Length) (units.Length, error) {
	usable, err := b.Usable(f)
	if err != nil {
		return 0, err
	}
	if n < 1 || n > MaxAcross || !(gap >= 0) || !gap.IsFinite() {
		return 0, &Error{Op: "across", Subject: f.Name, Cause: ErrInvalid,
			Detail: fmt.Sprintf("%d decals, gap %v", n, gap), Fix: "ask for 1 to 1,000,000 decals and a gap of zero or more"}
	}
	width := (usable - units.Length(n-1)*gap) / units.Length(n)
	if width <= 0 {
		return 0, &Error{Op: "across", Subject: f.Name, Cause: ErrDoesNotFit,
			Detail: fmt.Sprintf("%d gaps of %v leave nothing of %v", n-1, gap, usable), Fix: "ask for fewer across or a smaller gap"}
	}
	return width, nil
}
