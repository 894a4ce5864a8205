package proof

import (
	"image/color"
	"strconv"
	"strings"
)

// Colour reads a CSS hexadecimal colour, #rgb or #rrggbb, or one of the
// sixteen basic CSS colour names (W3C CSS Color Level 3, 4.1), in any case and
// with space around it. The empty text is black. The error is an [*Error] that
// wraps [ErrInvalid].
func Colour(text string) (color.RGBA, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "" {
		return color.RGBA{A: 255}, nil
	}
	if hex, ok := basicColours[text]; ok {
		text = hex
	}
	digits := strings.TrimPrefix(text, "#")
	if len(digits) == 3 {
		digits = string([]byte{digits[0], digits[0], digits[1], digits[1], digits[2], digits[2]})
	}
	v, err := strconv.ParseUint(digits, 16, 32)
	if err != nil || len(digits) != 6 || digits == text {
		return color.RGBA{}, &Error{Cause: ErrInvalid, Detail: "colour " + strconv.Quote(text) + "; write it as #rrggbb"}
	}
	return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}, nil
}

var basicColours = map[string]string{
	"black": "#000000", "silver": "#c0c0c0", "gray": "#808080", "white": "#ffffff",
	"maroon": "#800000", "red": "#ff0000", "purple": "#800080", "fuchsia": "#ff00ff",
	"green": "#008000", "lime": "#00ff00", "olive": "#808000", "yellow": "#ffff00",
	"navy": "#000080", "blue": "#0000ff", "teal": "#008080", "aqua": "#00ffff",
}

// luma is how light c looks, 0 to 1: the weighted sum of its coded values (Rec.
// ITU-R BT.709, 3.2).
func luma(c color.RGBA) float64 {
	return 0.2126*float64(c.R)/255 + 0.7152*float64(c.G)/255 + 0.0722*float64(c.B)/255
}
