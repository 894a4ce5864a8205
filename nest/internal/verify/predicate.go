package verify

import (
	"math"
	"math/big"

	"github.com/paulmach/orb"
)

// orientErrorBound bounds the relative error of the determinant in orient: Shewchuk's (3 + 16ε)ε with ε = 2^-53.
const orientErrorBound = (3 + 16*0x1p-53) * 0x1p-53

// orient returns +1 if a, b, c turn left, -1 if they turn right and 0 if they lie on one line, exactly.
func orient(a, b, c orb.Point) int {
	left := float64((a[0] - c[0]) * (b[1] - c[1]))
	right := float64((a[1] - c[1]) * (b[0] - c[0]))
	det := left - right
	if math.Abs(det) > orientErrorBound*(math.Abs(left)+math.Abs(right)) {
		return sign(det)
	}
	if a == b || b == c || a == c || a[0] == b[0] && b[0] == c[0] || a[1] == b[1] && b[1] == c[1] {
		return 0
	}
	return orientExact(a, b, c)
}

// tinyProduct is a magnitude below which the rounding error of a product may underflow, so that the expansion is not exact.
const tinyProduct = 1e-250

// orientExact evaluates the determinant as a sum of six products, each split into two float64 without error.
func orientExact(a, b, c orb.Point) int {
	factors := [6][2]float64{{a[0], b[1]}, {-a[0], c[1]}, {-c[0], b[1]}, {-a[1], b[0]}, {a[1], c[0]}, {c[1], b[0]}}
	var sum expansion
	for _, f := range factors {
		product := float64(f[0] * f[1])
		if product == 0 && (f[0] == 0 || f[1] == 0) {
			continue
		}
		if math.Abs(product) < tinyProduct {
			return orientRational(a, b, c)
		}
		sum.add(math.FMA(f[0], f[1], -product))
		sum.add(product)
	}
	return sum.sign()
}

// orientRational is orientExact for numbers so small that products underflow. It is also the judge in tests.
func orientRational(a, b, c orb.Point) int {
	rat := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	sub := func(u, v float64) *big.Rat { return new(big.Rat).Sub(rat(u), rat(v)) }
	left := new(big.Rat).Mul(sub(a[0], c[0]), sub(b[1], c[1]))
	right := new(big.Rat).Mul(sub(a[1], c[1]), sub(b[0], c[0]))
	return left.Cmp(right)
}

// expansion is an exact sum: parts that do not overlap, smallest first.
type expansion struct {
	part [13]float64
	n    int
}

// add adds v without error (Shewchuk's grow-expansion, dropping zeros).
func (e *expansion) add(v float64) {
	out := 0
	for i := range e.n {
		s := v + e.part[i]
		b := s - v
		tail := (v - (s - b)) + (e.part[i] - b)
		v = s
		if tail != 0 {
			e.part[out] = tail
			out++
		}
	}
	if v != 0 {
		e.part[out] = v
		out++
	}
	e.n = out
}

// sign is the sign of the sum: that of its largest part.
func (e *expansion) sign() int {
	if e.n == 0 {
		return 0
	}
	return sign(e.part[e.n-1])
}

func sign(v float64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// distanceToSegment is the distance from p to the segment ab in float64.
func distanceToSegment(p, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	px, py := p[0]-a[0], p[1]-a[1]
	along := px*dx + py*dy
	length2 := dx*dx + dy*dy
	switch {
	case along <= 0 || length2 == 0:
		return math.Hypot(px, py)
	case along >= length2:
		return math.Hypot(p[0]-b[0], p[1]-b[1])
	}
	return math.Abs(px*dy-py*dx) / math.Sqrt(length2)
}

// distanceErrorBound bounds the relative error that distanceToSegment makes, counted against the size of the numbers that
// go in. It only decides when to ask the exact comparison, so it is generous.
const distanceErrorBound = 64 * 0x1p-53

// atLeast reports whether the exact distance from p to the segment ab is limit or more, given its float64 value.
func atLeast(distance, limit float64, p, a, b orb.Point) bool {
	size := math.Abs(p[0]) + math.Abs(p[1]) + math.Abs(a[0]) + math.Abs(a[1]) + math.Abs(b[0]) + math.Abs(b[1]) + limit
	if d := distance - limit; math.Abs(d) > distanceErrorBound*size {
		return d > 0
	}
	return atLeastExact(limit, p, a, b)
}

// atLeastExact compares the squared distance with the squared limit in rational arithmetic.
func atLeastExact(limit float64, p, a, b orb.Point) bool {
	rat := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	sub := func(u, v float64) *big.Rat { return new(big.Rat).Sub(rat(u), rat(v)) }
	mul := func(u, v *big.Rat) *big.Rat { return new(big.Rat).Mul(u, v) }
	add := func(u, v *big.Rat) *big.Rat { return new(big.Rat).Add(u, v) }
	limit2 := mul(rat(limit), rat(limit))
	dx, dy := sub(b[0], a[0]), sub(b[1], a[1])
	px, py := sub(p[0], a[0]), sub(p[1], a[1])
	along := add(mul(px, dx), mul(py, dy))
	length2 := add(mul(dx, dx), mul(dy, dy))
	if along.Sign() <= 0 {
		return add(mul(px, px), mul(py, py)).Cmp(limit2) >= 0
	}
	if along.Cmp(length2) >= 0 {
		qx, qy := sub(p[0], b[0]), sub(p[1], b[1])
		return add(mul(qx, qx), mul(qy, qy)).Cmp(limit2) >= 0
	}
	cross := new(big.Rat).Sub(mul(px, dy), mul(py, dx))
	return mul(cross, cross).Cmp(mul(limit2, length2)) >= 0
}
