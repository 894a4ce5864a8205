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
	b         []float64
	entries   []entry // of the rows, as they were added

	cols    []float64 // the dictionary, n*m, column-major
	nonzero []int32   // rows where the entering column is not 0

	// dictionary
	value    []float64 // of nonbasic variables
	price    []float64
	nonbasic []int32 // variable in each column: < n a variable, else row n+i
	basic    []int32 // variable in each row
	basicVal []float64
	solution []float64
}

// entry is a coefficient of a row.
type entry struct {
	row, col int32
	v        float64
}

// Reset empties the program and sets the number of variables.
func (p *Program) Reset(n int) {
	p.n = n
	p.low, p.high, p.cost = resized(p.low, n), resized(p.high, n), resized(p.cost, n)
	clear(p.cost)
	p.entries, p.b = p.entries[:0], p.b[:0]
}

func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}

// Variable sets the bounds (low <= 0 <= high) and the cost of variable j.
func (p *Program) Variable(j int, low, high, cost float64) {
	p.low[j], p.high[j], p.cost[j] = min(low, 0), max(high, 0), cost
}

// Row adds the constraint b + sum of coefficients >= 0; Set sets its
// coefficients. A negative b is taken as 0.
func (p *Program) Row(b float64) {
	p.b = append(p.b, max(b, 0))
}

// Set adds v to the coefficient of variable j in the row added last.
func (p *Program) Set(j int, v float64) {
	if v != 0 {
		p.entries = append(p.entries, entry{int32(len(p.b) - 1), int32(j), v})
	}
}

// Solve returns the best v found (valid until the next call) and whether it is
// optimal; it stops after maxPivots steps or when stop reports true.
func (p *Program) Solve(maxPivots int, stop func() bool) (v []float64, optimal bool) {
	n, m := p.n, len(p.b)
	p.value, p.price = resized(p.value, n), resized(p.price, n)
	p.nonbasic, p.basic = resized(p.nonbasic, n), resized(p.basic, m)
	p.basicVal = resized(p.basicVal, m)
	p.cols = resized(p.cols, n*m)
	clear(p.cols)
	for _, e := range p.entries {
		p.cols[int(e.col)*m+int(e.row)] += e.v
	}
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
	m := len(p.b)
	col := p.cols[j*m : (j+1)*m]
	low, high := p.bounds(p.nonbasic[j])
	theta := high - p.value[j]
	if dir < 0 {
		theta = p.value[j] - low
	}
	leave, leaveHigh := -1, false
	pivot := 0.0
	p.nonzero = p.nonzero[:0]
	for i, t := range col {
		if t == 0 {
			continue
		}
		p.nonzero = append(p.nonzero, int32(i))
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
		lim = max(lim, 0)
		if lim < theta || (lim == theta && leave >= 0 && ((!bland && math.Abs(rate) > pivot) || (bland && p.basic[i] < p.basic[leave]))) {
			theta, leave, leaveHigh, pivot = lim, i, up, math.Abs(rate)
		}
	}
	if theta > 0 {
		move := dir * theta
		for _, i := range p.nonzero {
			p.basicVal[i] += col[i] * move
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

// tiny: entries that pivots leave smaller than this are rounding and become 0,
// which keeps the dictionary sparse.
const tiny = 1e-13

// pivot swaps row r and column j in the dictionary.
func (p *Program) pivot(r, j int) {
	m := len(p.b)
	col := p.cols[j*m : (j+1)*m]
	inv := 1 / col[r]
	for k := range p.n {
		if k == j {
			continue
		}
		c := p.cols[k*m : (k+1)*m]
		f := c[r]
		if f == 0 {
			continue
		}
		f *= -inv
		for _, i := range p.nonzero {
			v := c[i] + f*col[i]
			if math.Abs(v) < tiny {
				v = 0
			}
			c[i] = v
		}
		c[r] = f
		p.price[k] += f * p.price[j]
	}
	for _, i := range p.nonzero {
		col[i] *= inv
	}
	col[r] = inv
	p.price[j] *= inv
}
