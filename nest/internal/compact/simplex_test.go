package compact

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// TestAgainstGonum solves random bounded programs with gonum v0.17.0's simplex
// as the second opinion.
func TestAgainstGonum(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for trial := range 60 {
		n, m := 2+rng.IntN(5), 1+rng.IntN(8)
		var p Program
		p.Reset(n)
		low, high, cost := make([]float64, n), make([]float64, n), make([]float64, n)
		for j := range n {
			low[j], high[j], cost[j] = -rng.Float64()*3, rng.Float64()*3, rng.Float64()*2-1
			p.Variable(j, low[j], high[j], cost[j])
		}
		rows, b := make([][]float64, m), make([]float64, m)
		for i := range m {
			rows[i] = make([]float64, n)
			b[i] = rng.Float64()
			if rng.IntN(3) == 0 {
				b[i] = 0 // degenerate at the start
			}
			p.Row(b[i])
			for j := range n {
				if rng.IntN(2) == 0 {
					rows[i][j] = rng.Float64()*4 - 2
					p.Set(j, rows[i][j])
				}
			}
		}
		v, optimal := p.Solve(10000, nil)
		require.True(t, optimal, "trial %d", trial)
		got := 0.0
		for j := range n {
			assert.GreaterOrEqual(t, v[j], low[j]-1e-9)
			assert.LessOrEqual(t, v[j], high[j]+1e-9)
			got += cost[j] * v[j]
		}
		for i := range m {
			s := b[i]
			for j := range n {
				s += rows[i][j] * v[j]
			}
			assert.GreaterOrEqual(t, s, -1e-9)
		}
		assert.InDelta(t, gonumOptimum(t, low, high, cost, rows, b), got, 1e-7, "trial %d", trial)
	}
}

// gonumOptimum puts v = low + u, u >= 0, with slacks for rows and upper bounds.
func gonumOptimum(t *testing.T, low, high, cost []float64, rows [][]float64, b []float64) float64 {
	n, m := len(low), len(rows)
	a := mat.NewDense(m+n, n+m+n, nil)
	c, rhs := make([]float64, n+m+n), make([]float64, m+n)
	shift := 0.0
	for j := range n {
		c[j] = cost[j]
		shift += cost[j] * low[j]
		a.Set(m+j, j, 1)
		a.Set(m+j, n+m+j, 1)
		rhs[m+j] = high[j] - low[j]
	}
	for i := range m {
		s := b[i]
		for j := range n {
			a.Set(i, j, -rows[i][j])
			s += rows[i][j] * low[j]
		}
		a.Set(i, n+i, 1)
		rhs[i] = s
		if s < 0 {
			for k := range n + m + n {
				a.Set(i, k, -a.At(i, k))
			}
			rhs[i] = -s
		}
	}
	z, _, err := lp.Simplex(c, a, rhs, 0, nil)
	require.NoError(t, err)
	return z + shift
}

func TestEmptyAndUnbounded(t *testing.T) {
	var p Program
	p.Reset(1)
	p.Variable(0, -2, 5, 1)
	v, ok := p.Solve(10, nil)
	assert.True(t, ok)
	assert.Equal(t, -2.0, v[0], "without rows the cheaper bound is best")
	p.Reset(1)
	p.Variable(0, -2, 5, -1)
	p.Row(-3) // counts as 0
	p.Set(0, -1)
	v, ok = p.Solve(10, nil)
	assert.True(t, ok)
	assert.True(t, math.Abs(v[0]) < 1e-12)
}

func BenchmarkSolve(b *testing.B) {
	// a chain of n pieces that are pushed together
	const n = 100
	var p Program
	b.ReportAllocs()
	for b.Loop() {
		p.Reset(n + 1)
		for j := range n {
			p.Variable(j, -1, 1, 0)
		}
		p.Variable(n, -n, 0, 1)
		for j := range n {
			p.Row(0.5)
			p.Set(j, 1)
			if j > 0 {
				p.Set(j-1, -1)
			}
			p.Row(float64(n - j))
			p.Set(n, 1)
			p.Set(j, -1)
		}
		p.Solve(10000, nil)
	}
}
