package search

const (
	// stallEpochs without gain send one lane to begin anew.
	stallEpochs = 8
	// firstStint is for how many exchanges it is then left alone; every further
	// stint is twice as long.
	firstStint = 10
	// exchangeGain is the least share by which a layout must be shorter to count
	// as a gain.
	exchangeGain = 1e-4
)

// exchange is what happens when the lanes meet: they take over the shortest
// layout of all, and when nothing has been gained for some time the last one
// begins anew and is left alone for a while.
type exchange struct {
	lanes   []*explorer
	bestL   float64
	stalled int
	stint   int
}

func (x *exchange) run() {
	best := -1
	alone := false
	for i, e := range x.lanes {
		if e.have && (best < 0 || e.bestL < x.lanes[best].bestL) {
			best = i
		}
		if e.alone > 0 {
			e.alone--
		}
		alone = alone || e.alone > 0
	}
	if best < 0 {
		return
	}
	from := x.lanes[best]
	for i, e := range x.lanes {
		if i == best || e.alone > 0 || (e.have && e.bestL <= from.bestL) {
			continue
		}
		if e.best.x == nil {
			e.best = newLayout(e.m)
		}
		e.have = true
		e.best.copyFrom(from.best)
		e.bestL = from.bestL
		e.adopted = true
	}
	if from.bestL < x.bestL*(1-exchangeGain) {
		x.bestL, x.stalled = from.bestL, 0
		return
	}
	if x.stalled++; x.stalled >= stallEpochs && !alone && len(x.lanes) > 1 {
		last := x.lanes[len(x.lanes)-1]
		last.renew, last.adopted, last.alone = true, false, x.stint
		x.stalled, x.stint = 0, 2*x.stint
	}
}
