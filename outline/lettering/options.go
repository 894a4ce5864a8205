package lettering

import (
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Align tells how the lines of a text stand to one another.
type Align uint8

// The alignments. One line alone always starts at x = 0.
const (
	AlignStart  Align = iota // left, and right for a line that runs from right to left
	AlignLeft                // every line starts at x = 0
	AlignCentre              // every line's middle above the other's
	AlignRight               // every line ends where the widest ends
)

// String names the alignment.
func (a Align) String() string {
	switch a {
	case AlignStart:
		return "start"
	case AlignLeft:
		return "left"
	case AlignCentre:
		return "centre"
	case AlignRight:
		return "right"
	}
	return "unknown alignment"
}

// Options say how a text is set. Only Height has to be given.
type Options struct {
	// Fonts are tried in order for every character; none means [Default].
	Fonts []*Font
	// Height is the size of the letters; HeightOf tells what it measures. Each
	// font of the list is brought to this height; one that does not know its
	// own is set at the first font's em.
	Height   units.Length
	HeightOf HeightMeaning

	// Tracking is added after every letter but a line's last, WordSpacing
	// after every space; both may be negative. Letters of joined scripts such
	// as Arabic are never tracked apart, and tracked letters make no
	// ligatures.
	Tracking, WordSpacing units.Length
	// NoKerning and NoLigatures switch off what the font offers: pair kerning;
	// standard, contextual, discretionary and historical ligatures. Forms that
	// a script cannot do without stay on.
	NoKerning, NoLigatures bool

	// Align and Leading are for several lines. Leading is the distance from
	// baseline to baseline; zero means the first font's own line distance.
	Align   Align
	Leading units.Length

	// Slant leans the letters to the right, to the left if negative, about the
	// baseline. At most [MaxSlant] degrees.
	Slant units.Angle
	// Width condenses or expands the letters along x until the ink is this
	// wide; MaxWidth only condenses text that would be wider. Strokes along y
	// become thinner or thicker with it. At most one of the two.
	Width, MaxWidth units.Length
	// Heavier moves every border outwards by this, inwards if negative, so
	// that strokes gain twice as much. Corner tells what happens at the
	// corners. Height stays the height of the letters before; Width, MaxWidth
	// and InkHeight are met by the heavier letters.
	Heavier units.Length
	Corner  outline.Corner
	// Weld joins letters that overlap or touch, as kerned, joined and tightly
	// tracked ones do. Contours that overlap inside one letter are always
	// welded, and made heavier or lighter letters too.
	Weld bool
	// Tolerance bounds the deviation of a weld and of heavier letters; zero
	// means outline.DefaultTolerance.
	Tolerance units.Length

	// Direction is that of every line; Language, a BCP 47 tag such as "tr",
	// chooses among a font's national forms.
	Direction Direction
	Language  string
}

// maxLanguageBytes is the longest language tag: RFC 5646, part of BCP 47, counts 35
// for what programs must take; private tags may be longer.
const maxLanguageBytes = 100

func (opt Options) check() error {
	lengths := []struct {
		name  string
		value units.Length
	}{
		{"Height", opt.Height}, {"Tracking", opt.Tracking}, {"WordSpacing", opt.WordSpacing}, {"Leading", opt.Leading},
		{"Width", opt.Width}, {"MaxWidth", opt.MaxWidth}, {"Heavier", opt.Heavier}, {"Tolerance", opt.Tolerance},
	}
	for _, l := range lengths {
		if !l.value.IsFinite() {
			return &OptionError{l.name, l.value.String(), "give a finite length"}
		}
		if l.value.Abs() > MaxLength {
			return &OptionError{l.name, l.value.String(), "give at most " + MaxLength.String()}
		}
	}
	if opt.Height <= 0 {
		return &OptionError{"Height", opt.Height.String(), "give a height above zero"}
	}
	for _, l := range lengths[4:] {
		if l.name != "Heavier" && l.value < 0 {
			return &OptionError{l.name, l.value.String(), "give a length above zero, or zero for none"}
		}
	}
	if opt.Width != 0 && opt.MaxWidth != 0 {
		return &OptionError{"MaxWidth", opt.MaxWidth.String(), "leave out Width or MaxWidth"}
	}
	if !(math.Abs(opt.Slant.Degrees()) <= MaxSlant) {
		return &OptionError{"Slant", opt.Slant.String(), fmt.Sprintf("give at most %d degrees either way", MaxSlant)}
	}
	if opt.HeightOf > InkHeight {
		return &OptionError{"HeightOf", fmt.Sprint(uint8(opt.HeightOf)), "use one of the named heights"}
	}
	if opt.Align > AlignRight {
		return &OptionError{"Align", fmt.Sprint(uint8(opt.Align)), "use one of the named alignments"}
	}
	if opt.Direction > RightToLeft {
		return &OptionError{"Direction", fmt.Sprint(uint8(opt.Direction)), "use one of the named directions"}
	}
	if opt.Corner > outline.CornerBevel {
		return &OptionError{"Corner", fmt.Sprint(uint8(opt.Corner)), "use one of the named corners"}
	}
	if len(opt.Language) > maxLanguageBytes {
		return &OptionError{"Language", fmt.Sprintf("%d bytes long", len(opt.Language)), `give a BCP 47 tag such as "tr"`}
	}
	if len(opt.Fonts) > MaxFonts {
		return &OptionError{"Fonts", fmt.Sprintf("%d fonts", len(opt.Fonts)), fmt.Sprintf("give at most %d", MaxFonts)}
	}
	for i, f := range opt.Fonts {
		if f == nil || f.face == nil {
			return &OptionError{fmt.Sprintf("Fonts[%d]", i), "no font", "make it with ParseFont, OpenFont or OpenFontFile"}
		}
	}
	return nil
}
