package weedability

import "fmt"

// FilmClass is a kind of film, as far as weeding goes.
type FilmClass uint8

// The classes of film. Thickness is that of the film without liner, with the
// source of the figure.
const (
	Calendered   FilmClass = iota // polymeric calendered, 80 µm (3M Europe Product Bulletin 5525, 2013)
	Cast                          // cast, 2 mil = 51 µm (3M Product Bulletin 7725 Release R, 2016)
	Reflective                    // enclosed lens reflective, 7 mil = 178 µm (3M Product Bulletin 680CR Release T, 2016)
	HeatTransfer                  // glitter or flock for textiles; no published thickness found
)

var filmClassNames = [...]string{Calendered: "calendered", Cast: "cast", Reflective: "reflective", HeatTransfer: "heat-transfer"}

// FilmClasses returns all classes.
func FilmClasses() []FilmClass { return []FilmClass{Calendered, Cast, Reflective, HeatTransfer} }

// String returns the class's name in lower case, such as "heat-transfer".
func (c FilmClass) String() string {
	if int(c) < len(filmClassNames) {
		return filmClassNames[c]
	}
	return fmt.Sprintf("unknown film class %d", c)
}

// ParseFilmClass reads a name as [FilmClass.String] gives it. The error is a
// [*LimitsError] that wraps [ErrUnknownClass].
func ParseFilmClass(name string) (FilmClass, error) {
	for i, n := range filmClassNames {
		if n == name {
			return FilmClass(i), nil
		}
	}
	return 0, &LimitsError{Field: "class", Value: fmt.Sprintf("%q", name), Cause: ErrUnknownClass,
		Fix: "use one of cast, calendered, reflective, heat-transfer"}
}

// MarshalText writes the class's name; the error is a [*LimitsError] for a class without one.
func (c FilmClass) MarshalText() ([]byte, error) {
	if int(c) >= len(filmClassNames) {
		return nil, &LimitsError{Field: "class", Value: c.String(), Cause: ErrUnknownClass, Fix: "use a class this package names"}
	}
	return []byte(c.String()), nil
}

// UnmarshalText reads what [ParseFilmClass] reads.
func (c *FilmClass) UnmarshalText(text []byte) error {
	v, err := ParseFilmClass(string(text))
	if err == nil {
		*c = v
	}
	return err
}
