package order

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/vinylgeom/vinyl/layout/artwork"
)

// bySlot returns the words under the names of the design's slots, where theirs
// differ from them by capitals only: a secretary heads a column "Upper" or
// "UPPER". Names of no slot stay, to be reported.
func bySlot(art *artwork.Design, words map[string]string) map[string]string {
	out := make(map[string]string, len(words))
	for _, name := range slices.Sorted(maps.Keys(words)) {
		slot := name
		for _, s := range art.Slots {
			if _, exact := words[s.Name]; !exact && strings.EqualFold(s.Name, name) {
				slot = s.Name
			}
		}
		if _, taken := out[slot]; taken { // two headings for one slot
			slot = name
		}
		out[slot] = words[name]
	}
	return out
}

// wordingProblems gathers what is wrong with the wordings of an order. A fault
// that many rows of a roster share is told once, with all their lines: a
// word of the order's that is too long would else fill the screen.
type wordingProblems struct {
	list  []wordingProblem
	known map[string]int // by what is said
}

type wordingProblem struct {
	roster string
	err    error
	lines  []int // of the roster, ascending; none: not from a roster
}

func (p *wordingProblems) add(item int, it Item, w Wording, err error) {
	err = itemError(item, it, err)
	key := it.Roster + "\x00" + err.Error()
	k, ok := p.known[key]
	if !ok || w.Line == 0 {
		k = len(p.list)
		p.list = append(p.list, wordingProblem{roster: it.Roster, err: err})
		if p.known == nil {
			p.known = map[string]int{}
		}
		p.known[key] = k
	}
	if w.Line > 0 {
		p.list[k].lines = append(p.list[k].lines, w.Line)
	}
}

func (p *wordingProblems) errors() []error {
	out := make([]error, len(p.list))
	for i, problem := range p.list {
		out[i] = problem.err
		if len(problem.lines) > 0 {
			out[i] = fmt.Errorf("%s, %s: %w", problem.roster, lineWords(problem.lines), problem.err)
		}
	}
	return out
}

// lineWords writes ascending line numbers, such as "line 7" or "lines 2 to 9, 12".
func lineWords(lines []int) string {
	if len(lines) == 1 {
		return "line " + strconv.Itoa(lines[0])
	}
	var parts []string
	for i := 0; i < len(lines); {
		j := i
		for j+1 < len(lines) && lines[j+1] == lines[j]+1 {
			j++
		}
		part := strconv.Itoa(lines[i])
		if j > i {
			part += " to " + strconv.Itoa(lines[j])
		}
		parts = append(parts, part)
		i = j + 1
	}
	return "lines " + strings.Join(parts, ", ")
}
