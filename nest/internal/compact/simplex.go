package compact

import "math"

const (
	// priceTolerance: reduced costs nearer to 0 count as 0.
	priceTolerance = 1e-9
	// pivotTolerance: smaller entries are never pivots.
	pivotTolerance = 1e-9
	// patience is how many steps without gain are taken before the rule of
	// least index (Bland) replaces that of the largest price.
	patience = 60
)

// Program is a linear program in the form of the package comment. The zero
// value is empty; Reset makes it usable again without allocating.
type Program struct {
	n         int
	low, high []float64
	cost      []float64
	rows      []float64 // m*n, row-major
	b         []float64

	// dictionary
	value     []float64 // of nonbasic variables
	price     []float64
	nonbasic  []int32 // variable in each column: < n a variable, else row n+i
	basic     []int32 // variable in each row
	basicVal  []float64
	solution  []float64
	pivotCols []int32
}

// Reset empties the program and sets the number of variables.
func (p *Program) Reset(n int) {
	p.n = n
	p.low, p.high, p.cost = resized(p.low, n), resized(p.high, n), resized(p.cost, n)
	clear(p.cost)
	p.rows, p.b = p.rows[:0], p.b[:0]
}

func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}

// Variable sets the bounds (low <= 0 <= high) and the cost of variable j.
func (p *Program) Variable(j int, low, high, cost float64) {
	p.low[j], p.high[j], p.cost[j] = math.Min(low, 0), math.Max(high, 0), cost
}

// Row adds the constraint b + sum of coefficients >= 0 and returns the place
// for the coefficients, all 0 at first. A negative b is taken as 0.
func (p *Program) Row(b float64) []float64 {
	at := len(p.rows)
	if cap(p.rows) < at+p.n {
		grown := make([]float64, at, 2*(at+p.n)+64*p.n)
		copy(grown, p.rows)
		p.rows = grown
	}
	p.rows = p.rows[:at+p.n]
	row := p.rows[at:]
	clear(row)
	p.b = append(p.b, math.Max(b, 0))
	return row
}

// Solve returns the best v found (valid until the next call) and whether it is
// optimal; it stops after maxPivots steps or when stop reports true.
func (p *Program) Solve(maxPivots int, stop func() bool) (v []float64, optimal bool) {
	n, m := p.n, len(p.b)
	p.value, p.price = resized(p.value, n), resized(p.price, n)
	p.nonbasic, p.basic = resized(p.nonbasic, n), resized(p.basic, m)
	p.basicVal = resized(p.basicVal, m)
	clear(p.value)
	copy(p.price, p.cost)
	for j := range n {
		p.nonbasic[j] = int32(j)
	}
	for i := range m {
		p.basic[i] = int32(n + i)
		p.basicVal[i] = p.b[i]
	}
	idle := 0
	for pivots := 0; pivots < maxPivots; pivots++ {
		j, dir := p.enter(idle > patience)
		if j < 0 {
			optimal = true
			break
		}
		step := p.step(j, dir, idle > patience)
		if step > 0 {
			idle = 0
		} else {
			idle++
		}
		if stop != nil && pivots%16 == 15 && stop() {
			break
		}
		if idle > 20*patience {
			break
		}
	}
	p.solution = resized(p.solution, n)
	for j, k := range p.nonbasic {
		if int(k) < n {
			p.solution[k] = p.value[j]
		}
	}
	for i, k := range p.basic {
		if int(k) < n {
			p.solution[k] = p.basicVal[i]
		}
	}
	return p.solution, optimal
}

func (p *Program) bounds(k int32) (low, high float64) {
	if int(k) < p.n {
		return p.low[k], p.high[k]
	}
	return 0, math.Inf(1)
}

// enter picks the column with the best price and the direction to move it.
func (p *Program) enter(bland bool) (int, float64) {
	best, at, dir := priceTolerance, -1, 1.0
	least := int32(math.MaxInt32)
	for j, d := range p.price {
		low, high := p.bounds(p.nonbasic[j])
		a := math.Abs(d)
		if a <= priceTolerance || (d < 0 && p.value[j] >= high) || (d > 0 && p.value[j] <= low) {
			continue
		}
		if bland {
			if p.nonbasic[j] < least {
				least, at = p.nonbasic[j], j
			}
		} else if a > best {
			best, at = a, j
		}
	}
	if at >= 0 && p.price[at] > 0 {
		dir = -1
	}
	return at, dir
}

// step moves column j in a direction as far as it goes and returns how far.
func (p *Program) step(j int, dir float64, bland bool) float64 {
	n := p.n
	low, high := p.bounds(p.nonbasic[j])
	theta := high - p.value[j]
	if dir < 0 {
		theta = p.value[j] - low
	}
	leave, leaveHigh := -1, false
	pivot := 0.0
	for i, at := 0, j; i < len(p.basic); i, at = i+1, at+n {
		t := p.rows[at]
		if t == 0 {
			continue
		}
		rate := t * dir
		if math.Abs(rate) < pivotTolerance {
			continue
		}
		bl, bh := p.bounds(p.basic[i])
		var lim float64
		up := rate > 0
		if up {
			if math.IsInf(bh, 1) {
				continue
			}
			lim = (bh - p.basicVal[i]) / rate
		} else {
			lim = (p.basicVal[i] - bl) / -rate
		}
		lim = math.Max(lim, 0)
		if lim < theta || (lim == theta && leave >= 0 && ((!bland && math.Abs(rate) > pivot) || (bland && p.basic[i] < p.basic[leave]))) {
			theta, leave, leaveHigh, pivot = lim, i, up, math.Abs(rate)
		}
	}
	if theta > 0 {
		move := dir * theta
		for i, at := 0, j; i < len(p.basic); i, at = i+1, at+n {
			if t := p.rows[at]; t != 0 {
				p.basicVal[i] += t * move
			}
		}
	}
	if leave < 0 {
		if dir > 0 {
			p.value[j] = high
		} else {
			p.value[j] = low
		}
		return theta
	}
	entered := p.value[j] + dir*theta
	bl, bh := p.bounds(p.basic[leave])
	if leaveHigh {
		bl = bh
	}
	p.pivot(leave, j)
	p.basic[leave], p.nonbasic[j] = p.nonbasic[j], p.basic[leave]
	p.value[j], p.basicVal[leave] = bl, entered
	return theta
}

// pivot swaps row r and column j in the dictionary.
func (p *Program) pivot(r, j int) {
	n := p.n
	row := p.rows[r*n : (r+1)*n]
	inv := 1 / row[j]
	p.pivotCols = p.pivotCols[:0]
	for k := range row {
		if k == j || row[k] == 0 {
			continue
		}
		row[k] *= -inv
		p.pivotCols = append(p.pivotCols, int32(k))
	}
	row[j] = inv
	for i := range p.basic {
		if i == r {
			continue
		}
		o := p.rows[i*n : (i+1)*n]
		if f := o[j]; f != 0 {
			for _, k := range p.pivotCols {
				o[k] += f * row[k]
			}
			o[j] = f * inv
		}
	}
	if f := p.price[j]; f != 0 {
		for _, k := range p.pivotCols {
			p.price[k] += f * row[k]
		}
		p.price[j] = f * inv
	}
}
