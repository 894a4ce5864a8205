package production

import (
	"errors"
	"fmt"

	"github.com/shopspring/decimal"
	"github.com/vinylgeom/vinyl/units"
)

// Money is an exact decimal amount. In JSON it is text, such as "12.50"; a
// float never holds it.
type Money = decimal.Decimal

// Rates are what a shop charges and pays. A zero rate charges nothing for that
// part; at least one must be above zero.
type Rates struct {
	Currency string `json:"currency,omitempty"` // a symbol printed before amounts, such as "$"; no exchange is meant

	FilmPerMetre Money `json:"film_per_metre"`
	TapePerMetre Money `json:"tape_per_metre"`
	PerHour      Money `json:"per_hour"` // labour
	SetUp        Money `json:"set_up"`   // once an order

	// Spoilage is the share of film, tape and labour lost, such as "0.05".
	Spoilage Money `json:"spoilage"`
	// MarkUp is added to the cost, as a share of it, such as "0.40". (A margin
	// would be a share of the price: 0.40 on the cost is 0.29 of it.)
	MarkUp Money `json:"mark_up"`
	// ClubShare is the share of what a buyer pays that the club keeps, such as
	// "0.40"; the rest is the shop's price.
	ClubShare Money `json:"club_share"`

	// Step is what prices are rounded up to, such as "0.05"; zero is a
	// hundredth.
	Step Money `json:"step"`
}

// Work is what an order takes, from its geometry. Lengths and minutes are
// bounded by [MaxAmount], in metres and minutes.
type Work struct {
	Decals  int          `json:"decals"`
	Film    units.Length `json:"film"`     // of all loads
	RollEnd units.Length `json:"roll_end"` // film of rolls too short to use, charged with it
	Tape    units.Length `json:"tape"`
	Minutes float64      `json:"minutes"` // labour: weeding, taping, trimming, packing, tending the cutter
	Packs   []int        `json:"packs"`   // pack sizes to quote, such as 25, 100, 200
}

// Line is one part of a quote.
type Line struct {
	What   string `json:"what"`
	Amount Money  `json:"amount"`
}

// PackPrice is what a pack costs.
type PackPrice struct {
	Size      int   `json:"size"`       // decals in a pack
	PerDecal  Money `json:"per_decal"`  // the shop's price
	Pack      Money `json:"pack"`       // PerDecal times Size
	Buyer     Money `json:"buyer"`      // what one buyer pays a decal so that the club keeps its share
	ClubKeeps Money `json:"club_keeps"` // of a pack
}

// Quote is the price of an order.
type Quote struct {
	Currency string      `json:"currency,omitempty"`
	Lines    []Line      `json:"lines"`
	Cost     Money       `json:"cost"` // the lines' sum
	Price    Money       `json:"price"`
	PerDecal Money       `json:"per_decal"`
	Packs    []PackPrice `json:"packs,omitempty"`
	// Rounding says how amounts were rounded.
	Rounding string `json:"rounding"`
}

var (
	one       = decimal.NewFromInt(1)
	hundredth = decimal.New(1, -2)
	sixty     = decimal.NewFromInt(60)
)

// Price prices the work. Every line is rounded half up to a hundredth, prices
// are rounded up to Rates.Step; sums are of rounded lines, so that a reader
// who adds them up finds the same. Errors join [*Error] values.
//
// A pack's price per decal spreads the set-up over the pack: small packs cost
// more a decal.
func (r Rates) Price(w Work) (Quote, error) {
	if err := r.Check(); err != nil {
		return Quote{}, errors.Join(err, w.check())
	}
	if err := errors.Join(r.given(), w.check()); err != nil {
		return Quote{}, err
	}
	q := Quote{Currency: r.Currency, Rounding: fmt.Sprintf("lines half up to 0.01, prices up to %s", r.step())}
	metres := func(l units.Length) Money { return decimal.NewFromFloat(l.Metres()) }
	add := func(what string, amount Money) {
		amount = amount.Round(2)
		if !amount.IsZero() {
			q.Lines = append(q.Lines, Line{what, amount})
			q.Cost = q.Cost.Add(amount)
		}
	}
	film := r.FilmPerMetre.Mul(metres(w.Film))
	ends := r.FilmPerMetre.Mul(metres(w.RollEnd))
	tape := r.TapePerMetre.Mul(metres(w.Tape))
	labour := r.PerHour.Mul(decimal.NewFromFloat(w.Minutes)).Div(sixty)
	add("film", film)
	add("roll ends", ends)
	add("application tape", tape)
	add("labour", labour)
	add("spoilage", film.Add(tape).Add(labour).Mul(r.Spoilage))
	running := q.Cost
	add("set-up", r.SetUp)
	if q.Lines == nil {
		q.Lines = []Line{}
	}
	decals := decimal.NewFromInt(int64(w.Decals))
	markUp := one.Add(r.MarkUp)
	q.Price = r.up(q.Cost.Mul(markUp))
	q.PerDecal = r.up(q.Price.Div(decals))
	for _, size := range w.Packs {
		n := decimal.NewFromInt(int64(size))
		p := PackPrice{Size: size}
		p.PerDecal = r.up(running.Div(decals).Add(r.SetUp.Div(n)).Mul(markUp))
		p.Pack = p.PerDecal.Mul(n)
		p.Buyer = r.up(p.PerDecal.Div(one.Sub(r.ClubShare)))
		p.ClubKeeps = p.Buyer.Sub(p.PerDecal).Mul(n)
		q.Packs = append(q.Packs, p)
	}
	return q, nil
}

