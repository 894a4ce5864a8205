package svg

import (
	"errors"
	"fmt"
	"unicode/utf8"
)

// Causes that a [ReadError] wraps.
var (
	ErrXML           = errors.New("the file is not well-formed XML")
	ErrNotSVG        = errors.New("the outermost element is not svg")
	ErrSyntax        = errors.New("the value does not follow the SVG grammar")
	ErrTooLarge      = errors.New("the drawing is larger than is read")
	ErrReference     = errors.New("use elements lead back to themselves")
	ErrNoSize        = errors.New("the page has no size")
	ErrTooFar        = errors.New("a coordinate is out of range")
	ErrInvalidOption = errors.New("an option has no sensible value")
)

// ReadError tells where a drawing cannot be read: the element, its line
// (from 1; 0 where there is none), the attribute and the byte in its value,
// why, and how to mend it.
type ReadError struct {
	Element   string // such as path or path#upper; "" for the file itself
	Line      int
	Attribute string // "" where the element itself is meant
	Value     string // the attribute's value, shortened
	Offset    int    // byte offset of the fault in the full value
	Cause     error
	Fix       string
}

func (e *ReadError) Error() string {
	s := "svg: "
	if e.Line > 0 {
		s += fmt.Sprintf("line %d: ", e.Line)
	}
	if e.Element != "" {
		s += e.Element + ": "
	}
	if e.Attribute != "" {
		s += fmt.Sprintf("%s=%q at byte %d: ", e.Attribute, e.Value, e.Offset)
	}
	s += e.Cause.Error()
	if e.Fix != "" {
		s += "; " + e.Fix
	}
	return s
}

// Unwrap returns the cause.
func (e *ReadError) Unwrap() error { return e.Cause }

// OptionError tells which field of the options has no sensible value. It wraps
// [ErrInvalidOption].
type OptionError struct {
	Option string // the field's name
	Value  string
	Fix    string
}

func (e *OptionError) Error() string {
	return fmt.Sprintf("svg: option %s is %s: %v; %s", e.Option, e.Value, ErrInvalidOption, e.Fix)
}

// Unwrap returns [ErrInvalidOption].
func (e *OptionError) Unwrap() error { return ErrInvalidOption }

// Warning tells of something in a drawing that is not cut, or not as drawn.
type Warning struct {
	Element string // such as text or image#logo
	Line    int    // from 1
	Message string
}

// String returns the warning as one line of text.
func (w Warning) String() string {
	return fmt.Sprintf("line %d: %s: %s", w.Line, w.Element, w.Message)
}

// syntaxError is a fault in one attribute's value, before it is known whose.
type syntaxError struct {
	offset int
	want   string
	cause  error // ErrSyntax if nil
}

func (e *syntaxError) Error() string { return fmt.Sprintf("at byte %d: want %s", e.offset, e.want) }

func (e *syntaxError) Unwrap() error {
	if e.cause != nil {
		return e.cause
	}
	return ErrSyntax
}

// shownBytes bounds how much of a value an error repeats.
const shownBytes = 60

// excerpt returns the part of value around offset that an error shows.
func excerpt(value string, offset int) string {
	if len(value) <= shownBytes {
		return value
	}
	from := max(0, min(offset-shownBytes/2, len(value)-shownBytes))
	to := min(from+shownBytes, len(value))
	for from > 0 && !utf8.RuneStart(value[from]) {
		from--
	}
	for to < len(value) && !utf8.RuneStart(value[to]) {
		to++
	}
	s := value[from:to]
	if from > 0 {
		s = "..." + s
	}
	if to < len(value) {
		s += "..."
	}
	return s
}
