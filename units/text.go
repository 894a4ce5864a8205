package units

// MarshalText writes l as [Length.String] does.
func (l Length) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads what [Parse] reads; encoding/json uses it for a JSON
// string and refuses a bare number, which would have no unit.
func (l *Length) UnmarshalText(text []byte) error {
	v, err := Parse(string(text))
	if err == nil {
		*l = v
	}
	return err
}

// MarshalText writes a as [Area.String] does.
func (a Area) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText reads what [ParseArea] reads.
func (a *Area) UnmarshalText(text []byte) error {
	v, err := ParseArea(string(text))
	if err == nil {
		*a = v
	}
	return err
}

// MarshalText writes a as [Angle.String] does.
func (a Angle) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText reads what [ParseAngle] reads.
func (a *Angle) UnmarshalText(text []byte) error {
	v, err := ParseAngle(string(text))
	if err == nil {
		*a = v
	}
	return err
}

// MarshalText writes s as [Speed.String] does.
func (s Speed) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what [ParseSpeed] reads.
func (s *Speed) UnmarshalText(text []byte) error {
	v, err := ParseSpeed(string(text))
	if err == nil {
		*s = v
	}
	return err
}
