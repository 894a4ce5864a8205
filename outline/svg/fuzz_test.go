package svg_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
)

// Whatever the bytes, Read gives a drawing whose shapes are fit for cutting,
// or an error of its own type.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/*.svg")
	require.NoError(f, err)
	for _, name := range files {
		text, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(text)
	}
	f.Add([]byte(page(`<g transform="rotate(30)"><circle r="5" stroke="red" stroke-dasharray="3 1"/></g>`)))
	f.Add([]byte(page(`<path stroke="#000" stroke-width="9" stroke-linejoin="round" d="M1 1C9 9 1 9 9 1L5 5 1 1z"/>`)))
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := svg.Read(bytes.NewReader(text), svg.Options{})
		if err != nil {
			var fault *svg.ReadError
			require.ErrorAs(t, err, &fault)
			require.Nil(t, d)
			return
		}
		require.Positive(t, float64(d.Width))
		require.Positive(t, float64(d.Height))
		for _, s := range d.Shapes {
			require.NoError(t, s.Path.Check())
			require.GreaterOrEqual(t, float64(s.Path.Area()), 0.0)
			if len(s.Path) > 0 {
				require.NotEmpty(t, s.Fill)
			}
		}
	})
}

// Any path, filled or drawn with any pen, gives areas fit for cutting, or an
// error that says what is wrong with the file.
func FuzzPaint(f *testing.F) {
	f.Add("M1 1C9 9 1 9 9 1L5 5 1 1z", 3.0, uint8(0), "")
	f.Add("M20 40C90 20 10 20 80 40", 8.0, uint8(1), "5 3")
	f.Add("M20 40C120 40-20 40 80 40", 6.0, uint8(5), "")
	f.Add("M50 20Q50 60 50 20", 6.0, uint8(9), "0 4")
	f.Add("M40 40a3 3 0 1 1 1 1z m5 5h0", 16.0, uint8(17), "9 1 2")
	f.Add("M0 0L60 22L21 25L70 60", 0.001, uint8(2), "")
	f.Fuzz(func(t *testing.T, d string, width float64, mode uint8, dashes string) {
		join := []string{"miter", "round", "bevel"}[mode%3]
		ends := []string{"butt", "round", "square"}[mode/3%3]
		fill := []string{"none", "#000", "red"}[mode/9%3]
		rule := []string{"nonzero", "evenodd"}[mode/27%2]
		var b bytes.Buffer
		fmt.Fprintf(&b, `<svg width="100mm" height="80mm" viewBox="0 0 100 80"><path fill="%s" fill-rule="%s" stroke="#000" stroke-linejoin="%s" stroke-linecap="%s" stroke-width="%f" stroke-dasharray="`, fill, rule, join, ends, width)
		require.NoError(t, xml.EscapeText(&b, []byte(dashes)))
		b.WriteString(`" d="`)
		require.NoError(t, xml.EscapeText(&b, []byte(d)))
		b.WriteString(`"/></svg>`)
		drawing, err := svg.Read(&b, svg.Options{})
		if err != nil {
			known := false
			for _, cause := range []error{svg.ErrSyntax, svg.ErrTooLarge, svg.ErrTooFar, svg.ErrXML, outline.ErrTooLarge} {
				known = known || errors.Is(err, cause)
			}
			require.True(t, known, err)
			return
		}
		for _, s := range drawing.Shapes {
			require.NoError(t, s.Path.Check())
			require.GreaterOrEqual(t, float64(s.Path.Area()), 0.0)
		}
	})
}
