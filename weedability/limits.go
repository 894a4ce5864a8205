package weedability

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/vinylgeom/vinyl/units"
)

// Limit is a rule about a length: below Caution it takes care, below Warn
// trouble is likely, below Refuse it should not be cut. JSON has lengths as text with a
// unit, such as "0.5 mm" or "1/16 in".
type Limit struct {
	Refuse  units.Length `json:"refuse"`  // above zero, as all three
	Warn    units.Length `json:"warn"`    // at least Refuse
	Caution units.Length `json:"caution"` // at least Warn
	Source  string       `json:"source"`  // where the figures come from
}

// AreaLimit is a rule about an area, in the manner of [Limit]; JSON has areas as text
// with a unit, such as "4 mm2".
type AreaLimit struct {
	Refuse  units.Area `json:"refuse"`
	Warn    units.Area `json:"warn"`
	Caution units.Area `json:"caution"`
	Source  string     `json:"source"`
}

// TipLimit is the rule about points of film. A point is measured by the width
// of the film at Behind from its end: a straight-sided point of angle a has
// width 2·Behind·tan(a/2) there. Below the given widths it is found.
type TipLimit struct {
	Behind  units.Length `json:"behind"` // where the width is measured, along the middle of the point
	Refuse  units.Length `json:"refuse"`
	Warn    units.Length `json:"warn"`
	Caution units.Length `json:"caution"`
	Source  string       `json:"source"`
}

// Limits is what a film can hold. The zero value is not usable, since every
// limit must be above zero: start from [LimitsFor] or read a file with
// [ReadLimits].
type Limits struct {
	Name         string    `json:"name"`          // what the shop calls it
	Class        FilmClass `json:"class"`         // by its name
	IslandArea   AreaLimit `json:"island_area"`   // adhesive area of a separate piece of film
	IslandWidth  Limit     `json:"island_width"`  // width of its largest inscribed circle
	CounterWidth Limit     `json:"counter_width"` // width of a counter's largest inscribed circle: can a pick tool get hold of it
	Stroke       Limit     `json:"stroke"`        // thickness of film
	Gap          Limit     `json:"gap"`           // thickness of waste between two cuts
	Tip          TipLimit  `json:"tip"`           // points of film
	WasteNeck    Limit     `json:"waste_neck"`    // narrowest waste that peels without tearing
}

// Sources of the default limits.
const (
	sourceTiers  = "common practice, no source: tiers of 0.5, 1 and 2 mm; the floor of 0.5 mm as published by quackworks.jp, 1 mm between cuts by bestickers.com, 2 mm strokes by eastvanvinyl.com (2021)"
	sourceSquare = "2 mm square rule, hexio.co.uk (November 2019): no separate piece of film under 4 mm2; the 0.5 and 1 mm squares are common practice, no source"
	sourceGap    = "common practice, no source; two cuts closer than 1 mm may make the film rise behind the blade, bestickers.com; floor of 0.5 mm, quackworks.jp"
	sourceWidth  = "common practice, no source: tiers of 0.5, 1 and 2 mm, after the 2 mm square rule, hexio.co.uk (November 2019)"
	sourcePick   = "common practice, no source: the ends of fine tweezers need about 0.5 mm to close on, a pick tool about 1 mm"
	sourceTip    = "common practice, no source: points under 30 degrees may lift, under 15 degrees mostly do"
	sourceNeck   = "common practice, no source; a strip 1 mm wide holds far less well than a 10 mm one, bestickers.com"
	sourceThick  = "common practice, no source: no minimum is published for reflective film, which is 3.5 times as thick as cast film (3M Product Bulletin 680CR, 2016); half as much again as for cast film"
	sourceTextil = "common practice, no source: no minimum is published for glitter and flock; one user reports 1/4 to 3/8 in text as the least (Dallas Makerspace)"
)

// Angles of the points at which the default tip limits fire.
const (
	tipCautionAngle = 30 * units.Degree
	tipWarnAngle    = 15 * units.Degree
	tipRefuseAngle  = 5 * units.Degree
)

