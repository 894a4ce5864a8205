package units

import (
	"fmt"
	"math"
	"strconv"
)

// Length is a distance in millimetres. The zero value is no distance.
//
// A length divided by a unit is the number of them: l / [Pixel].
//
// A product of two lengths compiles and is wrong, as with time.Duration: use
// [Length.Times] for an area.
type Length float64

// The units of length. Inch is exact (NIST SP 811); Point and Pixel are the
// CSS ones, 72 and 96 to the inch.
const (
	Micrometre Length = 0.001
	Millimetre Length = 1
	Centimetre Length = 10
	Metre      Length = 1000

	Inch Length = 25.4
	Foot Length = 304.8
	Yard Length = 914.4
	Mil  Length = 0.0254

	Point Length = 25.4 / 72
	Pica  Length = 25.4 / 6
	Pixel Length = 25.4 / 96
)

// Millimetres returns l as a number of millimetres.
func (l Length) Millimetres() float64 { return float64(l) }

// Metres returns l as a number of metres.
func (l Length) Metres() float64 { return float64(l / Metre) }

// Inches returns l as a number of inches of 25.4 mm.
func (l Length) Inches() float64 { return float64(l / Inch) }

// Times returns the area of a rectangle with sides l and m.
func (l Length) Times(m Length) Area { return Area(float64(l) * float64(m)) }

// Abs returns the magnitude of l.
func (l Length) Abs() Length { return Length(math.Abs(float64(l))) }

// IsFinite reports whether l is neither infinite nor NaN.
func (l Length) IsFinite() bool { return !math.IsNaN(float64(l)) && !math.IsInf(float64(l), 0) }

// String returns l in millimetres, such as "12.7 mm". [Parse] reads it back
// to the same value where l is finite.
func (l Length) String() string { return number(float64(l)) + " mm" }

// InchString returns l as a decimal number of inches rounded to 1/1000 in,
// such as "5.25 in".
func (l Length) InchString() string { return number(rounded(l.Inches(), 1000)) + " in" }

// rounded returns v rounded to the nearest 1/parts, v itself where it is too large
// to have any.
func rounded(v, parts float64) float64 {
	if math.Abs(v)*parts >= 1<<53 {
		return v
	}
	return math.Round(v*parts) / parts
}

// Fraction returns l in inches rounded to the nearest 1/denominator, in lowest
// terms, such as "5 3/8 in". The denominator is a power of two up to 64 on a
// shop's ruler; one below 1 counts as 1. A length that is not finite is
// written as by [Length.String].
func (l Length) Fraction(denominator int) string {
	if !l.IsFinite() {
		return l.String()
	}
	if denominator < 1 {
		denominator = 1
	}
	parts := math.Round(math.Abs(l.Inches()) * float64(denominator))
	if parts >= 1<<53 {
		return l.InchString()
	}
	sign := ""
	if l < 0 && parts > 0 {
		sign = "-"
	}
	whole, num, den := int64(parts)/int64(denominator), int64(parts)%int64(denominator), int64(denominator)
	for g := gcd(num, den); g > 1; g = gcd(num, den) {
		num, den = num/g, den/g
	}
	switch {
	case num == 0:
		return fmt.Sprintf("%s%d in", sign, whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d in", sign, num, den)
	}
	return fmt.Sprintf("%s%d %d/%d in", sign, whole, num, den)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// number writes the shortest decimal that reads back as v, with an exponent
// where it would be long.
func number(v float64) string {
	format := byte('f')
	if a := math.Abs(v); a != 0 && a < leastPlain || a >= mostPlain {
		format = 'e'
	}
	return strconv.FormatFloat(v, format, -1, 64)
}

// leastPlain and mostPlain bound the numbers that are written without exponent,
// so that every finite one fits in [MaxTextLength].
const (
	leastPlain = 1e-15
	mostPlain  = 1e21
)
