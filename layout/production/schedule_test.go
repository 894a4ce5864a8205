package production_test

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/production"
)

func loads(a, b []float64) []production.Load {
	out := make([]production.Load, len(a))
	for i := range a {
		out[i] = production.Load{Name: fmt.Sprint(i + 1), Minutes: []float64{a[i], b[i]}}
	}
	return out
}

var two = []production.Stage{{Name: "cut"}, {Name: "weed"}}

// S. M. Johnson, Naval Research Logistics Quarterly 1 (1954) 61-68: span 47 in
// the order 5-1-4-3-2 or 1-5-4-3-2; testdata/trade.md, check 16: the given
// order takes 77, the worst 78.
func TestJohnson1954(t *testing.T) {
	jobs := loads([]float64{4, 4, 30, 6, 2}, []float64{5, 1, 4, 30, 3})
	plan, err := production.Schedule(context.Background(), two, jobs, production.ScheduleOptions{})
	require.NoError(t, err)
	assert.Equal(t, 47.0, plan.Span)
	assert.Contains(t, [][]int{{4, 0, 3, 2, 1}, {0, 4, 3, 2, 1}}, plan.Order)
	given, err := production.Sequence(two, jobs, []int{0, 1, 2, 3, 4})
	require.NoError(t, err)
	assert.Equal(t, 77.0, given.Span)
	worst := 0.0
	best := math.Inf(1)
	permute([]int{0, 1, 2, 3, 4}, 0, func(order []int) {
		p, err := production.Sequence(two, jobs, order)
		require.NoError(t, err)
		worst, best = math.Max(worst, p.Span), math.Min(best, p.Span)
	})
	assert.Equal(t, 78.0, worst)
	assert.Equal(t, 47.0, best)
}

func permute(a []int, k int, visit func([]int)) {
	if k == len(a) {
		visit(a)
		return
	}
	for i := k; i < len(a); i++ {
		a[k], a[i] = a[i], a[k]
		permute(a, k+1, visit)
		a[k], a[i] = a[i], a[k]
	}
}

// taillard returns one of Taillard's flow-shop instances (EJOR 64 (1993)
// 278-285), made by his generator: x = 16807 x mod (2^31-1), times 1 to 99,
// machine by machine. The generator and the seeds are from memory.
func taillard(jobs, machines int, seed int64) ([]production.Stage, []production.Load) {
	x := seed
	next := func() float64 {
		x = 16807 * x % math.MaxInt32
		return float64(1 + int64(float64(x)/math.MaxInt32*99))
	}
	out := make([]production.Load, jobs)
	for i := range out {
		out[i] = production.Load{Name: fmt.Sprint(i), Minutes: make([]float64, machines)}
	}
	stages := make([]production.Stage, machines)
	for m := range stages {
		for j := range out {
			out[j].Minutes[m] = next()
		}
	}
	return stages, out
}

// Best known spans of the 20 x 5 instances ta001 to ta003 (Taillard's list,
// from memory): a plan cannot be shorter and must come within 2 %.
func TestTaillard20x5(t *testing.T) {
	for _, test := range []struct {
		name  string
		seed  int64
		known float64
	}{{"ta001", 873654221, 1278}, {"ta002", 379008056, 1359}, {"ta003", 1866992158, 1081}} {
		stages, jobs := taillard(20, 5, test.seed)
		plan, err := production.Schedule(context.Background(), stages, jobs, production.ScheduleOptions{})
		require.NoError(t, err)
		t.Log(test.name, plan.Span)
		assert.GreaterOrEqual(t, plan.Span, test.known, test.name)
		assert.LessOrEqual(t, plan.Span, 1.02*test.known, test.name)
	}
}

// For n equal loads through two stages the span is a + (n-1) max(a, b) + b.
func TestEqualLoads(t *testing.T) {
	for _, test := range []struct{ a, b float64 }{{8, 8}, {3, 11}, {11, 3}} {
		var jobs []production.Load
		for range 7 {
			jobs = append(jobs, production.Load{Minutes: []float64{test.a, test.b}})
		}
		plan, err := production.Schedule(context.Background(), two, jobs, production.ScheduleOptions{})
		require.NoError(t, err)
		assert.InDelta(t, test.a+6*math.Max(test.a, test.b)+test.b, plan.Span, 1e-9)
	}
}