// LimitsFor returns the default limits of a class. They are rules of thumb, most
// of them common practice without a source, which disagree with one another;
// each Source says so. Every figure is in millimetres:
//
//	                    refuse  warn  caution
//	island area            0.25     1     4 mm2   the 2 mm square rule (hexio.co.uk, 2019)
//	island width            0.5     1     2
//	counter width           0.5     1     2
//	stroke                  0.5     1     2       2 mm (eastvanvinyl.com, 2021), floor 0.5 mm (quackworks.jp)
//	gap                     0.5   0.8     1       1 mm (bestickers.com), floor 0.5 mm (quackworks.jp)
//	tip, 1 mm from its end 0.09  0.26  0.54       5, 15 and 30 degrees
//	waste neck              0.5     1   1.5
//
// Calendered film is thicker than cast (80 against 51 µm) and no figures are
// published for it: it has the same limits. Reflective film (178 µm) has half as
// much again for strokes, gaps, widths and necks. Glitter and flock for heat
// transfer have gaps, counters and necks half as much again. An unknown class
// has the limits of calendered film.
func LimitsFor(class FilmClass) Limits {
	tip := func(a units.Angle) units.Length { return units.Length(2 * math.Tan(float64(a)/2)) }
	l := Limits{
		Name:         class.String(),
		Class:        class,
		IslandArea:   AreaLimit{0.25, 1, 4, sourceSquare},
		IslandWidth:  Limit{0.5, 1, 2, sourceWidth},
		CounterWidth: Limit{0.5, 1, 2, sourcePick},
		Stroke:       Limit{0.5, 1, 2, sourceTiers},
		Gap:          Limit{0.5, 0.8, 1, sourceGap},
		Tip:          TipLimit{1, tip(tipRefuseAngle), tip(tipWarnAngle), tip(tipCautionAngle), sourceTip},
		WasteNeck:    Limit{0.5, 1, 1.5, sourceNeck},
	}
	switch class {
	case Reflective:
		for _, r := range []*Limit{&l.IslandWidth, &l.CounterWidth, &l.Stroke, &l.Gap, &l.WasteNeck} {
			r.Refuse, r.Warn, r.Caution, r.Source = 1.5*r.Refuse, 1.5*r.Warn, 1.5*r.Caution, sourceThick
		}
	case HeatTransfer:
		for _, r := range []*Limit{&l.CounterWidth, &l.Gap, &l.WasteNeck} {
			r.Refuse, r.Warn, r.Caution, r.Source = 1.5*r.Refuse, 1.5*r.Warn, 1.5*r.Caution, sourceTextil
		}
	}
	return l
}

// Check returns a [*LimitsError] if a limit is not a finite length above zero
// or the tiers of a rule are out of order.
func (l Limits) Check() error {
	if int(l.Class) >= len(filmClassNames) {
		return &LimitsError{Field: "class", Value: l.Class.String(), Cause: ErrUnknownClass, Fix: "use a class this package names"}
	}
	for _, r := range []struct {
		name                  string
		refuse, warn, caution float64
		unit                  string
	}{
		{"island_area", float64(l.IslandArea.Refuse), float64(l.IslandArea.Warn), float64(l.IslandArea.Caution), "mm2"},
		{"island_width", float64(l.IslandWidth.Refuse), float64(l.IslandWidth.Warn), float64(l.IslandWidth.Caution), "mm"},
		{"counter_width", float64(l.CounterWidth.Refuse), float64(l.CounterWidth.Warn), float64(l.CounterWidth.Caution), "mm"},
		{"stroke", float64(l.Stroke.Refuse), float64(l.Stroke.Warn), float64(l.Stroke.Caution), "mm"},
		{"gap", float64(l.Gap.Refuse), float64(l.Gap.Warn), float64(l.Gap.Caution), "mm"},
		{"tip", float64(l.Tip.Refuse), float64(l.Tip.Warn), float64(l.Tip.Caution), "mm"},
		{"waste_neck", float64(l.WasteNeck.Refuse), float64(l.WasteNeck.Warn), float64(l.WasteNeck.Caution), "mm"},
		{"tip.behind", float64(l.Tip.Behind), float64(l.Tip.Behind), float64(l.Tip.Behind), "mm"},
	} {
		for _, t := range []struct {
			name  string
			value float64
		}{{"refuse", r.refuse}, {"warn", r.warn}, {"caution", r.caution}} {
			if !(t.value > 0) || math.IsInf(t.value, 0) {
				field := r.name
				if field != "tip.behind" {
					field += "." + t.name
				}
				return &LimitsError{Field: field, Value: fmt.Sprintf("%v %s", t.value, r.unit), Cause: ErrLimit,
					Fix: "give every limit a value above zero; start from the defaults of the film's class"}
			}
		}
		if r.refuse > r.warn || r.warn > r.caution {
			return &LimitsError{Field: r.name, Value: fmt.Sprintf("%v, %v, %v %s", r.refuse, r.warn, r.caution, r.unit), Cause: ErrLimit,
				Fix: "let refuse be at most warn, and warn at most caution"}
		}
	}
	return nil
}

