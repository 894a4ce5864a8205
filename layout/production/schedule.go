package production

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
)

// Stage is one step that every load goes through, in order.
type Stage struct {
	Name    string `json:"name"`
	Workers int    `json:"workers,omitempty"` // people or machines side by side; zero: one
}

func (s Stage) workers() int { return max(1, s.Workers) }

// Load is a batch of work: its minutes at each stage, each from 0 to [MaxMinutes].
type Load struct {
	Name    string    `json:"name"`
	Minutes []float64 `json:"minutes"`
}

// Task is one load at one stage. Times are minutes from the start of the plan.
type Task struct {
	Load   int     `json:"load"`   // index of the load as given
	Stage  int     `json:"stage"`  // index of the stage
	Worker int     `json:"worker"` // from 0, within the stage
	Start  float64 `json:"start_minutes"`
	End    float64 `json:"end_minutes"`
}

// Timetable is a plan: in which order the loads go in, and when each is where.
type Timetable struct {
	Stages []Stage `json:"stages"`
	Loads  []Load  `json:"loads"`
	Order  []int   `json:"order"` // indexes of Loads, first in first
	Tasks  []Task  `json:"tasks"` // in the order of loads, stage by stage
	Span   float64 `json:"span_minutes"`
}

// ScheduleOptions steer the search for a short plan. The zero value is a
// sensible amount of work, repeatable.
type ScheduleOptions struct {
	Seed uint64
	// Rounds is how often the plan is taken apart and put together again after
	// the first descent; zero is 200, fewer for hundreds of loads, negative none.
	Rounds int
}

// descentWork bounds what rounds may cost altogether, in tasks looked at: some
// seconds.
const descentWork = 1 << 29

// descent returns about how many tasks a pass over all loads looks at.
func (f flow) descent() float64 {
	n, m := float64(len(f.loads)), float64(len(f.stages))
	if f.single() {
		return n * n * m
	}
	return n * n * n * m
}

// MaxTasks bounds loads times stages of one plan.
const MaxTasks = 1 << 20

// MaxMinutes bounds the minutes of one task and of a span: 190 years, so that
// no sum of them leaves what a time can hold.
const MaxMinutes = 1e8

const defaultRounds = 200

// Schedule orders the loads so that the last one is finished early. With two
// stages of one worker each the order is optimal (Johnson 1954); else it is
// built by insertion (Nawaz, Enscore, Ham 1983) and improved by moving loads,
// seeded and repeatable; of up to seven loads (and a hundred stages) every order is tried. Where ctx ends early the best plan so far comes with
// its error. An input error is an [*Error].
func Schedule(ctx context.Context, stages []Stage, loads []Load, opt ScheduleOptions) (Timetable, error) {
	if err := checkFlow(stages, loads); err != nil {
		return Timetable{}, err
	}
	f := flow{stages, loads}
	if len(stages) == 2 && stages[0].workers() == 1 && stages[1].workers() == 1 {
		return f.timetable(johnson(loads)), ctx.Err()
	}
	if len(loads) <= fewLoads && len(stages) <= manyStages {
		return f.timetable(f.best()), ctx.Err()
	}
	order := f.insertion(ctx)
	rounds := opt.Rounds
	if rounds == 0 {
		rounds = int(min(defaultRounds, descentWork/max(1, f.descent())))
		if rounds == 0 { // not even one pass
			return f.timetable(order), ctx.Err()
		}
	}
	order = f.improve(ctx, order, rounds, rand.New(rand.NewPCG(opt.Seed, 0x9e3779b97f4a7c15)))
	return f.timetable(order), ctx.Err()
}

// Sequence returns the timetable of the loads in the given order of indexes,
// each once. An input error is an [*Error].
func Sequence(stages []Stage, loads []Load, order []int) (Timetable, error) {
	if err := checkFlow(stages, loads); err != nil {
		return Timetable{}, err
	}
	if !permutes(order, len(loads)) {
		return Timetable{}, &Error{Where: "order", Cause: ErrInvalid, Detail: fmt.Sprintf("%d indexes for %d loads", len(order), len(loads)), Fix: "name each load once, by its index from 0"}
	}
	return flow{stages, loads}.timetable(slices.Clone(order)), nil
}

// permutes reports whether order names each of n indexes once.
func permutes(order []int, n int) bool {
	sorted := slices.Sorted(slices.Values(order))
	for i, v := range sorted {
		if v != i {
			return false
		}
	}
	return len(sorted) == n
}

