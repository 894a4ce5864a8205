package lettering

import (
	"encoding/binary"
	"testing"

	"github.com/go-text/typesetting-utils/opentype"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"
)

// tableEntry returns the place of a table's directory entry in a font file.
func tableEntry(t *testing.T, data []byte, tag string) int {
	for at := 12; at < 12+16*int(binary.BigEndian.Uint16(data[4:])); at += 16 {
		if string(data[at:at+4]) == tag {
			return at
		}
	}
	t.Fatalf("no table %s", tag)
	return 0
}

// A file that promises gigabytes is refused before memory is set aside.
func TestDirectoryIsChecked(t *testing.T) {
	for _, tag := range []string{"glyf", "cmap", "head"} {
		data := append([]byte(nil), gobold.TTF...)
		at := tableEntry(t, data, tag)
		binary.BigEndian.PutUint32(data[at+12:], 0xFFFFFFF0)
		_, err := ParseFont(data, FontOptions{})
		assert.ErrorIs(t, err, ErrBadFont, tag)
		assert.ErrorContains(t, err, "outside", tag)
	}
	woff, err := opentype.Files.ReadFile("common/open-sans-v15-latin-regular.woff")
	require.NoError(t, err)
	_, err = ParseFont(woff, FontOptions{})
	require.NoError(t, err, "a packed font is read")
	bomb := append([]byte(nil), woff...)
	binary.BigEndian.PutUint32(bomb[44+12:], 0xFFFFFFF0)
	_, err = ParseFont(bomb, FontOptions{})
	assert.ErrorIs(t, err, ErrBadFont)
	ttc := append([]byte("ttcf\x00\x01\x00\x00\x7f\xff\xff\xff"), gobold.TTF[:100]...)
	_, err = ParseFont(ttc, FontOptions{})
	assert.ErrorIs(t, err, ErrBadFont)
}

// component is a component entry of a composed glyph: words as arguments,
// more to follow where not the last.
func component(glyph int, last bool) []byte {
	flags := uint16(wordArguments | 2)
	if !last {
		flags |= moreComponents
	}
	b := binary.BigEndian.AppendUint16(nil, flags)
	b = binary.BigEndian.AppendUint16(b, uint16(glyph))
	return append(b, 0, 0, 0, 0)
}

// Composed glyphs: fourteen levels of ten parts each would be 10^14 drawings,
// and a glyph inside itself would never end.
func TestGlyphBombs(t *testing.T) {
	build := func(parts func(g int) []int) *glyphCounter {
		c := &glyphCounter{loca: []uint32{0}}
		for g := range 16 {
			list := parts(g)
			data := make([]byte, 10)
			if len(list) > 0 {
				data[0], data[1] = 0xff, 0xff
				for i, p := range list {
					data = append(data, component(p, i == len(list)-1)...)
				}
			}
			c.glyf = append(c.glyf, data...)
			c.loca = append(c.loca, uint32(len(c.glyf)))
		}
		c.points = make([]int32, len(c.loca))
		return c
	}
	ten := func(g int) (parts []int) {
		for range 10 {
			if g < 15 {
				parts = append(parts, g+1)
			}
		}
		return parts
	}
	_, err := build(ten).count(0, 0)
	assert.ErrorContains(t, err, "points")
	n, err := build(ten).count(12, 0)
	require.NoError(t, err)
	assert.Equal(t, 10*(10*(10+1)+1), n, "ten parts of ten parts of ten empty ones, one for each part")
	_, err = build(func(g int) []int { return []int{(g + 1) % 3} }).count(0, 0)
	assert.ErrorContains(t, err, "itself")
}
