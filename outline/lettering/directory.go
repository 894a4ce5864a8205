package lettering

import (
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/font/opentype/tables"
)

// Before a font is read, its directory and its glyph table are looked through:
// the reader sets memory aside for whatever length a file states, and draws
// composed glyphs however deep they are nested.

// maxGlyphPoints is how many points one TrueType glyph may come to with all
// its components, and maxFontPoints all glyphs of a font as stored. The
// largest fonts in use have some seven million.
const (
	maxGlyphPoints = 1 << 17
	maxFontPoints  = 1 << 25
)

var errCutOff = errors.New("the file is cut off or its tables lie outside it")

const (
	magicTrueType   = "\x00\x01\x00\x00"
	magicOpenType   = "OTTO"
	magicApple      = "true"
	magicCollection = "ttcf"
	magicWOFF       = "wOFF"
)

// checkDirectory makes sure that every table of every font in data lies within
// data and that all of them together are not larger than data.
func checkDirectory(data []byte) error {
	if len(data) < 12 {
		return errCutOff
	}
	switch magic := string(data[:4]); magic {
	case magicTrueType, magicOpenType, magicApple:
		return checkFont(data, 0)
	case magicWOFF:
		return checkWOFF(data)
	case magicCollection:
		n := int(binary.BigEndian.Uint32(data[8:]))
		if n > (len(data)-12)/4 {
			return errCutOff
		}
		for i := range n {
			if err := checkFont(data, int(binary.BigEndian.Uint32(data[12+4*i:]))); err != nil {
				return err
			}
		}
		return nil
	default:
		return fmt.Errorf("it starts with %q", magic)
	}
}

func checkFont(data []byte, at int) error {
	if at > len(data)-12 {
		return errCutOff
	}
	n := int(binary.BigEndian.Uint16(data[at+4:]))
	if n > (len(data)-at-12)/16 {
		return errCutOff
	}
	total := 0
	for i := range n {
		entry := data[at+12+16*i:]
		offset, length := int(binary.BigEndian.Uint32(entry[8:])), int(binary.BigEndian.Uint32(entry[12:]))
		total += length
		if offset > len(data) || length > len(data)-offset || total > len(data) {
			return errCutOff
		}
	}
	return nil
}

func checkWOFF(data []byte) error {
	if len(data) < 44 {
		return errCutOff
	}
	n := int(binary.BigEndian.Uint16(data[12:]))
	if n > (len(data)-44)/20 {
		return errCutOff
	}
	packed, unpacked := 0, 0
	for i := range n {
		entry := data[44+20*i:]
		offset, length := int(binary.BigEndian.Uint32(entry[4:])), int(binary.BigEndian.Uint32(entry[8:]))
		packed += length
		unpacked += int(binary.BigEndian.Uint32(entry[12:]))
		if offset > len(data) || length > len(data)-offset || packed > len(data) {
			return errCutOff
		}
		if unpacked > MaxFontBytes {
			return fmt.Errorf("unpacked it is larger than %d bytes", MaxFontBytes)
		}
	}
	return nil
}

// checkGlyphs makes sure that no TrueType glyph contains itself or comes to
// more than maxGlyphPoints, and all together to no more than maxFontPoints.
func checkGlyphs(ld *opentype.Loader, glyphs int) error {
	glyf, err := ld.RawTable(opentype.MustNewTag("glyf"))
	if err != nil {
		return nil // no TrueType outlines
	}
	raw, _ := ld.RawTable(opentype.MustNewTag("loca"))
	head, _ := ld.RawTable(opentype.MustNewTag("head"))
	h, _, err := tables.ParseHead(head)
	if err != nil {
		return err
	}
	loca, err := tables.ParseLoca(raw, glyphs, h.IndexToLocFormat == 1)
	if err != nil {
		return nil // the reader leaves such a glyph table out
	}
	c := glyphCounter{glyf: glyf, loca: loca, points: make([]int32, len(loca))}
	total := 0
	for g := range len(loca) - 1 {
		if n, simple := c.simple(g); simple {
			if total += n; total > maxFontPoints {
				return fmt.Errorf("its glyphs have more than %d points", maxFontPoints)
			}
		} else if _, err := c.count(g, 0); err != nil {
			return err
		}
	}
	return nil
}

// glyphCounter counts the points of glyphs with their components.
type glyphCounter struct {
	glyf   []byte
	loca   []uint32
	points []int32 // of composed glyphs: 0 not counted, -1 being counted, else 1 + points
}

// data returns a glyph's bytes, none where the table is broken.
func (c *glyphCounter) data(g int) []byte {
	if g+1 >= len(c.loca) || c.loca[g] >= c.loca[g+1] || int(c.loca[g+1]) > len(c.glyf) {
		return nil
	}
	return c.glyf[c.loca[g]:c.loca[g+1]]
}

// simple returns the points of a glyph that is not composed.
func (c *glyphCounter) simple(g int) (points int, simple bool) {
	data := c.data(g)
	if len(data) < 10 {
		return 0, true
	}
	contours := int(int16(binary.BigEndian.Uint16(data)))
	if contours < 0 {
		return 0, false
	}
	if contours == 0 || len(data) < 10+2*contours {
		return 0, true
	}
	return int(binary.BigEndian.Uint16(data[10+2*(contours-1):])) + 1, true
}

// count returns the points of any glyph, its components' included; each
// component counts for one more, as it costs time even if it is empty.
func (c *glyphCounter) count(g, depth int) (int, error) {
	if n, simple := c.simple(g); simple {
		return n, nil
	}
	switch n := c.points[g]; {
	case n > 0:
		return int(n - 1), nil
	case n < 0:
		return 0, fmt.Errorf("glyph %d contains itself", g)
	case depth > maxGlyphDepth:
		return 0, fmt.Errorf("glyph %d is composed more than %d deep", g, maxGlyphDepth)
	}
	c.points[g] = -1
	total := 0
	data := c.data(g)[10:]
	for more := true; more && len(data) >= 4; {
		flags, part := binary.BigEndian.Uint16(data), int(binary.BigEndian.Uint16(data[2:]))
		n, err := c.count(part, depth+1)
		if err != nil {
			return 0, err
		}
		if total += n + 1; total > maxGlyphPoints {
			return 0, fmt.Errorf("glyph %d has more than %d points", g, maxGlyphPoints)
		}
		more = flags&moreComponents != 0
		data = data[min(len(data), componentSize(flags)):]
	}
	c.points[g] = int32(total) + 1
	return total, nil
}

// maxGlyphDepth is how deep components may be nested: the OpenType standard's
// maxComponentDepth is 16 at most in fonts in use.
const maxGlyphDepth = 16

// Flags of a component (OpenType, table glyf).
const (
	wordArguments  = 1 << 0
	oneScale       = 1 << 3
	moreComponents = 1 << 5
	twoScales      = 1 << 6
	twoByTwo       = 1 << 7
)

// componentSize returns the bytes that a component takes.
func componentSize(flags uint16) int {
	size := 6
	if flags&wordArguments != 0 {
		size += 2
	}
	switch {
	case flags&oneScale != 0:
		size += 2
	case flags&twoScales != 0:
		size += 4
	case flags&twoByTwo != 0:
		size += 8
	}
	return size
}
