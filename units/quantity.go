package units

import "math"

// Area is a surface in square millimetres.
type Area float64

// The units of area.
const (
	SquareMillimetre Area = 1
	SquareCentimetre Area = 100
	SquareMetre      Area = 1e6
	SquareInch       Area = 645.16
	SquareFoot       Area = 92903.04
)

// SquareMillimetres returns a as a number of square millimetres.
func (a Area) SquareMillimetres() float64 { return float64(a) }

// SquareMetres returns a as a number of square metres.
func (a Area) SquareMetres() float64 { return float64(a / SquareMetre) }

// SquareInches returns a as a number of square inches.
func (a Area) SquareInches() float64 { return float64(a / SquareInch) }

// String returns a in square millimetres, such as "4 mm2", as [ParseArea]
// reads it.
func (a Area) String() string { return number(float64(a)) + " mm2" }

// Angle is a turn in radians, counter-clockwise where y runs up.
type Angle float64

// The units of angle.
const (
	Radian Angle = 1
	Degree Angle = math.Pi / 180
	Turn   Angle = 2 * math.Pi
)

// Radians returns a as a number of radians.
func (a Angle) Radians() float64 { return float64(a) }

// Degrees returns a as a number of degrees. Degrees(n*Degree) can differ from
// n in the last bit.
func (a Angle) Degrees() float64 { return float64(a) * (180 / math.Pi) }

// String returns a in degrees, such as "45 deg", rounded to 1e-9 degrees so
// that 30*Degree prints as "30 deg"; [ParseAngle] reads it back within that.
func (a Angle) String() string { return number(rounded(a.Degrees(), 1e9)) + " deg" }

// Speed is a rate of travel in millimetres per second.
type Speed float64

// The units of speed.
const (
	MillimetrePerSecond Speed = 1
	CentimetrePerSecond Speed = 10
	MetrePerMinute      Speed = 1000.0 / 60
	InchPerSecond       Speed = 25.4
)

// MillimetresPerSecond returns s as a number of millimetres per second.
func (s Speed) MillimetresPerSecond() float64 { return float64(s) }

// String returns s in millimetres per second, such as "300 mm/s", as
// [ParseSpeed] reads it.
func (s Speed) String() string { return number(float64(s)) + " mm/s" }
