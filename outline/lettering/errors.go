package lettering

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
)

// Causes that the errors of this package wrap.
var (
	ErrBadFont       = errors.New("the data is not a font that can be read")
	ErrNoSuchFont    = errors.New("the file holds no font with this index")
	ErrNoSuchAxis    = errors.New("the font has no such axis of variation")
	ErrNoGlyph       = errors.New("no font has the character")
	ErrNoOutline     = errors.New("the font draws the character as a picture, not as an outline")
	ErrNoMetric      = errors.New("the font does not state the height and has no letter to measure it by")
	ErrNoInk         = errors.New("the text has no ink to measure")
	ErrNoFit         = errors.New("the text cannot be brought to this size")
	ErrNotUTF8       = errors.New("the text is not valid UTF-8")
	ErrTooLarge      = errors.New("the input is beyond a limit of this package")
	ErrInvalidOption = errors.New("an option has no sensible value")
)

// FontError tells which font cannot be used, why, and how to mend it.
type FontError struct {
	Name   string // file name, or "font data"
	Index  int    // in a collection, from 0
	Cause  error
	Detail string // what exactly, may be empty
	Fix    string
}

func (e *FontError) Error() string {
	s := "lettering: " + e.Name
	if e.Index != 0 {
		s += fmt.Sprintf(", font %d", e.Index)
	}
	return s + ": " + reason(e.Cause, e.Detail, e.Fix)
}

// Unwrap returns the cause.
func (e *FontError) Unwrap() error { return e.Cause }

// MissingGlyphError tells which character cannot be set: Cause is [ErrNoGlyph]
// or [ErrNoOutline].
type MissingGlyphError struct {
	Rune   rune
	Offset int      // of the rune in the text, in bytes
	Fonts  []string // names of the fonts tried, in their order
	Cause  error
}

func (e *MissingGlyphError) Error() string {
	shown := "U+" + fmt.Sprintf("%04X", e.Rune)
	if unicode.IsGraphic(e.Rune) && !unicode.IsSpace(e.Rune) {
		shown = fmt.Sprintf("%q (%s)", string(e.Rune), shown)
	}
	return fmt.Sprintf("lettering: character %s at byte %d: %v; tried %s; add a font that has it to the list, or change the text",
		shown, e.Offset, e.Cause, strings.Join(e.Fonts, ", "))
}

// Unwrap returns the cause.
func (e *MissingGlyphError) Unwrap() error { return e.Cause }

// TextError tells why a text cannot be set as asked.
type TextError struct {
	Offset int // in the text, in bytes; -1 where it is about the whole
	Cause  error
	Detail string
	Fix    string
}

func (e *TextError) Error() string {
	s := "lettering: text"
	if e.Offset >= 0 {
		s += fmt.Sprintf(", byte %d", e.Offset)
	}
	return s + ": " + reason(e.Cause, e.Detail, e.Fix)
}

// Unwrap returns the cause.
func (e *TextError) Unwrap() error { return e.Cause }

// OptionError names a field of an options struct that has no sensible value.
type OptionError struct {
	Option string // such as "Height"
	Value  string
	Fix    string
}

func (e *OptionError) Error() string {
	return fmt.Sprintf("lettering: option %s is %s; %s", e.Option, e.Value, e.Fix)
}

// Unwrap returns [ErrInvalidOption].
func (e *OptionError) Unwrap() error { return ErrInvalidOption }

func reason(cause error, detail, fix string) string {
	s := cause.Error()
	if detail != "" {
		s += " (" + detail + ")"
	}
	if fix != "" {
		s += "; " + fix
	}
	return s
}
