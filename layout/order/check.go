package order

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/vinylgeom/vinyl/units"
)

// Check reports every problem of the order's fields that can be seen without
// its designs and files, joined.
func (o Order) Check() error {
	c := &fieldCheck{}
	c.film("film", o.Film, o.EdgeMargin)
	names := map[string]bool{o.Film.Name: true}
	for i, f := range o.Films {
		where := fmt.Sprintf("films[%d]", i)
		c.film(where, f, o.EdgeMargin)
		if names[f.Name] {
			c.add(where+".name", fmt.Sprintf("%q stands twice", f.Name), "give every film a name of its own")
		}
		names[f.Name] = true
	}
	for i, l := range o.Leftovers {
		c.leftover(fmt.Sprintf("leftovers[%d]", i), l, names)
	}
	c.length("gap", o.Gap, false)
	c.length("edge_margin", o.EdgeMargin, false)
	c.length("lead", o.Lead, false)
	c.length("tail", o.Tail, false)
	c.length("max_load", o.MaxLoad, false)
	c.length("border_clearance", o.BorderClearance, false)
	c.length("least_leftover", o.LeastLeftover, false)
	c.length("lettering.least_height", o.Lettering.LeastHeight, false)
	if !slices.Contains([]string{"", Irregular, Straight, Cheaper}, o.Gang) {
		c.add("gang", fmt.Sprintf("it is %q", o.Gang), `use "irregular", "straight" or "cheaper"`)
	}
	if !slices.Contains([]string{"", borderLoad, borderDecal, borderNone}, o.WeedBorder) {
		c.add("weed_border", fmt.Sprintf("it is %q", o.WeedBorder), `use "load", "decal" or "none"`)
	}
	if o.WeedBorder == borderNone && o.WeedLines {
		c.add("weed_lines", "they run from border to border, but weed_border is \"none\"", `use a border round the "load" or each "decal", or leave weed_lines out`)
	}
	if _, ok := mendTiers[o.Mend]; !ok && o.Mend != "" {
		c.add("mend", fmt.Sprintf("it is %q", o.Mend), `use "caution", "warn" or "refuse", or leave it out`)
	}
	if n := o.Alike.sizes(); n > 1 {
		c.add("alike", fmt.Sprintf("it has %d sizes", n), `give one of "height", "width", "area" and "cap_height"`)
	}
	c.shop(o.Shop)
	c.length("machine.knife_offset", o.Machine.KnifeOffset, false)
	c.length("machine.overcut", o.Machine.Overcut, false)
	c.length("machine.test_piece", o.Machine.TestPiece, false)
	c.length("machine.cut_speed", units.Length(o.Machine.CutSpeed), false)
	c.length("machine.travel_speed", units.Length(o.Machine.TravelSpeed), false)
	if s := o.Machine.LiftSeconds; !(s >= 0 && s < 60) {
		c.add("machine.lift_seconds", fmt.Sprintf("it is %v", s), "give seconds of zero (the default) or more")
	}
	if m := o.MaxLoadMinutes; !(m >= 0) || math.IsInf(m, 0) {
		c.add("max_load_minutes", fmt.Sprintf("it is %v", m), "give minutes of zero (no limit) or more")
	}
	if o.Lettering.Rule != "" && o.Lettering.Rule != "fill" && o.Lettering.Rule != "same" {
		c.add("lettering.rule", fmt.Sprintf("it is %q", o.Lettering.Rule), `use "fill" or "same"`)
	}
	if v := o.Lettering.CondenseTo; v != 0 && !(v > 0 && v <= 1) {
		c.add("lettering.condense_to", fmt.Sprintf("it is %v", v), "give a share above 0 and up to 1")
	}
	c.weedLines(o)
	if len(o.Items) == 0 {
		c.add("items", "there are none", "list at least one design")
	}
	if len(o.Items) > MaxItems {
		c.tooLarge("items", fmt.Sprintf("there are %d", len(o.Items)), fmt.Sprintf("split the order at %d", MaxItems))
		return errors.Join(c.problems...)
	}
	total := 0
	for i, it := range o.Items {
		c.item(fmt.Sprintf("items[%d]", i), it, o)
		total = min(total+max(it.copies(), 0), MaxCopies+1)
	}
	if total > MaxCopies {
		c.tooLarge("items", fmt.Sprintf("more than %d decals in all", MaxCopies), "split the order")
	}
	return errors.Join(c.problems...)
}

// fieldCheck gathers problems.
type fieldCheck struct{ problems []error }

func (c *fieldCheck) add(where, detail, fix string) {
	c.problems = append(c.problems, &Error{Where: where, Cause: ErrInvalid, Detail: detail, Fix: fix})
}

func (c *fieldCheck) tooLarge(where, detail, fix string) {
	c.problems = append(c.problems, &Error{Where: where, Cause: ErrTooLarge, Detail: detail, Fix: fix})
}

func (c *fieldCheck) length(where string, l units.Length, positive bool) {
	switch {
	case !l.IsFinite() || l < 0:
		c.add(where, "it is "+l.String(), "give a length of zero or more")
	case l > MaxLength:
		c.tooLarge(where, "it is "+l.String(), fmt.Sprintf("give at most %g m", MaxLength.Metres()))
	case positive && l == 0:
		c.add(where, "it is missing or zero", "give a length above zero")
	}
}

