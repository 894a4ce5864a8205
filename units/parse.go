package units

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// ErrSyntax is wrapped by every [ParseError].
var ErrSyntax = errors.New("not a quantity with a unit")

// MaxTextLength is the longest text, in bytes, that the parsers read; a longer
// one is an error rather than work.
const MaxTextLength = 200

// ParseError tells which text could not be read as a quantity, at which byte,
// and what was expected there.
type ParseError struct {
	Quantity string // "length", "area", "angle" or "speed"
	Text     string
	Offset   int // byte offset in Text
	Want     string
}

func (e *ParseError) Error() string {
	text := e.Text
	if len(text) > 40 {
		cut := 40
		for !utf8.RuneStart(text[cut]) {
			cut--
		}
		text = text[:cut] + "..."
	}
	return fmt.Sprintf("units: %s %q: at byte %d: want %s", e.Quantity, text, e.Offset, e.Want)
}

// Unwrap returns [ErrSyntax].
func (e *ParseError) Unwrap() error { return ErrSyntax }

// unit is one spelling of a unit and its value in the base unit.
type unit struct {
	name  string
	value float64
}

var lengthUnits = []unit{
	{"mm", 1}, {"cm", 10}, {"m", 1000}, {"um", 0.001}, {"µm", 0.001}, {"μm", 0.001},
	{"inches", 25.4}, {"inch", 25.4}, {"in.", 25.4}, {"in", 25.4}, {"\"", 25.4}, {"″", 25.4}, {"”", 25.4},
	{"feet", 304.8}, {"foot", 304.8}, {"ft.", 304.8}, {"ft", 304.8}, {"'", 304.8}, {"′", 304.8}, {"’", 304.8},
	{"yd", 914.4}, {"mil", 0.0254}, {"pt", 25.4 / 72}, {"pc", 25.4 / 6}, {"px", 25.4 / 96},
}

var areaUnits = []unit{
	{"mm2", 1}, {"mm²", 1}, {"cm2", 100}, {"cm²", 100}, {"m2", 1e6}, {"m²", 1e6},
	{"in2", 645.16}, {"in²", 645.16}, {"ft2", 92903.04}, {"ft²", 92903.04},
}

var angleUnits = []unit{
	{"degrees", math.Pi / 180}, {"degree", math.Pi / 180}, {"deg", math.Pi / 180}, {"°", math.Pi / 180},
	{"rad", 1}, {"turn", 2 * math.Pi},
}

var speedUnits = []unit{
	{"mm/s", 1}, {"cm/s", 10}, {"m/s", 1000}, {"m/min", 1000.0 / 60}, {"mm/min", 1.0 / 60},
	{"in/s", 25.4}, {"in/min", 25.4 / 60},
}

// Parse reads a length in shop notation: a whole number, a decimal, a fraction
// or a whole number and a fraction, then a unit ("5 3/8 in", `5-3/8"`,
// "30.5 cm"); several such terms with falling units add up ("1 ft 2 in",
// `1'2"`). A leading minus applies to the whole. The unit may be left out only
// of zero. Letter case does not matter. An error is a [*ParseError].
//
// "m" is metres; a thousandth of an inch is "mil".
func Parse(text string) (Length, error) {
	v, err := parse("length", text, lengthUnits, true)
	return Length(v), err
}

// ParseArea reads an area such as "4 mm2", "4 mm²" or "1.5 in2".
func ParseArea(text string) (Area, error) {
	v, err := parse("area", text, areaUnits, false)
	return Area(v), err
}

// ParseAngle reads an angle such as "45 deg", "-90°", "1.5 rad" or "1/4 turn".
func ParseAngle(text string) (Angle, error) {
	v, err := parse("angle", text, angleUnits, false)
	return Angle(v), err
}

// ParseSpeed reads a speed such as "300 mm/s", "12 in/s" or "1.5 m/min".
func ParseSpeed(text string) (Speed, error) {
	v, err := parse("speed", text, speedUnits, false)
	return Speed(v), err
}

// MustParse is [Parse] for constants in tests and examples; it panics where
// Parse returns an error.
func MustParse(text string) Length {
	l, err := Parse(text)
	if err != nil {
		panic(err)
	}
	return l
}

