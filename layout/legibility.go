package layout

import "github.com/vinylgeom/vinyl/units"

// LegibilityIndex is the distance at which letters can be read as a multiple
// of their height; signs are judged in feet per inch, a twelfth of it.
type LegibilityIndex float64

// Published indexes.
const (
	// LegibleAtMost is 30 ft per inch, the average of readers and typefaces
	// (United States Sign Council, Sign Legibility Rules of Thumb, 2006; the
	// same figure guides US road signs since MUTCD 2009, 2A.13).
	LegibleAtMost LegibilityIndex = 30 * 12
	// LegibleWithEase is 10 ft per inch, a comfortable distance ("Printed
	// decals 101", arlon.com).
	LegibleWithEase LegibilityIndex = 10 * 12
)

// allCapitalsFactor is how much higher words all in capitals must be (United
// States Sign Council, as above: 15 %).
const allCapitalsFactor = 1.15

// TwoCarLengths is the distance at which a decal on a car is expected to be
// read by the driver behind: two cars of 4.5 m (common practice, no source).
const TwoCarLengths = 9 * units.Metre

// ReadingDistance returns the distance at which letters of the given cap
// height can be read; words all in capitals are read less far. It checks
// nothing: a height that is not finite gives a distance that is not.
func (i LegibilityIndex) ReadingDistance(capHeight units.Length, allCapitals bool) units.Length {
	d := capHeight * units.Length(i)
	if allCapitals {
		d /= allCapitalsFactor
	}
	return d
}

// LetterHeight returns the cap height that can be read at the given distance,
// the inverse of ReadingDistance; an index of zero, which reads nothing, has no
// finite one.
func (i LegibilityIndex) LetterHeight(distance units.Length, allCapitals bool) units.Length {
	h := distance / units.Length(i)
	if allCapitals {
		h *= allCapitalsFactor
	}
	return h
}
