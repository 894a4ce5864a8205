package order

import (
	"fmt"
	"math"
	"strings"

	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// refusal is what forbids to cut a design as it is.
type refusal struct {
	places int // below the least that the film allows
	// width and height are the size from which on none is, zero where no size
	// helps.
	width, height units.Length
}

// refusal returns what forbids to cut the design; no places: nothing.
func (d Design) refusal() refusal {
	n, scale, curable := 0, 1.0, true
	for _, f := range d.Report.Findings {
		if f.Severity == weedability.Refuse {
			n++
			curable = curable && f.SafeScale > 0
			scale = math.Max(scale, f.Limit/f.Value)
		}
	}
	if n == 0 || !curable || math.IsInf(scale, 0) {
		return refusal{places: n}
	}
	// Up to the next hundredth of an inch, so that the printed size passes.
	const step = units.Inch / 100
	up := func(mm float64) units.Length { return units.Length(math.Ceil(mm*scale/float64(step))) * step }
	b := d.Path.Bounds()
	return refusal{n, up(b.Width()), up(b.Height())}
}

// refused tells how many places of the design should not be cut as they are,
// and from what size on they could be; empty where there is none.
func (d Design) refused() string {
	r := d.refusal()
	switch r.places {
	case 0:
		return ""
	case 1:
		return "DO NOT CUT as it is: a place is below the least the film allows" + r.remedy("it", "it")
	}
	return fmt.Sprintf("DO NOT CUT as it is: %d places are below the least the film allows", r.places) + r.remedy("it", "it")
}

// remedy says what helps: they and them are how the designs are spoken of.
func (r refusal) remedy(they, them string) string {
	if r.width == 0 {
		return fmt.Sprintf(`; let the order "mend" %s`, them)
	}
	return fmt.Sprintf(`; from %s × %s on %s could be cut, or let the order "mend" %s`, r.width.InchString(), r.height.InchString(), they, them)
}

// fewWordings is up to how many wordings of an item are spoken of one by one.
const fewWordings = 3

// notes says what somebody should look at in designs, item by item: what is
// true of many of an item's wordings is said once.
func notes(designs []Design) []string {
	var out []string
	for i := 0; i < len(designs); {
		e := i + 1
		for e < len(designs) && designs[e].item == designs[i].item {
			e++
		}
		out = append(out, itemNotes(designs[i:e])...)
		i = e
	}
	return out
}

// itemNotes are the notes of one item's wordings.
func itemNotes(wordings []Design) []string {
	name := wordings[0].Letter + " " + wordings[0].Name
	own := func(d Design) string {
		if len(wordings) == 1 {
			return name + ": "
		}
		return fmt.Sprintf("%s, %q: ", name, strings.Join(d.Words(), " "))
	}
	many := func(n int) string {
		if n == len(wordings) {
			return fmt.Sprintf("all %d wordings", n)
		}
		return fmt.Sprintf("%d of %d wordings", n, len(wordings))
	}
	var out []string
	var refused []Design
	var worst refusal
	curable := true
	texts := map[string]int{}
	for _, d := range wordings {
		if r := d.refusal(); r.places > 0 {
			refused = append(refused, d)
			curable = curable && r.width > 0
			worst.places = max(worst.places, r.places)
			worst.width, worst.height = max(worst.width, r.width), max(worst.height, r.height)
		}
		for _, n := range d.Notes {
			texts[n]++
		}
	}
	if len(refused) <= fewWordings {
		for _, d := range refused {
			out = append(out, own(d)+d.refused())
		}
	} else {
		if !curable {
			worst.width, worst.height = 0, 0
		}
		out = append(out, fmt.Sprintf("%s: DO NOT CUT %s as they are: up to %d places of one are below the least the film allows%s", name, many(len(refused)), worst.places, worst.remedy("they", "them")))
	}
	for _, d := range wordings {
		for _, n := range d.Notes {
			switch {
			case texts[n] > fewWordings:
				out = append(out, fmt.Sprintf("%s, %s: %s", name, many(texts[n]), n))
				texts[n] = -1
			case texts[n] >= 0:
				out = append(out, own(d)+n)
			}
		}
	}
	return out
}
