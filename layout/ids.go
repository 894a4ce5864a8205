package layout

import (
	"strconv"
	"strings"
)

// leastRun is how many ids in a row are given by the first and the last.
const leastRun = 3

// JoinIDs lists ids of decals for people, in the order given: "A-01 to A-08,
// B-03". Three or more that count up by one are given by the first and the last
// of them.
func JoinIDs(ids []string) string {
	var parts []string
	for i := 0; i < len(ids); {
		e := i + 1
		for e < len(ids) && follows(ids[e-1], ids[e]) {
			e++
		}
		if e-i >= leastRun {
			parts = append(parts, ids[i]+" to "+ids[e-1])
		} else {
			parts = append(parts, ids[i:e]...)
		}
		i = e
	}
	return strings.Join(parts, ", ")
}

// follows reports whether b is a with the number at its end one higher.
func follows(a, b string) bool {
	head := strings.TrimRight(a, "0123456789")
	m, err := strconv.ParseUint(a[len(head):], 10, 32)
	if err != nil || strings.TrimRight(b, "0123456789") != head {
		return false
	}
	n, err := strconv.ParseUint(b[len(head):], 10, 32)
	return err == nil && n == m+1
}
