package search

import (
	"math"
	"slices"
)

// shake is a way to leave a layout that would not separate.
type shake int

const (
	shakeSwapLarge shake = iota // two large pieces that differ change places
	shakeSwapAlike              // two pieces of about the same size change places
	shakeScatter                // a few pieces go anywhere
	shakeHalfTurn               // a stretch of the strip is turned by half
	shakeExchange               // two neighbouring stretches change places
	shakeFresh                  // the shortest valid layout is cut anew
)

// drawShake draws a shake; large pieces decide most, so their swaps are tried
// most often.
func (e *explorer) drawShake() shake {
	switch at := e.intn(20); {
	case at < 9:
		return shakeSwapLarge
	case at < 12:
		return shakeSwapAlike
	case at < 14:
		return shakeScatter
	case at < 16:
		return shakeHalfTurn
	case at < 18:
		return shakeExchange
	default:
		return shakeFresh
	}
}

// disrupt shakes the layout.
func (e *explorer) disrupt(s shake) {
	if e.n < 2 {
		return
	}
	switch s {
	case shakeSwapLarge:
		e.swapLarge()
	case shakeSwapAlike:
		e.swapAlike()
	case shakeScatter:
		e.scatter()
	case shakeHalfTurn:
		e.halfTurn()
	case shakeExchange:
		e.exchangeStretches()
	}
	e.clampAll()
}

func (e *explorer) swapLarge() {
	i := e.large[e.intn(len(e.large))]
	j := -1
	for range 50 {
		c := e.large[e.intn(len(e.large))]
		if e.shapeOf[c] != e.shapeOf[i] {
			j = c
			break
		}
	}
	if j < 0 {
		for j = e.intn(e.n); j == i; j = e.intn(e.n) {
		}
	}
	e.swap(i, j)
}

// alikeArea is the greatest ratio of hull areas of pieces that swapAlike swaps.
const alikeArea = 1.5

func (e *explorer) swapAlike() {
	hull := func(i int) float64 { return e.shapes[e.shapeOf[i]].hullArea }
	for range 50 {
		i, j := e.intn(e.n), e.intn(e.n)
		a, b := hull(i), hull(j)
		if e.shapeOf[i] != e.shapeOf[j] && a <= alikeArea*b && b <= alikeArea*a {
			e.swap(i, j)
			return
		}
	}
	e.swapLarge()
}

// scattered is the most pieces that scatter moves.
const scattered = 3

func (e *explorer) scatter() {
	for range 1 + e.intn(scattered) {
		i := e.intn(e.n)
		x0, x1, y0, y1 := e.bounds(e.k[i])
		e.x[i], e.y[i] = x0+e.float()*(x1-x0), y0+e.float()*(y1-y0)
	}
}

// middle of a piece's box.
func (e *explorer) middle(i int) (x, y float64) {
	b := e.kinds[e.k[i]].box
	return e.x[i] + (b.MinX+b.MaxX)/2, e.y[i] + (b.MinY+b.MaxY)/2
}

func (e *explorer) setMiddle(i int, x, y float64) {
	b := e.kinds[e.k[i]].box
	e.x[i], e.y[i] = x-(b.MinX+b.MaxX)/2, y-(b.MinY+b.MaxY)/2
}

// halfTurn turns the pieces whose middles lie in a stretch about the stretch's
// middle; pieces that may not be turned by half only move.
func (e *explorer) halfTurn() {
	from, to := e.stretch()
	for i := range e.n {
		x, y := e.middle(i)
		if x < from || x > to {
			continue
		}
		e.k[i] = e.opposite(i)
		e.setMiddle(i, from+to-x, e.width-y)
	}
}

// opposite is the kind of a piece turned by half, or as it is.
func (e *explorer) opposite(i int) int32 {
	want := e.kinds[e.k[i]].angle + math.Pi
	for _, k := range e.allowed[i] {
		if math.Abs(math.Remainder(e.kinds[k].angle-want, 2*math.Pi)) < 1e-6 {
			return k
		}
	}
	return e.k[i]
}

// stretch is a random interval of the strip, a quarter to three quarters long.
func (e *explorer) stretch() (from, to float64) {
	l := e.length * (0.25 + 0.5*e.float())
	from = e.float() * (e.length - l)
	return from, from + l
}

func (e *explorer) exchangeStretches() {
	from, to := e.stretch()
	cut := from + (to-from)*(0.25+0.5*e.float())
	for i := range e.n {
		x, y := e.middle(i)
		switch {
		case x >= from && x < cut:
			e.setMiddle(i, x+to-cut, y)
		case x >= cut && x <= to:
			e.setMiddle(i, x-(cut-from), y)
		}
	}
}

// swap exchanges the middles of two pieces.
func (e *explorer) swap(i, j int) {
	xi, yi := e.middle(i)
	xj, yj := e.middle(j)
	e.setMiddle(i, xj, yj)
	e.setMiddle(j, xi, yi)
}

// mostAttempts bounds the pool: a long search that stands still would fill the
// memory. At 3000 pieces this is 60 MB a lane.
const mostAttempts = 1000

// file adds the present layout to the pool of unsolved ones, by loss. The worst
// one leaves a full pool.
func (e *explorer) file() {
	at := len(e.pool)
	for at > 0 && e.pool[at-1].loss > e.total {
		at--
	}
	if at == mostAttempts {
		return
	}
	var kept layout
	if len(e.pool) == mostAttempts {
		kept = e.pool[mostAttempts-1].layout
		e.pool = e.pool[:mostAttempts-1]
		kept.copyFrom(e.layout)
	} else {
		kept = e.layout.clone()
	}
	e.pool = slices.Insert(e.pool, at, attempt{kept, e.total})
}

// pick goes back to one of the unsolved layouts, mostly one of little loss.
func (e *explorer) pick() {
	at := int(min(math.Abs(e.normal()*poolSpread), 0.999) * float64(len(e.pool)))
	e.layout.copyFrom(e.pool[at].layout)
}

// poolSpread is the standard deviation of the place picked, as a share of the
// pool.
const poolSpread = 0.25

// normal is a standard normal number (Box and Muller).
func (e *explorer) normal() float64 {
	return math.Sqrt(-2*math.Log(1-e.float())) * math.Cos(2*math.Pi*e.float())
}
