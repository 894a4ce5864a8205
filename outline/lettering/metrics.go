package lettering

import (
	"math"

	"github.com/go-text/typesetting/font"

	"github.com/vinylgeom/vinyl/units"
)

// measure fills in the font's heights in font units.
func (f *Font) measure() {
	face := f.newFace()
	f.capHeight = f.height(face, font.CapHeight, 'H')
	f.xHeight = f.height(face, font.XHeight, 'x')
	if e, ok := face.FontHExtents(); ok {
		f.ascent, f.descent, f.lineGap = float64(e.Ascender), float64(e.Descender), float64(e.LineGap)
	}
	if !(f.ascent-f.descent > 0) {
		// No usable table: the em with the usual four to one split.
		f.ascent, f.descent, f.lineGap = 0.8*f.upem, -0.2*f.upem, 0
	}
	f.lineGap = math.Max(f.lineGap, 0)
}

// height returns a height that the OS/2 table states, else the top of the ink
// of letter, else 0.
func (f *Font) height(face *font.Face, metric font.LineMetric, letter rune) float64 {
	if h := float64(face.LineMetric(metric)); h > 0 {
		return h
	}
	if id, ok := face.NominalGlyph(letter); ok {
		if g := f.outline(face, id); !g.box.IsEmpty() && g.box.Max.Y > 0 {
			return g.box.Max.Y
		}
	}
	return 0
}

// HeightMeaning tells which height of the letters [Options.Height] is.
type HeightMeaning uint8

// The heights a text can be set by. Zero is what a sign shop means by letter
// height.
const (
	// CapHeight is from the baseline to the flat top of the capitals: the
	// height that the font states (OS/2 sCapHeight), else the ink of H.
	CapHeight HeightMeaning = iota
	// XHeight is from the baseline to the flat top of the small letters: the
	// height that the font states (OS/2 sxHeight), else the ink of x.
	XHeight
	// EmHeight is the size of the font's em square, as typographers count.
	EmHeight
	// InkHeight is from the lowest to the highest point of the ink, of the
	// tallest line where there are several.
	InkHeight
)

// String names the meaning.
func (m HeightMeaning) String() string {
	switch m {
	case CapHeight:
		return "cap height"
	case XHeight:
		return "x-height"
	case EmHeight:
		return "em"
	case InkHeight:
		return "ink height"
	}
	return "unknown height"
}

// Metrics are a font's heights at one size. All are measured from the
// baseline, y up, so Descent is negative as a rule. A height of 0 is not known.
type Metrics struct {
	Em, CapHeight, XHeight units.Length
	Ascent, Descent        units.Length
	LineDistance           units.Length // baseline to baseline, as the font suggests
}

// Metrics returns the font's heights where its em is em.
func (f *Font) Metrics(em units.Length) Metrics {
	k := float64(em) / f.upem
	at := func(v float64) units.Length { return units.Length(v * k) }
	return Metrics{
		Em: em, CapHeight: at(f.capHeight), XHeight: at(f.xHeight),
		Ascent: at(f.ascent), Descent: at(f.descent),
		LineDistance: at(f.ascent - f.descent + f.lineGap),
	}
}

// EmFor returns the em at which the given height of f comes out as height; not
// for [InkHeight], which depends on the text. Errors: a [*FontError] that wraps
// [ErrNoMetric] where the font does not know the height, and an [*OptionError]
// for a height that is not finite or a meaning that is none of the other three.
func (f *Font) EmFor(height units.Length, of HeightMeaning) (units.Length, error) {
	if !height.IsFinite() {
		return 0, &OptionError{"Height", height.String(), "give a finite length"}
	}
	v := f.upem
	switch of {
	case CapHeight:
		v = f.capHeight
	case XHeight:
		v = f.xHeight
	case EmHeight:
	default:
		return 0, &OptionError{"HeightOf", of.String(), "use CapHeight, XHeight or EmHeight"}
	}
	if v <= 0 {
		return 0, &FontError{f.name, f.index, ErrNoMetric, of.String(), "set the text by EmHeight or InkHeight"}
	}
	return units.Length(float64(height) * f.upem / v), nil
}