// parse reads one quantity. With compound, several terms with falling units
// add up.
func parse(quantity, text string, units []unit, compound bool) (float64, error) {
	s := scanner{quantity: quantity, text: text}
	if len(text) > MaxTextLength {
		return 0, s.fail(fmt.Sprintf("at most %d bytes", MaxTextLength))
	}
	s.spaces()
	sign := 1.0
	if r := s.rest(); strings.HasPrefix(r, "-") || strings.HasPrefix(r, "+") {
		if r[0] == '-' {
			sign = -1
		}
		s.at++
		s.spaces()
	}
	var sum float64
	last := math.Inf(1)
	for first := true; ; first = false {
		start := s.at
		v, err := s.number()
		if err != nil {
			return 0, err
		}
		s.spaces()
		if first && v == 0 && s.rest() == "" {
			return 0, nil
		}
		u, ok := s.unit(units)
		if !ok {
			return 0, s.fail("a unit such as " + units[0].name + unitHint(quantity))
		}
		if u.value >= last {
			s.at = start
			return 0, s.fail("a smaller unit than the one before")
		}
		last = u.value
		sum += v * u.value
		s.spaces()
		if s.rest() == "" {
			break
		}
		if !compound {
			return 0, s.fail("nothing after the unit")
		}
	}
	if math.IsInf(sum, 0) {
		return 0, s.fail("a finite number")
	}
	return sign * sum, nil
}

func unitHint(quantity string) string {
	if quantity == "length" {
		return ", cm or in"
	}
	return ""
}

type scanner struct {
	quantity, text string
	at             int
}

func (s *scanner) rest() string { return s.text[s.at:] }

func (s *scanner) fail(want string) error {
	return &ParseError{Quantity: s.quantity, Text: s.text, Offset: s.at, Want: want}
}

func (s *scanner) spaces() {
	for {
		r, size := utf8.DecodeRuneInString(s.rest())
		if r != ' ' && r != '\t' && r != '\u00a0' && r != '\u202f' {
			return
		}
		s.at += size
	}
}

// digits takes a run of decimal digits.
func (s *scanner) digits() string {
	start := s.at
	for s.at < len(s.text) && s.text[s.at] >= '0' && s.text[s.at] <= '9' {
		s.at++
	}
	return s.text[start:s.at]
}

// number takes "5", "5.25", ".5", "3/8", "5 3/8" or "5-3/8".
func (s *scanner) number() (float64, error) {
	start := s.at
	whole := s.digits()
	if strings.HasPrefix(s.rest(), "/") {
		s.at = start
		return s.fraction()
	}
	if strings.HasPrefix(s.rest(), ".") {
		s.at++
		if frac := s.digits(); whole == "" && frac == "" {
			s.at = start
			return 0, s.fail("a number")
		}
		return s.float(start)
	}
	if whole == "" {
		return 0, s.fail("a number")
	}
	v, err := s.float(start)
	if err != nil {
		return 0, err
	}
	// A fraction may follow after one space or hyphen: look ahead, step back
	// when it is something else ("1 ft" or the next term).
	mark := s.at
	s.spaces()
	if strings.HasPrefix(s.rest(), "-") {
		s.at++
	}
	if s.at > mark {
		fractionAt := s.at
		if s.digits() != "" && strings.HasPrefix(s.rest(), "/") {
			s.at = fractionAt
			f, err := s.fraction()
			return v + f, err
		}
	}
	s.at = mark
	return v, nil
}

func (s *scanner) fraction() (float64, error) {
	start := s.at
	numerator := s.digits()
	s.at++ // the slash, seen by the caller
	denominator := s.digits()
	n, err1 := strconv.ParseFloat(numerator, 64)
	d, err2 := strconv.ParseFloat(denominator, 64)
	if err1 != nil || err2 != nil || d == 0 {
		s.at = start
		return 0, s.fail("a fraction such as 3/8")
	}
	return n / d, nil
}

// float reads text[start:at], and an exponent if one follows.
func (s *scanner) float(start int) (float64, error) {
	mark := s.at
	if r := s.rest(); strings.HasPrefix(r, "e") || strings.HasPrefix(r, "E") {
		s.at++
		if r := s.rest(); strings.HasPrefix(r, "-") || strings.HasPrefix(r, "+") {
			s.at++
		}
		if s.digits() == "" {
			s.at = mark
		}
	}
	v, err := strconv.ParseFloat(s.text[start:s.at], 64)
	if err != nil {
		s.at = start
		return 0, s.fail("a number in range")
	}
	return v, nil
}

// unit takes the longest unit name that fits.
func (s *scanner) unit(units []unit) (unit, bool) {
	var best unit
	for _, u := range units {
		r := s.rest()
		if len(r) >= len(u.name) && len(u.name) > len(best.name) && strings.EqualFold(r[:len(u.name)], u.name) {
			best = u
		}
	}
	s.at += len(best.name)
	if r, _ := utf8.DecodeRuneInString(s.rest()); best.name != "" && isLetter(best.name) && isLetterRune(r) {
		s.at -= len(best.name)
		return unit{}, false
	}
	return best, best.name != ""
}

// isLetter reports whether a unit's name ends in a letter, so that another
// letter after it means another, unknown unit.
func isLetter(name string) bool {
	r, _ := utf8.DecodeLastRuneInString(name)
	return isLetterRune(r)
}

func isLetterRune(r rune) bool { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' }
