package order

import (
	"errors"
	"fmt"
	"time"

	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/units"
)

// Shop is what a shop knows of its own work: rates, times, people and tape.
// Absent times are common practice without a source; replace them by your own.
type Shop struct {
	Rates  production.Rates `json:"rates,omitzero"` // absent: the order is not priced
	Times  Times            `json:"times,omitzero"`
	People People           `json:"people,omitzero"`
	Tapes  []units.Length   `json:"tapes,omitempty"` // widths of application tape; absent: 6, 12, 18 and 24 in
	// TapeBorder is tape past the artwork on every side; absent: 1/2 in.
	TapeBorder units.Length `json:"tape_border,omitzero"`
	Packs      []int        `json:"packs,omitempty"` // sizes of packs to quote, such as 25, 100, 200
	// Deadline is when the order must be finished.
	Deadline time.Time `json:"deadline,omitzero"`
}

// Times are minutes of handling that do not follow from the geometry.
type Times struct {
	Load    float64 `json:"load_minutes,omitempty"`     // to load and align the film, a load; absent: 3
	Tape    float64 `json:"tape_minutes,omitempty"`     // to lay one strip of tape; absent: 0.75
	CutOut  float64 `json:"cut_out_minutes,omitempty"`  // to cut one decal out by hand, a decal; absent: 1
	TrimCut float64 `json:"trim_cut_minutes,omitempty"` // for one straight trim; absent: 0.25
	Pack    float64 `json:"pack_minutes,omitempty"`     // to check and pack, a decal; absent: 0.5
	// Lift is the time to lift the waste within a weed border; absent: 1, and
	// 0.25 where every decal has a border of its own.
	Lift float64 `json:"lift_weed_minutes,omitempty"`
}

// People is how many work side by side at each stage; absent: one.
type People struct {
	Cut  int `json:"cut,omitempty"`  // cutters that run side by side
	Weed int `json:"weed,omitempty"` // who lift waste and pick counters
	Tape int `json:"tape,omitempty"` // who lay application tape
	Pack int `json:"pack,omitempty"` // who trim or cut out, check and pack
}

// times returns the shop's times with the defaults in place.
func (o Order) times() Times {
	t := o.Shop.Times
	lift := 1.0
	if o.WeedBorder == borderDecal {
		lift = 0.25
	}
	for _, f := range []struct {
		v *float64
		d float64
	}{{&t.Load, 3}, {&t.Tape, 0.75}, {&t.CutOut, 1}, {&t.TrimCut, 0.25}, {&t.Pack, 0.5}, {&t.Lift, lift}} {
		if *f.v == 0 {
			*f.v = f.d
		}
	}
	return t
}

// tapes returns the rolls of tape on the shelf.
func (s Shop) tapes() []production.TapeRoll {
	widths := s.Tapes
	if len(widths) == 0 {
		widths = []units.Length{6 * units.Inch, 12 * units.Inch, 18 * units.Inch, 24 * units.Inch}
	}
	rolls := make([]production.TapeRoll, len(widths))
	for i, w := range widths {
		rolls[i] = production.TapeRoll{Width: w}
	}
	return rolls
}

func (s Shop) tapeBorder() units.Length {
	if s.TapeBorder == 0 {
		return units.Inch / 2
	}
	return s.TapeBorder
}

// priced reports whether the shop has rates.
func (s Shop) priced() bool {
	r := s.Rates
	return !r.FilmPerMetre.IsZero() || !r.TapePerMetre.IsZero() || !r.PerHour.IsZero() || !r.SetUp.IsZero()
}

func (c *fieldCheck) shop(s Shop) {
	for _, f := range []struct {
		where string
		v     float64
	}{
		{"load_minutes", s.Times.Load}, {"tape_minutes", s.Times.Tape}, {"cut_out_minutes", s.Times.CutOut},
		{"trim_cut_minutes", s.Times.TrimCut}, {"pack_minutes", s.Times.Pack}, {"lift_weed_minutes", s.Times.Lift},
	} {
		if !(f.v >= 0 && f.v <= 1e6) {
			c.add("shop.times."+f.where, fmt.Sprintf("it is %v", f.v), "give minutes of zero (the default) or more")
		}
	}
	for i, w := range s.Tapes {
		c.length(fmt.Sprintf("shop.tapes[%d]", i), w, true)
	}
	c.length("shop.tape_border", s.TapeBorder, false)
	if s.widestStrip() <= tapeOverlap {
		c.add("shop.tapes", fmt.Sprintf("no tape is wider than two borders of %s and %s", s.tapeBorder(), tapeOverlap), "give wider tape or a smaller tape_border")
	}
	for _, f := range []struct {
		where string
		n     int
	}{{"cut", s.People.Cut}, {"weed", s.People.Weed}, {"tape", s.People.Tape}, {"pack", s.People.Pack}} {
		if f.n < 0 || f.n > 1000 {
			c.add("shop.people."+f.where, fmt.Sprintf("it is %d", f.n), "give the number of people, 1 or more")
		}
	}
	if several, ok := s.Rates.Check().(interface{ Unwrap() []error }); ok {
		for _, err := range several.Unwrap() {
			var e *production.Error
			if errors.As(err, &e) {
				c.add("shop."+e.Where, e.Detail, e.Fix)
			}
		}
	}
	for i, p := range s.Packs {
		if p < 1 || p > MaxCopies {
			c.add(fmt.Sprintf("shop.packs[%d]", i), fmt.Sprintf("it is %d", p), "give pack sizes of 1 or more")
		}
	}
}
