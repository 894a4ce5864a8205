package layout

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestJoinIDs(t *testing.T) {
	for _, c := range []struct {
		ids  []string
		want string
	}{
		{nil, ""},
		{[]string{"A-01"}, "A-01"},
		{[]string{"A-01", "A-02"}, "A-01, A-02"},
		{[]string{"A-01", "A-02", "A-03"}, "A-01 to A-03"},
		{[]string{"A-08", "A-09", "A-10", "A-11", "B-12"}, "A-08 to A-11, B-12"},
		{[]string{"A-99", "A-100", "A-101"}, "A-99 to A-101"},
		{[]string{"A-03", "A-02", "A-01"}, "A-03, A-02, A-01"},
		{[]string{"A-01", "A-01", "A-01"}, "A-01, A-01, A-01"},
		{[]string{"", "1", "2", "3", "x", "x"}, ", 1 to 3, x, x"},
		{[]string{"99999999999999999999", "99999999999999999999"}, "99999999999999999999, 99999999999999999999"},
	} {
		assert.Equal(t, c.want, JoinIDs(c.ids), c.ids)
	}
}
