package units

import "math"

// MarshalText writes l as [Length.String] does; one that is not finite gives a
// [*ParseError], since nothing could read it.
func (l Length) MarshalText() ([]byte, error) { return marshal("length", l.String(), float64(l)) }

// UnmarshalText reads what [Parse] reads; encoding/json uses it for a JSON
// string and refuses a bare number, which would have no unit.
func (l *Length) UnmarshalText(text []byte) error {
	v, err := Parse(string(text))
	if err == nil {
		*l = v
	}
	return err
}

// MarshalText writes a as [Area.String] does; one that is not finite gives a
// [*ParseError], since nothing could read it.
func (a Area) MarshalText() ([]byte, error) { return marshal("area", a.String(), float64(a)) }

// UnmarshalText reads what [ParseArea] reads.
func (a *Area) UnmarshalText(text []byte) error {
	v, err := ParseArea(string(text))
	if err == nil {
		*a = v
	}
	return err
}

// MarshalText writes a as [Angle.String] does; one that is not finite gives a
// [*ParseError], since nothing could read it.
func (a Angle) MarshalText() ([]byte, error) { return marshal("angle", a.String(), float64(a)) }

// UnmarshalText reads what [ParseAngle] reads.
func (a *Angle) UnmarshalText(text []byte) error {
	v, err := ParseAngle(string(text))
	if err == nil {
		*a = v
	}
	return err
}

// MarshalText writes s as [Speed.String] does; one that is not finite gives a
// [*ParseError], since nothing could read it.
func (s Speed) MarshalText() ([]byte, error) { return marshal("speed", s.String(), float64(s)) }

// UnmarshalText reads what [ParseSpeed] reads.
func (s *Speed) UnmarshalText(text []byte) error {
	v, err := ParseSpeed(string(text))
	if err == nil {
		*s = v
	}
	return err
}

func marshal(quantity, text string, v float64) ([]byte, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil, &ParseError{Quantity: quantity, Text: text, Want: "a finite number"}
	}
	return []byte(text), nil
}