func checkFlow(stages []Stage, loads []Load) error {
	if len(stages) == 0 {
		return &Error{Where: "stages", Cause: ErrInvalid, Detail: "there are none", Fix: "name at least one stage"}
	}
	if len(stages)*len(loads) > MaxTasks {
		return &Error{Where: "loads", Cause: ErrTooLarge, Detail: fmt.Sprintf("%d loads through %d stages", len(loads), len(stages)), Fix: "plan them in parts"}
	}
	for _, s := range stages {
		if s.Workers < 0 {
			return &Error{Where: fmt.Sprintf("stage %q", s.Name), Cause: ErrInvalid, Detail: fmt.Sprintf("%d workers", s.Workers), Fix: "give one or more"}
		}
	}
	for _, l := range loads {
		if len(l.Minutes) != len(stages) {
			return &Error{Where: fmt.Sprintf("load %q", l.Name), Cause: ErrInvalid, Detail: fmt.Sprintf("%d times for %d stages", len(l.Minutes), len(stages)), Fix: "give the minutes of every stage"}
		}
		for i, m := range l.Minutes {
			if !(m >= 0 && m <= MaxMinutes) {
				return &Error{Where: fmt.Sprintf("load %q, stage %q", l.Name, stages[i].Name), Cause: ErrInvalid, Detail: fmt.Sprintf("%v minutes", m), Fix: "give zero minutes or more, 100,000,000 at most"}
			}
		}
	}
	return nil
}

// johnson returns the order that finishes two stages first: loads that are
// quicker at the first stage go ahead, quickest first; the others follow,
// quickest at the second stage last. Ties keep the given order.
func johnson(loads []Load) []int {
	var ahead, behind []int
	for i, l := range loads {
		if l.Minutes[0] < l.Minutes[1] {
			ahead = append(ahead, i)
		} else {
			behind = append(behind, i)
		}
	}
	sort.SliceStable(ahead, func(i, j int) bool { return loads[ahead[i]].Minutes[0] < loads[ahead[j]].Minutes[0] })
	sort.SliceStable(behind, func(i, j int) bool { return loads[behind[i]].Minutes[1] > loads[behind[j]].Minutes[1] })
	return append(ahead, behind...)
}

// fewLoads is up to how many loads every order is tried: 5040 for seven.
const fewLoads = 7

// manyStages is up to how many stages that is a matter of milliseconds.
const manyStages = 100

