package svg

import (
	"strings"
)

// style holds the computed properties that decide what is cut. The inherited
// ones pass to children; the others are reset by reset.
type style struct {
	// Inherited.
	fill, stroke paint
	color        string // currentColor
	fillRule     string // nonzero, evenodd
	visible      bool
	strokeWidth  measure
	cap, join    string
	mitreLimit   float64
	dashes       []measure
	dashOffset   measure
	fillOpacity  float64
	lineOpacity  float64

	// Not inherited.
	display   bool
	opacity   float64
	transform string
	uncut     []string // clip-path, mask, filter ...: what is asked for and not done
	rigid     bool     // vector-effect: non-scaling-stroke
}

// initialStyle is what the root starts from: black fill, no stroke.
func initialStyle() style {
	return style{
		fill: paint{kind: paintColour, colour: "#000000"}, color: "#000000", fillRule: "nonzero", visible: true,
		strokeWidth: measure{value: 1}, cap: "butt", join: "miter", mitreLimit: 4,
		fillOpacity: 1, lineOpacity: 1, display: true, opacity: 1,
	}
}

// reset sets what a child does not inherit.
func (s *style) reset() {
	s.display, s.opacity, s.transform, s.uncut, s.rigid = true, 1, "", nil, false
}

// presentation lists the properties that are also attributes.
var presentation = map[string]bool{
	"fill": true, "stroke": true, "color": true, "fill-rule": true, "visibility": true, "stroke-width": true,
	"stroke-linecap": true, "stroke-linejoin": true, "stroke-miterlimit": true, "stroke-dasharray": true,
	"stroke-dashoffset": true, "fill-opacity": true, "stroke-opacity": true, "display": true, "opacity": true,
	"clip-path": true, "mask": true, "filter": true, "vector-effect": true,
	"transform": true, "transform-origin": true,
	"marker": true, "marker-start": true, "marker-mid": true, "marker-end": true,
}

// declaration is one property: value of CSS.
type declaration struct {
	property, value string
	important       bool
}

// parseDeclarations reads "property: value; ..." leniently, as CSS does: what
// cannot be read is skipped to the next semicolon.
func parseDeclarations(text string) []declaration {
	var list []declaration
	for _, part := range splitTop(text, ';') {
		property, value, ok := strings.Cut(part, ":")
		if !ok {
			continue
		}
		d := declaration{property: strings.ToLower(strings.TrimSpace(property)), value: strings.TrimSpace(value)}
		if i := strings.LastIndexByte(d.value, '!'); i >= 0 && strings.EqualFold(strings.TrimSpace(d.value[i+1:]), "important") {
			d.value, d.important = strings.TrimSpace(d.value[:i]), true
		}
		list = append(list, d)
	}
	return list
}

// splitTop cuts text at sep outside brackets and quotes.
func splitTop(text string, sep byte) []string {
	var parts []string
	depth, start := 0, 0
	var quote byte
	for i := 0; i < len(text); i++ {
		c := text[i]
		switch {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '(':
			depth++
		case c == ')':
			depth--
		case c == sep && depth <= 0:
			parts = append(parts, text[start:i])
			start = i + 1
		}
	}
	return append(parts, text[start:])
}

