package order_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
)

func TestReadRoster(t *testing.T) {
	for name, test := range map[string]struct {
		text string
		want []string // words of slot "upper", line by line
	}{
		"plain":         {"upper,copies\nANNA,2\nBEN,1\n", []string{"ANNA", "BEN"}},
		"mark and CRLF": {"\ufeffupper\r\nANNA\r\n\r\nBEN\r\n", []string{"ANNA", "BEN"}},
		"semicolons":    {"upper;lower\nANNA;1\n;\nBEN;2\n", []string{"ANNA", "BEN"}},
		"tabs":          {"upper\tcopies\nANNA\t2\n", []string{"ANNA"}},
		"quotes":        {"upper,lower\n\"O'NEIL, \"\"PAT\"\"\",7\n", []string{`O'NEIL, "PAT"`}},
		"windows-1252":  {"upper\nJOS\xc9\nZO\xcb\n", []string{"JOSÉ", "ZOË"}},
		"utf-8":         {"upper\nJOSÉ\nZOË\n", []string{"JOSÉ", "ZOË"}},
		"heading case":  {"upper,Copies\nANNA,3\n", []string{"ANNA"}},
		"last line":     {"upper\nANNA", []string{"ANNA"}},
	} {
		t.Run(name, func(t *testing.T) {
			got, _, err := order.ReadRoster(strings.NewReader(test.text))
			require.NoError(t, err)
			var words []string
			for _, w := range got {
				words = append(words, w.Words["upper"])
			}
			assert.Equal(t, test.want, words)
		})
	}
	got, _, err := order.ReadRoster(strings.NewReader("upper,copies\n\nANNA,2\n"))
	require.NoError(t, err)
	assert.Equal(t, 2, got[0].Copies)
	assert.Equal(t, 3, got[0].Line)
}

func TestRosterProblemsAllAtOnce(t *testing.T) {
	_, _, err := order.ReadRoster(strings.NewReader("upper,copies\nANNA,two\nBEN,-1\nCLEO,1,extra\n,4\nDAN,1\n"))
	for _, says := range []string{"line 2", "line 3", "line 4", "line 5"} {
		assert.ErrorContains(t, err, says)
	}
	assert.NotContains(t, err.Error(), "line 6")
	for _, bad := range []string{"", "upper\n", "upper,upper\nA,B\n", "upper\n\"ANNA\nBEN\n", "\xff\xfea\x00", "upper\nA\x00B\n"} {
		_, _, err := order.ReadRoster(strings.NewReader(bad))
		var e *order.Error
		require.ErrorAs(t, err, &e, bad)
		assert.NotEmpty(t, e.Fix)
	}
}

func TestRosterWarnings(t *testing.T) {
	got, warnings, err := order.ReadRoster(strings.NewReader("upper\nmARLOW\nMARLoW\nANNA\nANNA\n=SUM(A1)\nMcDONALD\nde Vries\n"))
	require.NoError(t, err)
	assert.Len(t, got, 7, "nothing is lost")
	var text []string
	for _, w := range warnings {
		text = append(text, w.String())
	}
	all := strings.Join(text, "\n")
	for _, says := range []string{"line 2", "line 3", "line 5: the same words as in line 4", "line 6"} {
		assert.Contains(t, all, says)
	}
}

func TestLongRoster(t *testing.T) {
	var b strings.Builder
	b.WriteString("upper,copies\n")
	for i := range order.MaxRosterRows {
		fmt.Fprintf(&b, "NAME %d,1\n", i)
	}
	start := time.Now()
	got, _, err := order.ReadRoster(strings.NewReader(b.String()))
	require.NoError(t, err)
	assert.Len(t, got, order.MaxRosterRows)
	assert.Less(t, time.Since(start), 10*time.Second)
	b.WriteString("ONE MORE,1\n")
	_, _, err = order.ReadRoster(strings.NewReader(b.String()))
	assert.ErrorIs(t, err, order.ErrTooLarge)
}

func FuzzReadRoster(f *testing.F) {
	f.Add("upper,copies\nANNA,2\n")
	f.Add("upper;lower\n\"a\"\"b\";=1+1\n")
	f.Add("\xff\xfe\x00")
	f.Fuzz(func(t *testing.T, text string) {
		got, _, err := order.ReadRoster(strings.NewReader(text))
		if err != nil {
			var e *order.Error
			require.ErrorAs(t, err, &e)
			return
		}
		require.NotEmpty(t, got)
		for _, w := range got {
			require.NotEmpty(t, w.Words)
		}
	})
}

// The ids of a roster's decals have equal digits, so that they sort.
func TestIDsOfALongRoster(t *testing.T) {
	t.Parallel()
	rows := "upper\n"
	for i := range 101 {
		rows += fmt.Sprintf("%c%c\n", 'A'+i/26, 'A'+i%26)
	}
	o := items(t, order.Item{Design: "gear", Height: 60, Roster: "names.csv", Copies: 1})
	o.Mend, o.WeedLines = "", false
	o.Lettering.LeastHeight = 1
	r := run(t, o, order.Options{Budget: nest.FirstLayoutOnly, Files: fstest.MapFS{"names.csv": {Data: []byte(rows)}}})
	seen := map[string]bool{}
	for _, l := range r.Report.Loads {
		for _, d := range l.Decals {
			assert.Len(t, d.ID, len("A-001"))
			seen[d.ID] = true
		}
	}
	assert.Len(t, seen, 101, "nothing is lost")
}

// A roster that is more than a run can hold is refused by its first names, not
// after an hour's work.
func TestRosterBeyondARun(t *testing.T) {
	t.Parallel()
	var rows strings.Builder
	rows.WriteString("upper,lower\n")
	for i := range order.MaxRosterRows {
		fmt.Fprintf(&rows, "ANNA%d,CLASS %d\n", i, i%97)
	}
	o := items(t, order.Item{Design: "rocket", Height: 100, Roster: "names.csv", Copies: 1})
	start := time.Now()
	_, err := order.Run(t.Context(), o, order.Options{Files: fstest.MapFS{"names.csv": {Data: []byte(rows.String())}}})
	require.ErrorIs(t, err, order.ErrTooLarge)
	assert.Contains(t, err.Error(), "100000 wordings")
	assert.Less(t, time.Since(start), time.Minute)
}