func (r Rates) step() Money {
	if r.Step.IsZero() {
		return hundredth
	}
	return r.Step
}

// up rounds up to a whole number of steps.
func (r Rates) up(m Money) Money { return m.DivRound(r.step(), 12).Ceil().Mul(r.step()) }

// given reports that there is no rate to price by.
func (r Rates) given() error {
	if !r.FilmPerMetre.IsZero() || !r.TapePerMetre.IsZero() || !r.PerHour.IsZero() || !r.SetUp.IsZero() {
		return nil
	}
	return &Error{Where: "rates", Cause: ErrInvalid, Detail: "every rate is zero", Fix: "give at least one rate, or the quote is nothing"}
}

// MaxAmount bounds amounts and shares, and MaxDecimals what stands after their
// point: "1e300000000" would be a number of as many digits.
const (
	MaxAmount   = 1_000_000_000
	MaxDecimals = 12
)

// Check reports every rate that is no sensible value: below zero, beyond
// [MaxAmount] or [MaxDecimals], or a club's share that leaves the shop nothing.
// The errors are joined [*Error] values.
func (r Rates) Check() error {
	var problems []error
	bad := func(field, detail, fix string) {
		problems = append(problems, &Error{Where: "rates." + field, Cause: ErrInvalid, Detail: detail, Fix: fix})
	}
	for _, f := range []struct {
		name  string
		value Money
	}{
		{"film_per_metre", r.FilmPerMetre}, {"tape_per_metre", r.TapePerMetre}, {"per_hour", r.PerHour},
		{"set_up", r.SetUp}, {"spoilage", r.Spoilage}, {"mark_up", r.MarkUp}, {"club_share", r.ClubShare}, {"step", r.Step},
	} {
		switch digits := f.value.NumDigits() + int(f.value.Exponent()); {
		case f.value.Exponent() < -MaxDecimals || digits > len("1000000000") || digits == len("1000000000") && f.value.GreaterThan(decimal.NewFromInt(MaxAmount)):
			// Its text could be too long to print.
			bad(f.name, fmt.Sprintf("it has %d digits before its point and %d after it", max(digits, 0), max(-int(f.value.Exponent()), 0)),
				fmt.Sprintf("give at most %d with %d decimals", MaxAmount, MaxDecimals))
		case f.value.IsNegative():
			bad(f.name, "it is "+f.value.String(), "give zero or more")
		}
	}
	if problems != nil {
		return errors.Join(problems...)
	}
	if r.ClubShare.GreaterThanOrEqual(one) {
		bad("club_share", "it is "+r.ClubShare.String(), "give a share below 1")
	}
	return errors.Join(problems...)
}

func (w Work) check() error {
	var problems []error
	bad := func(field, detail, fix string) {
		problems = append(problems, &Error{Where: "work." + field, Cause: ErrInvalid, Detail: detail, Fix: fix})
	}
	if w.Decals < 1 {
		bad("decals", fmt.Sprint(w.Decals), "give one or more")
	}
	for _, f := range []struct {
		name  string
		value float64
	}{{"film", w.Film.Metres()}, {"roll_end", w.RollEnd.Metres()}, {"tape", w.Tape.Metres()}, {"minutes", w.Minutes}} {
		if !(f.value >= 0 && f.value <= MaxAmount) {
			bad(f.name, fmt.Sprint(f.value), fmt.Sprintf("give zero to %d", MaxAmount))
		}
	}
	for _, p := range w.Packs {
		if p < 1 {
			bad("packs", fmt.Sprint(p), "give pack sizes of one or more")
		}
	}
	return errors.Join(problems...)
}
