package nest

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/units"
)

// Strip is the film to be used. Only Width (or Leftover) is needed; every other zero means none. In JSON it is an object with
// the names given beside the fields, lengths as text with a unit, such as "12 in"; what is zero is left out, and may be left
// out of what is read.
type Strip struct {
	// Width is the whole width of the film, along y.
	Width units.Length `json:"width,omitzero"`
	// Gap is the least distance between two pieces. Zero lets them touch.
	Gap units.Length `json:"gap,omitzero"`
	// TrimAllowance is film left around every piece for trimming. The distance kept between two pieces is the larger of
	// Gap and twice TrimAllowance.
	TrimAllowance units.Length `json:"trim_allowance,omitzero"`
	// Margins are the least distances from the edges of the film to any piece.
	Margins Margins `json:"margins,omitzero"`
	// Lead is film the machine needs before the first piece, Tail after the last one. They are measured from the ends of
	// the load and include Margins.Start and Margins.End: the larger of the two holds.
	Lead units.Length `json:"lead,omitzero"`
	Tail units.Length `json:"tail,omitzero"`
	// MaxLength is the greatest length of film for one load, lead and tail included. Zero means no limit.
	MaxLength units.Length `json:"max_length,omitzero"`
	// MaxLoads is the greatest number of loads. Zero means as many as needed, and one if there is no MaxLength.
	MaxLoads int `json:"max_loads,omitzero"`
	// Leftover is, if not empty, the usable area, of any shape, with holes, in millimetres; then the pieces go there, in
	// one load, and Width, Lead, Tail, MaxLength and MaxLoads are not used. Pieces keep the largest of the four Margins
	// from its boundary.
	Leftover orb.MultiPolygon `json:"leftover,omitempty"`
	// Forbidden is an area, in every load's own coordinates, that pieces keep the gap from, such as a flaw in the film.
	Forbidden orb.MultiPolygon `json:"forbidden,omitempty"`
}

// Margins are the distances kept from the edges of a load, each edge its own.
type Margins struct {
	Bottom units.Length `json:"bottom,omitzero"` // from y = 0
	Top    units.Length `json:"top,omitzero"`    // from y = Strip.Width
	Start  units.Length `json:"start,omitzero"`  // from x = 0
	End    units.Length `json:"end,omitzero"`    // from the end of the load
}

// EqualMargins returns the same margin m on all four edges.
func EqualMargins(m units.Length) Margins { return Margins{Bottom: m, Top: m, Start: m, End: m} }

// KeptDistance is the distance that is kept between two pieces: the larger of Gap and twice TrimAllowance.
func (s Strip) KeptDistance() units.Length { return max(s.Gap, 2*s.TrimAllowance) }

// startMM and endMM are the distances kept from the two ends of a load.
func (s Strip) startMM() float64 { return float64(max(s.Lead, s.Margins.Start)) }
func (s Strip) endMM() float64   { return float64(max(s.Tail, s.Margins.End)) }

// leftoverMarginMM is the distance kept from the boundary of a leftover.
func (s Strip) leftoverMarginMM() float64 {
	return float64(max(s.Margins.Bottom, s.Margins.Top, s.Margins.Start, s.Margins.End))
}

// usableWidth is the width between the two edge margins; it may be negative.
func (s Strip) usableWidth() units.Length { return s.Width - s.Margins.Bottom - s.Margins.Top }

// topLimitMM is the largest y that a piece may reach. A difference of lengths carries a rounding of its own, so one unit in
// the last place is granted where there is a margin; with none the limit is the width itself.
func (s Strip) topLimitMM() float64 {
	if s.Margins.Top == 0 {
		return float64(s.Width)
	}
	return math.Nextafter(float64(s.Width-s.Margins.Top), math.Inf(1))
}

// usableMM is the usable length of one load, +Inf without MaxLength.
func (s Strip) usableMM() float64 {
	if s.MaxLength == 0 {
		return math.Inf(1)
	}
	return float64(s.MaxLength) - s.startMM() - s.endMM()
}
