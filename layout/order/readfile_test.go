package order_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
)

func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "order.json")
	require.NoError(t, os.WriteFile(name, []byte(`{"title": "owls", "film": {"name": "navy", "colour": "#1d3557", "width": "12 in"}, "gap": "6 mm",
		"edge_margin": "10 mm", "items": [{"file": "owl.svg", "height": "3 in", "copies": 1}]}`), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "owl.svg"), []byte("<svg/>"), 0o644))
	o, files, err := order.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, "owls", o.Title)
	art, err := fs.ReadFile(files, o.Items[0].File)
	require.NoError(t, err)
	assert.Equal(t, "<svg/>", string(art))

	_, _, err = order.ReadFile(filepath.Join(dir, "none.json"))
	require.ErrorIs(t, err, fs.ErrNotExist)
	var e *order.Error
	require.ErrorAs(t, err, &e)
	assert.Contains(t, err.Error(), "none.json")
	assert.Contains(t, err.Error(), "check the path")

	require.NoError(t, os.WriteFile(name, []byte(`{"title": 3}`), 0o644))
	_, _, err = order.ReadFile(name)
	require.ErrorIs(t, err, order.ErrInvalid)
}