// best returns the first of the orders with the least span.
func (f flow) best() []int {
	free := f.workers()
	order := make([]int, len(f.loads))
	for i := range order {
		order[i] = i
	}
	best, least := slices.Clone(order), math.Inf(1)
	var try func(k int)
	try = func(k int) {
		if k == len(order) {
			if span := f.place(order, free, nil); span < least {
				best, least = slices.Clone(order), span
			}
			return
		}
		for i := k; i < len(order); i++ {
			order[k], order[i] = order[i], order[k]
			try(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	try(0)
	return best
}

type flow struct {
	stages []Stage
	loads  []Load
}

// place runs the loads in order through the stages: at each, the worker who is
// free first takes the load. free[stage] holds when each worker is free. It
// calls visit for every task and returns the end of the last.
func (f flow) place(order []int, free [][]float64, visit func(Task)) float64 {
	for s := range free {
		for w := range free[s] {
			free[s][w] = 0
		}
	}
	var span float64
	for _, load := range order {
		ready := 0.0
		for s, m := range f.loads[load].Minutes {
			worker := 0
			for w, t := range free[s] {
				if t < free[s][worker] {
					worker = w
				}
			}
			start := math.Max(ready, free[s][worker])
			ready = start + m
			free[s][worker] = ready
			if visit != nil {
				visit(Task{load, s, worker, start, ready})
			}
		}
		span = math.Max(span, ready)
	}
	return span
}

func (f flow) workers() [][]float64 {
	free := make([][]float64, len(f.stages))
	for i, s := range f.stages {
		free[i] = make([]float64, min(s.workers(), len(f.loads)+1))
	}
	return free
}

func (f flow) timetable(order []int) Timetable {
	t := Timetable{Stages: slices.Clone(f.stages), Loads: slices.Clone(f.loads), Order: order}
	t.Span = f.place(order, f.workers(), func(task Task) { t.Tasks = append(t.Tasks, task) })
	return t
}

// insertion builds an order: longest loads first, each where it makes the span
// of those placed so far least (the earliest such place).
func (f flow) insertion(ctx context.Context) []int {
	byTotal := make([]int, len(f.loads))
	total := make([]float64, len(f.loads))
	for i, l := range f.loads {
		byTotal[i] = i
		for _, m := range l.Minutes {
			total[i] += m
		}
	}
	sort.SliceStable(byTotal, func(i, j int) bool { return total[byTotal[i]] > total[byTotal[j]] })
	free := f.workers()
	var order []int
	for i, load := range byTotal {
		if ctx.Err() != nil {
			return append(order, byTotal[i:]...)
		}
		order, _ = f.insert(order, load, free)
	}
	return order
}

// insert returns order with load at its best place, and the span.
func (f flow) insert(order []int, load int, free [][]float64) ([]int, float64) {
	if len(f.stages) > 0 && f.single() {
		return f.insertSingle(order, load)
	}
	best, bestSpan := 0, math.Inf(1)
	trial := make([]int, len(order)+1)
	for at := 0; at <= len(order); at++ {
		copy(trial, order[:at])
		trial[at] = load
		copy(trial[at+1:], order[at:])
		if span := f.place(trial, free, nil); span < bestSpan {
			best, bestSpan = at, span
		}
	}
	return slices.Insert(slices.Clone(order), best, load), bestSpan
}

// single reports whether every stage has one worker.
func (f flow) single() bool {
	for _, s := range f.stages {
		if s.workers() != 1 {
			return false
		}
	}
	return true
}

// insertSingle finds the best place among all in one sweep (Taillard 1990):
// heads of the loads before, tails of those after, joined through the new one.
func (f flow) insertSingle(order []int, load int) ([]int, float64) {
	n, m := len(order), len(f.stages)
	tails := make([]float64, (n+1)*m)
	for i := n - 1; i >= 0; i-- {
		minutes := f.loads[order[i]].Minutes
		for s := m - 1; s >= 0; s-- {
			after := tails[(i+1)*m+s]
			if s+1 < m {
				after = math.Max(after, tails[i*m+s+1])
			}
			tails[i*m+s] = after + minutes[s]
		}
	}
	head := make([]float64, m)
	best, bestSpan := 0, math.Inf(1)
	for at := 0; at <= n; at++ {
		ready, span := 0.0, 0.0
		for s, minutes := range f.loads[load].Minutes {
			ready = math.Max(ready, head[s]) + minutes
			span = math.Max(span, ready+tails[at*m+s])
		}
		if span < bestSpan {
			best, bestSpan = at, span
		}
		if at < n {
			ready = 0
			for s, minutes := range f.loads[order[at]].Minutes {
				ready = math.Max(ready, head[s]) + minutes
				head[s] = ready
			}
		}
	}
	return slices.Insert(slices.Clone(order), best, load), bestSpan
}

// improve moves single loads to better places until none helps, then takes a
// few loads out and inserts them again, keeping what is no worse (iterated
// greedy; R. Ruiz, T. Stützle, EJOR 177 (2007) 2033-2049).
func (f flow) improve(ctx context.Context, order []int, rounds int, r *rand.Rand) []int {
	if len(order) < 2 {
		return order
	}
	free := f.workers()
	span := f.place(order, free, nil)
	descend := func(order []int, span float64) ([]int, float64) {
		for better := true; better && ctx.Err() == nil; {
			better = false
			for _, load := range r.Perm(len(order)) {
				i := slices.Index(order, load)
				next, s := f.insert(slices.Delete(slices.Clone(order), i, i+1), load, free)
				if s < span {
					order, span, better = next, s, true
				}
			}
		}
		return order, span
	}
	order, span = descend(order, span)
	best, bestSpan := order, span
	const out = 4 // loads taken out in a round
	for range rounds {
		if ctx.Err() != nil {
			break
		}
		next := slices.Clone(order)
		var taken []int
		for range min(out, len(next)-1) {
			i := r.IntN(len(next))
			taken = append(taken, next[i])
			next = slices.Delete(next, i, i+1)
		}
		s := 0.0
		for _, load := range taken {
			next, s = f.insert(next, load, free)
		}
		next, s = descend(next, s)
		if s <= span {
			order, span = next, s
		}
		if s < bestSpan {
			best, bestSpan = next, s
		}
	}
	return best
}
