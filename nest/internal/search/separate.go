package search

// Weights of guided local search (Voudouris et al. 2010; constants of Gardeyn
// et al. 2025).
const (
	weightGrow  = 1.2
	weightSlope = 0.8
	weightDecay = 0.95
)

// improved: a loss below this share of the best counts as progress.
const improved = 0.98

// pass moves every colliding piece once, in random order.
func (l *lane) pass() {
	l.passes++
	l.order = l.order[:0]
	for i := range l.n {
		if l.colliding(i) {
			l.order = append(l.order, int32(i))
		}
	}
	for i := len(l.order) - 1; i > 0; i-- {
		j := l.intn(i + 1)
		l.order[i], l.order[j] = l.order[j], l.order[i]
	}
	for _, i := range l.order {
		if l.colliding(int(i)) {
			l.move(int(i))
		}
	}
}

// solved reports whether nothing overlaps. The running total carries rounding
// errors, so it is not asked.
func (l *lane) solved() bool {
	for _, e := range l.loss {
		if e > 0 {
			return false
		}
	}
	return true
}

// reweigh makes overlaps that stay more expensive and forgets the others.
func (l *lane) reweigh() {
	most := 0.0
	for _, e := range l.loss {
		most = max(most, e)
	}
	if most == 0 {
		return
	}
	for i := range l.n {
		for j := i + 1; j < l.m; j++ {
			at := i*l.m + j
			w := l.weight[at]
			if e := l.loss[at]; e > 0 {
				w *= weightGrow + weightSlope*e/most
			} else {
				w = max(1, w*weightDecay)
			}
			l.weight[at] = w
			if j < l.n {
				l.weight[j*l.m+i] = w
			}
		}
	}
}

// separate drives the overlap to zero at the present length. It gives up after
// strikes rounds that each end with noImprove passes without progress, or when
// stop says so, and leaves the layout of least loss.
func (l *lane) separate(noImprove, strikes int, stop func() bool) bool {
	l.refresh()
	best := l.layout.clone()
	bestLoss := l.total
	for s := 0; s < strikes; {
		start := bestLoss
		for n := 0; n < noImprove; {
			l.pass()
			if l.solved() {
				return true
			}
			if l.total < bestLoss {
				if l.total < improved*bestLoss {
					n = 0
				} else {
					n++
				}
				bestLoss = l.total
				best.copyFrom(l.layout)
			} else {
				n++
			}
			l.reweigh()
			if stop() {
				l.layout.copyFrom(best)
				l.refresh()
				return false
			}
		}
		if bestLoss < improved*start {
			s = 0
		} else {
			s++
		}
		l.layout.copyFrom(best)
		l.refresh()
	}
	return false
}
