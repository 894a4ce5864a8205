package command

import (
	"bytes"
	"flag"
	"io/fs"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParse(t *testing.T) {
	var stderr bytes.Buffer
	flags := Flags("program", "prints a number", &stderr)
	n := flags.Int("n", 0, "the number")
	require.NoError(t, Parse(flags, []string{"-n", "3"}))
	assert.Equal(t, 3, *n)
	assert.ErrorContains(t, Parse(flags, []string{"-n", "3", "order.json"}), `unexpected argument "order.json"`)
	assert.EqualError(t, Parse(flags, []string{"-other"}), "flag provided but not defined: -other; -h lists the flags")
	assert.Empty(t, stderr.String(), "the caller prints the error")
	assert.ErrorIs(t, Parse(flags, []string{"-help"}), flag.ErrHelp)
	assert.Equal(t, "program prints a number.\n\n  -n int\n    \tthe number\n", stderr.String())
}

func TestOrder(t *testing.T) {
	demo, files, err := Order("")
	require.NoError(t, err)
	assert.Nil(t, files, "the demo's artwork is in the program")
	assert.Len(t, demo.Items, 12)
	_, _, err = Order(filepath.Join(t.TempDir(), "none.json"))
	assert.ErrorIs(t, err, fs.ErrNotExist)
}

func TestPrintJSON(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, PrintJSON(&b, map[string]int{"loads": 3}))
	assert.Equal(t, "{\n  \"loads\": 3\n}\n", b.String())
	assert.Error(t, PrintJSON(&b, func() {}))
}
