package svg

import (
	"fmt"
	"math"
	"strings"
)

type paintKind uint8

const (
	paintNone paintKind = iota
	paintColour
	paintCurrent // currentColor
	paintServer  // a gradient or a pattern, with its fallback in colour
)

// paint is the value of fill or stroke.
type paint struct {
	kind   paintKind
	colour string // "#rrggbb"; a server's fallback, "" if it has none
}

// hex returns the colour to keep for a shape; gradients without fallback come
// out black, since the area is cut all the same.
func (p paint) hex(current string) string {
	switch {
	case p.kind == paintNone:
		return ""
	case p.kind == paintCurrent:
		return current
	case p.colour == "":
		return "#000000"
	}
	return p.colour
}

// parsePaint reads fill or stroke; what cannot be read leaves old, as CSS does.
func parsePaint(text string, old paint) paint {
	lower := strings.ToLower(strings.TrimSpace(text))
	switch {
	case lower == "none" || lower == "transparent":
		return paint{}
	case lower == "currentcolor":
		return paint{kind: paintCurrent}
	case lower == "context-fill" || lower == "context-stroke":
		return paint{kind: paintColour, colour: "#000000"}
	case strings.HasPrefix(lower, "url("):
		p := paint{kind: paintServer}
		if i := strings.IndexByte(lower, ')'); i >= 0 {
			if c, ok := parseColour(strings.TrimSpace(lower[i+1:])); ok {
				p.colour = c
			}
		}
		return p
	}
	if c, ok := parseColour(lower); ok {
		if c == "" {
			return paint{}
		}
		return paint{kind: paintColour, colour: c}
	}
	return old
}

// parseColour reads a colour in lower case to "#rrggbb"; "" for one that is
// wholly transparent. Partial transparency is dropped: film is opaque.
func parseColour(text string) (colour string, ok bool) {
	if hex, found := namedColours[text]; found {
		return hex, true
	}
	if strings.HasPrefix(text, "#") {
		return hexColour(text[1:])
	}
	open := strings.IndexByte(text, '(')
	if open < 0 || !strings.HasSuffix(text, ")") {
		return "", false
	}
	name, arguments := text[:open], strings.NewReplacer(",", " ", "/", " ").Replace(text[open+1:len(text)-1])
	fields := strings.Fields(arguments)
	if len(fields) < 3 || len(fields) > 4 {
		return "", false
	}
	var v [4]measure
	for i, f := range fields {
		m, err := parseMeasure(strings.TrimSuffix(f, "deg"))
		if err != nil || m.unit != "" && m.unit != "%" {
			return "", false
		}
		v[i] = m
	}
	if len(fields) == 4 && v[3].value == 0 {
		return "", true
	}
	switch name {
	case "rgb", "rgba":
		var c [3]float64
		for i := range c {
			c[i] = v[i].value / 255
			if v[i].unit == "%" {
				c[i] = v[i].value / 100
			}
		}
		return formatColour(c), true
	case "hsl", "hsla":
		return formatColour(fromHSL(v[0].value, v[1].value/100, v[2].value/100)), true
	}
	return "", false
}

func hexColour(digits string) (string, bool) {
	for i := 0; i < len(digits); i++ {
		if !isDigit(digits[i]) && (digits[i] < 'a' || digits[i] > 'f') {
			return "", false
		}
	}
	switch len(digits) {
	case 3, 4:
		if len(digits) == 4 && digits[3] == '0' {
			return "", true
		}
		return "#" + string([]byte{digits[0], digits[0], digits[1], digits[1], digits[2], digits[2]}), true
	case 6, 8:
		if len(digits) == 8 && digits[6:] == "00" {
			return "", true
		}
		return "#" + digits[:6], true
	}
	return "", false
}

func formatColour(c [3]float64) string {
	var v [3]int
	for i := range c {
		v[i] = int(math.Round(min(1, max(0, c[i])) * 255))
	}
	return fmt.Sprintf("#%02x%02x%02x", v[0], v[1], v[2])
}

// fromHSL converts by the formula of CSS Color Level 4, section 7.1.
func fromHSL(hue, saturation, light float64) [3]float64 {
	saturation, light = min(1, max(0, saturation)), min(1, max(0, light))
	a := saturation * min(light, 1-light)
	f := func(n float64) float64 {
		k := math.Mod(n+hue/30, 12)
		if k < 0 {
			k += 12
		}
		return light - a*max(-1, min(k-3, 9-k, 1))
	}
	return [3]float64{f(0), f(8), f(4)}
}
