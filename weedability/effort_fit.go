package weedability

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Timing is a line of a shop's log: what was weeded and how long it took.
type Timing struct {
	Work    Work    `json:"work"`    // of one decal, as in its Report
	Minutes float64 `json:"minutes"` // above zero
}

// effortTerms is the number of coefficients of an Effort.
const effortTerms = 5

// maxCondition bounds the condition number up to which timings are taken to
// tell the coefficients apart.
const maxCondition = 1e8

// FitEffort returns the coefficients that give a shop's own timings best in
// least squares, and the root mean square of what is left, in minutes. It
// takes at least five timings of designs that differ in every respect; the error is a
// [*LimitsError] that wraps [ErrTimings] where they do not determine every coefficient.
// A coefficient can come out negative where a log is short: take more timings then.
func FitEffort(log []Timing) (e Effort, rest float64, err error) {
	if len(log) < effortTerms {
		return Effort{}, 0, &LimitsError{Field: "timings", Value: fmt.Sprint(len(log)), Cause: ErrTimings, Fix: fmt.Sprintf("log at least %d designs", effortTerms)}
	}
	a, b := mat.NewDense(len(log), effortTerms, nil), mat.NewVecDense(len(log), nil)
	for i, t := range log {
		row := [effortTerms]float64{1, t.Work.PerimeterMM / 1000, float64(t.Work.Picks), float64(t.Work.SmallIslands), float64(t.Work.Necks)}
		for k, v := range row {
			if math.IsNaN(v) || v < 0 || math.IsInf(v, 0) || !(t.Minutes > 0) || math.IsInf(t.Minutes, 0) {
				return Effort{}, 0, &LimitsError{Field: fmt.Sprintf("timings[%d]", i), Cause: ErrTimings, Fix: "give counts and lengths of zero or more and minutes above zero"}
			}
			a.Set(i, k, v)
		}
		b.SetVec(i, 60*t.Minutes)
	}
	var qr mat.QR
	qr.Factorize(a)
	if c := qr.Cond(); !(c < maxCondition) {
		return Effort{}, 0, &LimitsError{Field: "timings", Cause: ErrTimings, Fix: "log designs that differ in length of cut, counters, small islands and necks independently"}
	}
	var x mat.VecDense
	if err := qr.SolveVecTo(&x, false, b); err != nil {
		return Effort{}, 0, &LimitsError{Field: "timings", Cause: fmt.Errorf("%w: %w", ErrTimings, err), Fix: "log more designs"}
	}
	e = Effort{x.AtVec(0), x.AtVec(1), x.AtVec(2), x.AtVec(3), x.AtVec(4)}
	for _, t := range log {
		d := e.Minutes(t.Work) - t.Minutes
		rest += d * d
	}
	return e, math.Sqrt(rest / float64(len(log))), nil
}
