package weedability

// Work is what weeding a design takes, as [Effort] counts it.
type Work struct {
	PerimeterMM  float64 `json:"perimeter_mm"`  // length of all cuts of the design
	Picks        int     `json:"picks"`         // counters, and pieces of waste that tear off
	SmallIslands int     `json:"small_islands"` // islands that may lift
	Necks        int     `json:"necks"`         // places where the waste may tear
}

// Effort is a linear model of the time that weeding takes. The defaults are
// common practice without a source: no study of weeding times is published.
// A shop fits it to its own timings with [FitEffort].
type Effort struct {
	BaseSeconds      float64 `json:"base_seconds"`       // to start, whatever the design
	SecondsPerMetre  float64 `json:"seconds_per_metre"`  // of cut, to peel along it
	SecondsPerPick   float64 `json:"seconds_per_pick"`   // counter or torn piece
	SecondsPerIsland float64 `json:"seconds_per_island"` // small island, to hold and check
	SecondsPerNeck   float64 `json:"seconds_per_neck"`   // place where the waste may tear, to go slow
}

// DefaultEffort returns starting values: picks of 2 to 5 s and island checks of 2 s
// are common practice without a source; the rest is set so that a small,
// detailed decal takes 3 to 4 min ("Manual Labour", 9gear.nl, 2015).
func DefaultEffort() Effort {
	return Effort{BaseSeconds: 15, SecondsPerMetre: 25, SecondsPerPick: 3.5, SecondsPerIsland: 2, SecondsPerNeck: 4}
}

// Minutes returns the estimate for the work, in minutes, and 0 where negative coefficients would
// make it less.
func (e Effort) Minutes(w Work) float64 {
	return max(0, e.BaseSeconds+e.SecondsPerMetre*w.PerimeterMM/1000+e.SecondsPerPick*float64(w.Picks)+
		e.SecondsPerIsland*float64(w.SmallIslands)+e.SecondsPerNeck*float64(w.Necks)) / 60
}

func (in *inspection) effort() Effort {
	if in.opt.Effort == (Effort{}) {
		return DefaultEffort()
	}
	return in.opt.Effort
}

func (in *inspection) work() Work {
	w := Work{Picks: len(in.out.Counters)}
	for i := range in.b.Rings {
		w.PerimeterMM += in.b.Rings[i].Length
	}
	for _, i := range in.out.Islands {
		if i.Lift > LiftUnlikely {
			w.SmallIslands++
		}
	}
	for _, f := range in.out.Findings {
		if f.Kind == WasteNeck {
			w.Necks++
			w.Picks++
		}
	}
	return w
}
