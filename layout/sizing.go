package layout

import (
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Measure tells which measure of a decal an order gives.
type Measure uint8

// The measures. All are those of the outermost cut, borders included, before
// the decal is turned.
const (
	Height Measure = iota
	Width
	Surface // the film's area; Value is the side of the square of that area
)

// String names the measure.
func (m Measure) String() string {
	switch m {
	case Height:
		return "height"
	case Width:
		return "width"
	case Surface:
		return "area"
	}
	return "unknown measure"
}

// MarshalText writes what String returns. The error is an [*Error].
func (m Measure) MarshalText() ([]byte, error) {
	if m > Surface {
		return nil, measureError(fmt.Sprintf("%d is none", m))
	}
	return []byte(m.String()), nil
}

// UnmarshalText reads what MarshalText writes. The error is an [*Error].
func (m *Measure) UnmarshalText(text []byte) error {
	for known := Height; known <= Surface; known++ {
		if known.String() == string(text) {
			*m = known
			return nil
		}
	}
	return measureError(fmt.Sprintf("%q is not known", text))
}

func measureError(detail string) error {
	return &Error{Op: "measure", Cause: ErrInvalid, Detail: detail, Fix: fmt.Sprintf("use %v, %v or %v", Height, Width, Surface)}
}

// Size is what a decal is brought to.
type Size struct {
	Measure Measure      `json:"measure,omitzero"` // "height", "width" or "area"; absent: height
	Value   units.Length `json:"value"`
	// Border is the width of an outline that is added round the decal after
	// scaling and counts to its size; it does not scale with the decal.
	Border units.Length `json:"border,omitzero"`
}

// Factor returns by what p must be scaled so that, with its border, it has the
// size; an error wraps [ErrInvalid] or, where the border alone is larger,
// [ErrDoesNotFit].
func (s Size) Factor(p outline.Path) (float64, error) {
	fail := func(cause error, detail, fix string) (float64, error) {
		return 0, &Error{Op: "size", Cause: cause, Detail: detail, Fix: fix}
	}
	if !(s.Value > 0) || !s.Value.IsFinite() {
		return fail(ErrInvalid, fmt.Sprintf("%v is %v", s.Measure, s.Value), "give a size above zero")
	}
	if !(s.Border >= 0) || !s.Border.IsFinite() {
		return fail(ErrInvalid, fmt.Sprintf("border is %v", s.Border), "give a border of zero or more")
	}
	b := p.Bounds()
	var now float64
	switch s.Measure {
	case Height:
		now = b.Height()
	case Width:
		now = b.Width()
	case Surface:
		if s.Border > 0 {
			return fail(ErrInvalid, "a size by area with a border", "size by height or width, or leave the border out")
		}
		now = math.Sqrt(math.Max(0, float64(p.Area())))
	default:
		return fail(ErrInvalid, s.Measure.String(), "use Height, Width or Surface")
	}
	if !(now > 0) || math.IsInf(now, 0) {
		return fail(ErrInvalid, fmt.Sprintf("the design's own %v is %.3g mm", s.Measure, now), "give it an area")
	}
	left := float64(s.Value - 2*s.Border)
	if left <= 0 {
		return fail(ErrDoesNotFit, fmt.Sprintf("a border of %v on both sides leaves nothing of %v", s.Border, s.Value), "use a narrower border or a larger size")
	}
	return left / now, nil
}

// Apply returns p scaled by [Size.Factor], without the border, with the lower
// left corner of its box at (0, 0). Its errors are those of Factor; p is not
// modified.
func (s Size) Apply(p outline.Path) (outline.Path, error) {
	k, err := s.Factor(p)
	if err != nil {
		return nil, err
	}
	b := p.Bounds()
	return p.Transform(outline.Translate(b.Min.Mul(-1)).Then(outline.Scale(k, k))), nil
}