// apply sets one property on s; parent is what "inherit" takes. It returns a
// syntaxError only for numbers that geometry depends on.
func (s *style) apply(property, value string, parent *style) error {
	if value == "" {
		return nil
	}
	lower := strings.ToLower(value)
	if lower == "inherit" || lower == "unset" || lower == "revert" {
		s.inherit(property, parent, lower == "inherit")
		return nil
	}
	if lower == "initial" {
		initial := initialStyle()
		s.inherit(property, &initial, true)
		return nil
	}
	switch property {
	case "fill":
		s.fill = parsePaint(value, s.fill)
	case "stroke":
		s.stroke = parsePaint(value, s.stroke)
	case "color":
		if c, ok := parseColour(lower); ok {
			s.color = c
		}
	case "fill-rule":
		if lower == "nonzero" || lower == "evenodd" {
			s.fillRule = lower
		}
	case "visibility":
		s.visible = lower != "hidden" && lower != "collapse"
	case "display":
		s.display = lower != "none"
	case "stroke-linecap":
		if lower == "butt" || lower == "round" || lower == "square" {
			s.cap = lower
		}
	case "stroke-linejoin":
		switch lower {
		case "miter", "round", "bevel", "miter-clip", "arcs":
			s.join = lower
		}
	case "stroke-width":
		m, err := parseMeasure(value)
		if err == nil && m.value < 0 {
			err = &syntaxError{want: "a width of zero or more"}
		}
		if err != nil {
			return err
		}
		s.strokeWidth = m
	case "stroke-miterlimit":
		m, err := parseMeasure(value)
		if err == nil && (m.value < 1 || m.unit != "") {
			err = &syntaxError{want: "a limit of 1 or more"}
		}
		if err != nil {
			return err
		}
		s.mitreLimit = m.value
	case "stroke-dasharray":
		dashes, err := parseDashes(value)
		if err != nil {
			return err
		}
		s.dashes = dashes
	case "stroke-dashoffset":
		m, err := parseMeasure(value)
		if err != nil {
			return err
		}
		s.dashOffset = m
	case "opacity":
		s.opacity = parseOpacity(value, s.opacity)
	case "fill-opacity":
		s.fillOpacity = parseOpacity(value, s.fillOpacity)
	case "stroke-opacity":
		s.lineOpacity = parseOpacity(value, s.lineOpacity)
	case "vector-effect":
		s.rigid = strings.Contains(lower, "non-scaling-stroke")
	case "transform":
		s.transform = value
	case "clip-path", "mask", "filter", "marker", "marker-start", "marker-mid", "marker-end":
		if lower != "none" {
			s.uncut = append(s.uncut, property)
		}
	case "transform-origin", "rotate", "scale", "translate", "d", "x", "y", "width", "height", "cx", "cy", "r", "rx", "ry":
		// As attributes the last ones never come here; as properties of CSS
		// they would move or reshape what is cut.
		s.uncut = append(s.uncut, property)
	}
	return nil
}

// inherit copies a property from parent; for those CSS does not inherit by
// itself only where forced.
func (s *style) inherit(property string, parent *style, forced bool) {
	switch property {
	case "fill":
		s.fill = parent.fill
	case "stroke":
		s.stroke = parent.stroke
	case "color":
		s.color = parent.color
	case "fill-rule":
		s.fillRule = parent.fillRule
	case "visibility":
		s.visible = parent.visible
	case "stroke-width":
		s.strokeWidth = parent.strokeWidth
	case "stroke-linecap":
		s.cap = parent.cap
	case "stroke-linejoin":
		s.join = parent.join
	case "stroke-miterlimit":
		s.mitreLimit = parent.mitreLimit
	case "stroke-dasharray":
		s.dashes = parent.dashes
	case "stroke-dashoffset":
		s.dashOffset = parent.dashOffset
	case "fill-opacity":
		s.fillOpacity = parent.fillOpacity
	case "stroke-opacity":
		s.lineOpacity = parent.lineOpacity
	case "opacity":
		s.opacity = 1
		if forced {
			s.opacity = parent.opacity
		}
	case "display":
		s.display = !forced || parent.display
	case "transform":
		s.transform = ""
		if forced {
			s.transform = parent.transform
		}
	}
}

// parseOpacity reads a share or a percentage, clamped to 0..1 as CSS does;
// what cannot be read leaves old.
func parseOpacity(text string, old float64) float64 {
	m, err := parseMeasure(text)
	switch {
	case err == nil && m.unit == "%":
		return min(1, max(0, m.value/100))
	case err == nil && m.unit == "":
		return min(1, max(0, m.value))
	}
	return old
}

// parseDashes reads a dash array: lengths with commas or spaces between. A
// list of zeros means a solid line, a negative length is an error.
func parseDashes(text string) ([]measure, error) {
	if strings.EqualFold(strings.TrimSpace(text), "none") {
		return nil, nil
	}
	s := scanner{text: text}
	var list []measure
	sum := 0.0
	s.spaces()
	for !s.done() {
		m, err := s.measure()
		if err != nil {
			return nil, err
		}
		if m.value < 0 {
			return nil, s.fail("a dash of zero or more")
		}
		if len(list) == maxDashArray {
			return nil, &syntaxError{offset: s.at, want: "a shorter list", cause: ErrTooLarge}
		}
		list = append(list, m)
		sum += m.value
		s.separator()
	}
	if sum == 0 {
		return nil, nil
	}
	if len(list)%2 == 1 {
		list = append(list, list...)
	}
	return list, nil
}

// maxDashArray bounds the lengths of one dash array.
const maxDashArray = 1000
