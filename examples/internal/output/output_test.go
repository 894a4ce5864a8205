package output

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

func TestWrite(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a.svg"), filepath.Join(dir, "b.svg")
	require.NoError(t, os.WriteFile(a, []byte("earlier"), 0o600))
	require.NoError(t, Write(File{a, text("one")}, File{}, File{b, text("two")}))
	for name, want := range map[string]string{a: "one", b: "two"} {
		got, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.Equal(t, want, string(got))
		info, err := os.Stat(name)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o644), info.Mode().Perm())
	}
}

// One file that cannot be written leaves all places as they were.
func TestWriteAllOrNone(t *testing.T) {
	dir := t.TempDir()
	a := filepath.Join(dir, "a.svg")
	require.NoError(t, os.WriteFile(a, []byte("earlier"), 0o644))
	broken := func(io.Writer) error { return errors.New("no such colour") }
	for _, bad := range []struct {
		file File
		says string
	}{
		{File{filepath.Join(dir, "none", "b.svg"), text("two")}, "b.svg cannot be written: no such file"},
		{File{dir, text("two")}, "cannot be written: it is a folder"},
		{File{filepath.Join(dir, "b.svg"), broken}, "b.svg: no such colour"},
	} {
		err := Write(File{a, text("one")}, bad.file)
		require.ErrorContains(t, err, bad.says)
		got, err := os.ReadFile(a)
		require.NoError(t, err)
		assert.Equal(t, "earlier", string(got))
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		assert.Len(t, entries, 1, "nothing is left beside it")
	}
}