// No worker does two things at once, no load is in two places, and every load
// passes the stages in order.
func TestTimetableIsPossible(t *testing.T) {
	stages := []production.Stage{{Name: "cut"}, {Name: "weed", Workers: 2}, {Name: "tape"}, {Name: "pack", Workers: 3}}
	_, jobs := taillard(15, 4, 42)
	plan, err := production.Schedule(context.Background(), stages, jobs, production.ScheduleOptions{Rounds: 20})
	require.NoError(t, err)
	require.Len(t, plan.Tasks, 15*4)
	type worker struct{ stage, worker int }
	busy := map[worker]float64{}
	done := map[int]float64{}
	for _, task := range plan.Tasks {
		assert.Less(t, task.Worker, max(1, stages[task.Stage].Workers))
		w := worker{task.Stage, task.Worker}
		assert.GreaterOrEqual(t, task.Start, busy[w])
		assert.GreaterOrEqual(t, task.Start, done[task.Load])
		assert.InDelta(t, jobs[task.Load].Minutes[task.Stage], task.End-task.Start, 1e-9)
		busy[w], done[task.Load] = task.End, task.End
		assert.LessOrEqual(t, task.End, plan.Span)
	}
	again, err := production.Schedule(context.Background(), stages, jobs, production.ScheduleOptions{Rounds: 20})
	require.NoError(t, err)
	assert.Equal(t, plan, again, "the same seed gives the same plan")
	alone, err := production.Schedule(context.Background(), []production.Stage{{}, {}, {}, {}}, jobs, production.ScheduleOptions{Rounds: 20})
	require.NoError(t, err)
	assert.LessOrEqual(t, plan.Span, alone.Span, "more hands are never slower")
}

func TestScheduleErrors(t *testing.T) {
	ctx := context.Background()
	one := []production.Load{{Name: "x", Minutes: []float64{1, 2}}}
	for _, call := range []func() error{
		func() error {
			_, err := production.Schedule(ctx, nil, one, production.ScheduleOptions{})
			return err
		},
		func() error {
			_, err := production.Schedule(ctx, two[:1], one, production.ScheduleOptions{})
			return err
		},
		func() error {
			_, err := production.Schedule(ctx, []production.Stage{{Workers: -1}, {}}, one, production.ScheduleOptions{})
			return err
		},
		func() error {
			_, err := production.Schedule(ctx, two, loads([]float64{math.NaN()}, []float64{1}), production.ScheduleOptions{})
			return err
		},
		func() error {
			_, err := production.Sequence(two, one, []int{1})
			return err
		},
		func() error {
			_, err := production.Sequence(two, one, nil)
			return err
		},
	} {
		var e *production.Error
		require.ErrorAs(t, call(), &e)
		assert.NotEmpty(t, e.Fix)
	}
	empty, err := production.Schedule(ctx, two, nil, production.ScheduleOptions{})
	require.NoError(t, err)
	assert.Zero(t, empty.Span)
	cancelled, cancel := context.WithCancel(ctx)
	cancel()
	stages, jobs := taillard(20, 5, 1)
	plan, err := production.Schedule(cancelled, stages, jobs, production.ScheduleOptions{})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Len(t, plan.Order, 20, "the plan so far is whole")
}

// Sums of minutes stay numbers, and of few loads at very many stages no every
// order is tried.
func TestScheduleIsBounded(t *testing.T) {
	_, err := production.Schedule(context.Background(), two, loads([]float64{1e308}, []float64{1e308}), production.ScheduleOptions{})
	assert.ErrorIs(t, err, production.ErrInvalid)
	_, err = production.Schedule(context.Background(), make([]production.Stage, production.MaxTasks+1), loads([]float64{1}, []float64{1}), production.ScheduleOptions{})
	assert.ErrorIs(t, err, production.ErrTooLarge)
	stages, jobs := taillard(6, 2000, 7)
	began := time.Now()
	plan, err := production.Schedule(context.Background(), stages, jobs, production.ScheduleOptions{Rounds: 1})
	require.NoError(t, err)
	assert.Len(t, plan.Order, 6)
	assert.Less(t, time.Since(began), 10*time.Second)
}