// maxLimitsSize bounds a file of limits in bytes; a real one has about 1500.
const maxLimitsSize = 1 << 20

// ReadLimits reads the limits of one film from JSON. What the file leaves out has
// the default of its class (calendered where it names none); lengths are text
// with a unit. An unknown field is an error that names it.
//
//	{"name": "matt black", "class": "cast", "stroke": {"refuse": "0.4 mm", "warn": "1 mm", "caution": "1/16 in", "source": "our own cuts, 2026"}}
//
// A rule that is given without a source gets "shop's own". Errors are a
// [*LimitsError].
func ReadLimits(r io.Reader) (Limits, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxLimitsSize+1))
	if err != nil {
		return Limits{}, &LimitsError{Cause: fmt.Errorf("%w: %w", ErrFormat, err), Fix: "check that the file can be read"}
	}
	if len(data) > maxLimitsSize {
		return Limits{}, &LimitsError{Cause: ErrFormat, Fix: "a file of limits has less than 1 MB"}
	}
	var head struct {
		Class FilmClass `json:"class"`
	}
	if err := json.Unmarshal(data, &head); err != nil {
		return Limits{}, formatError(err)
	}
	l := LimitsFor(head.Class)
	sources := []*string{&l.IslandArea.Source, &l.IslandWidth.Source, &l.CounterWidth.Source, &l.Stroke.Source, &l.Gap.Source, &l.Tip.Source, &l.WasteNeck.Source}
	defaults := l
	decoder := json.NewDecoder(bytes.NewReader(data))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&l); err != nil {
		return Limits{}, formatError(err)
	}
	if _, err := decoder.Token(); err != io.EOF {
		return Limits{}, &LimitsError{Cause: ErrFormat, Fix: "end the file after the closing brace"}
	}
	changed := []bool{l.IslandArea != defaults.IslandArea, l.IslandWidth != defaults.IslandWidth, l.CounterWidth != defaults.CounterWidth,
		l.Stroke != defaults.Stroke, l.Gap != defaults.Gap, l.Tip != defaults.Tip, l.WasteNeck != defaults.WasteNeck}
	before := []string{defaults.IslandArea.Source, defaults.IslandWidth.Source, defaults.CounterWidth.Source,
		defaults.Stroke.Source, defaults.Gap.Source, defaults.Tip.Source, defaults.WasteNeck.Source}
	for i, s := range sources {
		if changed[i] && (*s == before[i] || *s == "") {
			*s = "shop's own"
		}
	}
	if err := l.Check(); err != nil {
		return Limits{}, err
	}
	return l, nil
}

// formatError makes a JSON error typed, and keeps one that is already.
func formatError(err error) error {
	var l *LimitsError
	if errors.As(err, &l) {
		return err
	}
	var t *json.UnmarshalTypeError
	if errors.As(err, &t) {
		return &LimitsError{Field: t.Field, Value: t.Value, Cause: fmt.Errorf("%w: %w", ErrFormat, err), Fix: `write a length as text with a unit, such as "0.5 mm"`}
	}
	if field, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		return &LimitsError{Field: strings.Trim(field, `"`), Cause: fmt.Errorf("%w: unknown field", ErrFormat), Fix: "use only the fields of Limits"}
	}
	return &LimitsError{Cause: fmt.Errorf("%w: %w", ErrFormat, err), Fix: "give one JSON object, lengths as text with a unit"}
}

// tier returns the severest tier that value is below, and that tier's limit.
func tier(value, refuse, warn, caution float64) (s Severity, limit float64, broken bool) {
	switch {
	case value < refuse:
		return Refuse, refuse, true
	case value < warn:
		return Warn, warn, true
	case value < caution:
		return Caution, caution, true
	}
	return Caution, caution, false
}

func (l Limit) tier(value float64) (Severity, float64, bool) {
	return tier(value, float64(l.Refuse), float64(l.Warn), float64(l.Caution))
}

func (l AreaLimit) tier(value float64) (Severity, float64, bool) {
	return tier(value, float64(l.Refuse), float64(l.Warn), float64(l.Caution))
}

func (l TipLimit) tier(value float64) (Severity, float64, bool) {
	return tier(value, float64(l.Refuse), float64(l.Warn), float64(l.Caution))
}
