package nest

import (
	"errors"
	"fmt"

	"github.com/vinylgeom/vinyl/units"
)

// Causes that the typed errors of this package unwrap to.
var (
	ErrBadNumber  = errors.New("not a usable number")
	ErrBadOutline = errors.New("not a usable outline")
	ErrTooLarge   = errors.New("larger than the usable film")
	ErrTooMany    = errors.New("more than is taken at once")
	ErrNoRoom     = errors.New("not enough room")
	ErrUnknown    = errors.New("unknown piece")
	ErrInvalid    = errors.New("layout is not valid")
	// ErrUnknownMode is for numbers and texts that are none of the named modes.
	ErrUnknownMode = errors.New("unknown mode")
)

// InputError says what is wrong with an argument.
type InputError struct {
	Where string // the field, such as `piece "gear": Outline`
	What  string // what is wrong with it, and where in it
	Fix   string // how to mend it
	Cause error  // one of the sentinels above, or errors.ErrUnsupported
}

// Error names the place, the fault and the remedy.
func (e *InputError) Error() string { return "nest: " + e.Where + ": " + e.What + "; " + e.Fix }

// Unwrap returns the cause.
func (e *InputError) Unwrap() error { return e.Cause }

// SizeError says that a piece does not fit the film at any allowed rotation. What does not fit a leftover is among the
// Unplaced of a [RoomError] instead, since the roll may take it.
type SizeError struct {
	Piece string // its ID
	// Needed is the least width of film (or, if Along is true, length of load) that would hold the piece, margins
	// included, at its best allowed rotation. Have is what there is.
	Needed, Have units.Length
	Along        bool // too long for a load, rather than too wide for the film
}

// Error names the piece and the size of film it would need.
func (e *SizeError) Error() string {
	if e.Along {
		return fmt.Sprintf("nest: piece %q needs a load of at least %.3f mm, lead and tail included, but loads are at most %.3f mm; make it smaller, allow other rotations or allow longer loads",
			e.Piece, float64(e.Needed), float64(e.Have))
	}
	return fmt.Sprintf("nest: piece %q needs film at least %.3f mm wide, margins included, but the film is %.3f mm; make it smaller, allow other rotations or use wider film",
		e.Piece, float64(e.Needed), float64(e.Have))
}

// Unwrap returns ErrTooLarge.
func (e *SizeError) Unwrap() error { return ErrTooLarge }

// RoomError says that MaxLoads or the leftover could not take everything. The Result that comes with it is valid and lists
// the rest in Unplaced.
type RoomError struct {
	Unplaced []Unplaced // as in the Result, in the order of the pieces
}

// Error says how many copies of what were left.
func (e *RoomError) Error() string {
	n := 0
	for _, u := range e.Unplaced {
		n += u.Count
	}
	first := ""
	if len(e.Unplaced) > 0 {
		first = e.Unplaced[0].Piece
	}
	return fmt.Sprintf("nest: no room for %d copies (the first is of piece %q); allow more or longer loads, or nest the rest elsewhere", n, first)
}

// Unwrap returns ErrNoRoom.
func (e *RoomError) Unwrap() error { return ErrNoRoom }
