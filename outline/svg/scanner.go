package svg

import (
	"math"
	"strconv"
	"strings"

	"github.com/vinylgeom/vinyl/units"
)

// scanner walks over one attribute's value.
type scanner struct {
	text string
	at   int
}

func (s *scanner) done() bool { return s.at >= len(s.text) }

// peek returns the next byte, 0 at the end.
func (s *scanner) peek() byte {
	if s.at < len(s.text) {
		return s.text[s.at]
	}
	return 0
}

func (s *scanner) fail(want string) error { return &syntaxError{offset: s.at, want: want} }

// spaces skips white space as the SVG grammar has it.
func (s *scanner) spaces() {
	for s.at < len(s.text) {
		switch s.text[s.at] {
		case ' ', '\t', '\n', '\r', '\f':
			s.at++
		default:
			return
		}
	}
}

// separator skips white space with at most one comma in it and reports
// whether there was a comma.
func (s *scanner) separator() bool {
	s.spaces()
	if s.peek() != ',' {
		return false
	}
	s.at++
	s.spaces()
	return true
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// startsNumber reports whether a number can begin with c.
func startsNumber(c byte) bool { return isDigit(c) || c == '.' || c == '+' || c == '-' }

// number reads sign, digits, fraction and exponent. As in SVG 1.1 a fraction
// may be empty ("1."); SVG 2 no longer writes that, but files do.
func (s *scanner) number() (float64, error) {
	start := s.at
	i := s.at
	if i < len(s.text) && (s.text[i] == '+' || s.text[i] == '-') {
		i++
	}
	digits := 0
	for i < len(s.text) && isDigit(s.text[i]) {
		i++
		digits++
	}
	if i < len(s.text) && s.text[i] == '.' {
		i++
		for i < len(s.text) && isDigit(s.text[i]) {
			i++
			digits++
		}
	}
	if digits == 0 {
		return 0, s.fail("a number")
	}
	// "1em" is a length: an e without digits belongs to the unit.
	if i < len(s.text) && (s.text[i] == 'e' || s.text[i] == 'E') {
		j := i + 1
		if j < len(s.text) && (s.text[j] == '+' || s.text[j] == '-') {
			j++
		}
		if j < len(s.text) && isDigit(s.text[j]) {
			for j < len(s.text) && isDigit(s.text[j]) {
				j++
			}
			i = j
		}
	}
	v, err := strconv.ParseFloat(s.text[start:i], 64)
	if err != nil || math.Abs(v) > MaxCoordinate {
		return 0, &syntaxError{offset: start, want: "a number of at most 1e6", cause: ErrTooFar}
	}
	s.at = i
	return v, nil
}

// flag reads the single character of an arc's flag, which needs no separator
// after it.
func (s *scanner) flag() (bool, error) {
	switch s.peek() {
	case '0':
		s.at++
		return false, nil
	case '1':
		s.at++
		return true, nil
	}
	return false, s.fail("the flag 0 or 1")
}

// letters reads the letters of a name or a unit.
func (s *scanner) letters() string {
	start := s.at
	for s.at < len(s.text) && 'a' <= s.text[s.at]|0x20 && s.text[s.at]|0x20 <= 'z' {
		s.at++
	}
	return s.text[start:s.at]
}

// numbers reads a list of numbers to the end of text.
func numbers(text string) ([]float64, error) {
	s := scanner{text: text}
	var list []float64
	s.spaces()
	for !s.done() {
		v, err := s.number()
		if err != nil {
			return nil, err
		}
		list = append(list, v)
		if comma := s.separator(); comma && s.done() {
			return nil, s.fail("a number after the comma")
		}
	}
	return list, nil
}

// measure is a length as written: a number and its unit.
type measure struct {
	value float64
	unit  string // "", "%", "px", "mm" ...
}

// cssUnits gives the units of length that do not depend on a font, in
// millimetres (CSS Values and Units Level 3, absolute lengths).
var cssUnits = [...]struct {
	name string
	size units.Length
}{
	{"mm", units.Millimetre}, {"cm", units.Centimetre}, {"in", units.Inch},
	{"px", units.Pixel}, {"pt", units.Point}, {"pc", units.Pica}, {"q", units.Millimetre / 4},
}

// cssUnit returns the size of a unit in millimetres.
func cssUnit(name string) (units.Length, bool) {
	for _, u := range cssUnits {
		if strings.EqualFold(u.name, name) {
			return u.size, true
		}
	}
	return 0, false
}

// parseMeasure reads one length.
func parseMeasure(text string) (measure, error) {
	s := scanner{text: text}
	s.spaces()
	m, err := s.measure()
	if err != nil {
		return measure{}, err
	}
	s.spaces()
	if !s.done() {
		return measure{}, s.fail("the end of the length")
	}
	return m, nil
}

// measure reads a number with an optional unit.
func (s *scanner) measure() (measure, error) {
	v, err := s.number()
	if err != nil {
		return measure{}, err
	}
	if s.peek() == '%' {
		s.at++
		return measure{v, "%"}, nil
	}
	start := s.at
	unit := s.letters()
	if unit == "" {
		return measure{v, ""}, nil
	}
	if _, ok := cssUnit(unit); !ok {
		s.at = start
		return measure{}, s.fail("one of the units mm, cm, in, px, pt, pc, Q or %")
	}
	return measure{v, unit}, nil
}

// user returns the length in user units, of which there are 96 to the inch;
// percentages are of whole, in user units too.
func (m measure) user(whole float64) float64 {
	switch m.unit {
	case "", "px":
		return m.value
	case "%":
		return m.value / 100 * whole
	}
	size, _ := cssUnit(m.unit)
	return m.value * float64(size/units.Pixel)
}