func (c *fieldCheck) film(where string, f Film, margin units.Length) {
	c.length(where+".width", f.Width, true)
	if f.Width > 0 && f.Width <= 2*margin {
		c.add(where+".width", fmt.Sprintf("%s of film is narrower than its two margins of %s", f.Width.InchString(), margin.InchString()), "use a wider film or a smaller edge_margin")
	}
	if _, ok := filmClasses[f.Class]; !ok {
		c.add(where+".class", fmt.Sprintf("it is %q", f.Class), "use cast, calendered, reflective or heat-transfer")
	}
	if !isHexColour(f.Colour) {
		c.add(where+".colour", fmt.Sprintf("it is %q", f.Colour), `write it as "#rrggbb"`)
	}
	for i, r := range f.Rolls {
		c.length(fmt.Sprintf("%s.rolls[%d]", where, i), r, true)
	}
}

// weedLines sees that the waste between decals and weed border is wide enough to
// be peeled in parts, before the order is laid out.
func (c *fieldCheck) weedLines(o Order) {
	if !o.WeedLines || o.WeedBorder == borderNone {
		return
	}
	for _, it := range o.Items {
		names := slices.Sorted(maps.Values(it.Colours))
		if len(names) == 0 {
			names = []string{it.Film}
		}
		for _, name := range names {
			f, ok := o.film(Item{Film: name})
			if !ok {
				continue // said elsewhere, as is an unknown class
			}
			if least := limits(f).WasteNeck.Caution; o.clearance() < least {
				c.add("border_clearance", fmt.Sprintf("weed lines in waste %s wide on film %s", o.clearance(), f.Name),
					fmt.Sprintf("give %s or more, as wide as waste has to be to peel, or leave weed_lines out", least))
				return
			}
		}
	}
}

func isHexColour(s string) bool {
	return s == "" || len(s) == 7 && s[0] == '#' && strings.Trim(s[1:], "0123456789abcdefABCDEF") == ""
}

func (c *fieldCheck) leftover(where string, l Leftover, films map[string]bool) {
	if l.Film != "" && !films[l.Film] {
		c.add(where+".film", fmt.Sprintf("%q is none of the order's films", l.Film), "name one of them")
	}
	if l.Path == "" {
		c.length(where+".length", l.Length, true)
		c.length(where+".width", l.Width, true)
	} else if l.Length != 0 || l.Width != 0 {
		c.add(where, "it has both a path and a size", "give either path_mm or length and width")
	}
}

func (c *fieldCheck) item(where string, it Item, o Order) {
	if (it.Design == "") == (it.File == "") {
		c.add(where, "it names no design, or both a design and a file", `give either "design" or "file"`)
	}
	if _, ok := o.film(it); !ok {
		c.add(where+".film", fmt.Sprintf("%q is none of the order's films", it.Film), "name one of them")
	}
	it = o.sized(it)
	if sizes := (Alike{it.Height, it.Width, it.Area, it.CapHeight}).sizes(); sizes != 1 {
		c.add(where, fmt.Sprintf("it has %d sizes", sizes), `give one of "height", "width", "area" and "cap_height", or one for all in "alike"`)
	}
	c.length(where+".height", it.Height, false)
	c.length(where+".width", it.Width, false)
	c.length(where+".cap_height", it.CapHeight, false)
	if a := float64(it.Area); !(a >= 0) || math.IsInf(a, 0) {
		c.add(where+".area", "it is "+it.Area.String(), "give an area of zero or more")
	} else if it.Area > MaxLength.Times(MaxLength) {
		c.tooLarge(where+".area", "it is "+it.Area.String(), fmt.Sprintf("give at most the square of %g m", MaxLength.Metres()))
	}
	c.length(where+".border", it.Border, false)
	c.length(where+".trap", it.Trap, false)
	if it.Border > 0 && it.Area > 0 {
		c.add(where+".border", "a size by area with a border", "size by height or width")
	}
	given := 0
	for _, w := range []bool{len(it.Words) > 0, len(it.Wordings) > 0, it.Roster != ""} {
		if w {
			given++
		}
	}
	if given > 1 {
		c.add(where, "it has words in more than one place", `give one of "words", "wordings" and "roster"`)
	}
	if it.Packs != 0 || it.PackSize != 0 {
		if it.PackSize < 1 || it.Packs < 0 || it.Packs > 0 && it.Copies != 0 {
			c.add(where+".packs", fmt.Sprintf("%d packs of %d, copies %d", it.Packs, it.PackSize, it.Copies), `give "pack_size" with either "packs" or "copies", all 1 or more`)
		}
	}
	if it.Packs > MaxCopies || it.PackSize > MaxCopies || it.Copies > MaxCopies {
		c.tooLarge(where+".copies", "it is beyond all sense", fmt.Sprintf("an order has at most %d decals", MaxCopies))
		return
	}
	rowsCount := it.Roster != "" // whose rows may give their own copies
	for _, w := range it.Wordings {
		if w.Copies < 0 || w.Copies > MaxCopies {
			c.add(where+".wordings", fmt.Sprintf("copies is %d", w.Copies), "give 1 or more")
		}
		if w.Copies == 0 && it.copies() < 1 {
			c.add(where+".wordings", "a wording has no copies and the item neither", "give copies in one of them")
		}
	}
	if it.copies() < 0 || it.copies() == 0 && !rowsCount && len(it.Wordings) == 0 {
		c.add(where+".copies", fmt.Sprintf("it is %d", it.copies()), "give 1 or more")
	}
	if it.Spares < 0 || it.Spares > MaxCopies {
		c.add(where+".spares", fmt.Sprintf("it is %d", it.Spares), "give 0 or more")
	}
	if _, ok := turns[it.Turn]; !ok {
		c.add(where+".turn", fmt.Sprintf("it is %q", it.Turn), `use "none", "half", "quarter" or "any"`)
	}
}
