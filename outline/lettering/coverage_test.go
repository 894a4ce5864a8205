package lettering

import (
	"testing"

	"github.com/go-text/typesetting/font/opentype/tables"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/units"
)

// kernByTables looks a pair up in the font's GPOS lookups one after the other,
// without the shaper and its filters. The fonts it is used for keep their pair
// kerning in the lookups given.
func kernByTables(f *Font, lookups []int, a, b uint16) (kern float64) {
	for _, i := range lookups {
	subtables:
		for _, s := range f.face.GPOS.Lookups[i].Subtables {
			pair, ok := s.(tables.PairPos)
			if !ok {
				continue
			}
			index, ok := pair.Cov().Index(a)
			if !ok {
				continue
			}
			switch d := pair.Data.(type) {
			case tables.PairPosData1:
				if r, ok := d.PairSets[index].FindGlyph(b); ok {
					kern += float64(r.ValueRecord1.XAdvance)
					break subtables
				}
			case tables.PairPosData2:
				if second, ok := d.ClassDef2.Class(b); ok {
					first, _ := d.ClassDef1.Class(a)
					kern += float64(d.Record(first, second).ValueRecord1.XAdvance)
					break subtables
				}
			}
		}
	}
	return kern
}

// Every pair of letters is kerned as the font's tables say: no filter of the
// shaper loses one.
func TestEveryPairIsKerned(t *testing.T) {
	const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz.,-'&"
	f := testFont(t, "typesetting-utils common/Raleway-v4020-Regular.otf")
	var lookups []int
	for _, feature := range f.face.GPOS.Features {
		if feature.Tag.String() == "kern" {
			for _, l := range feature.LookupListIndices {
				lookups = append(lookups, int(l))
			}
			break // the first is the default language's; all agree in this font
		}
	}
	require.NotEmpty(t, lookups)
	opt := Options{Fonts: []*Font{f}, Height: units.Length(f.upem), HeightOf: EmHeight, NoLigatures: true}
	face := f.newFace()
	kerned := 0
	for _, a := range letters {
		for _, b := range letters {
			text := mustSet(t, string(a)+string(b), opt)
			ga, gb := text.Glyphs[0].ID, text.Glyphs[1].ID
			want := kernByTables(f, lookups, uint16(ga), uint16(gb))
			got := float64(text.Glyphs[0].Advance) - float64(face.HorizontalAdvance(fontGID(ga)))
			assert.InDelta(t, want, got, 1e-9, "%c%c", a, b)
			if want != 0 {
				kerned++
			}
		}
	}
	assert.Greater(t, kerned, 500)
	assert.NotEmpty(t, f.lossy, "the font is one of those that the shaper's filter loses glyphs of")
}

// The filter of a lossy table takes in all of its glyphs while the shaper is
// made, and the table is as before afterwards.
func TestLossyCoverageIsRestored(t *testing.T) {
	f := testFont(t, "typesetting-utils common/Raleway-v4020-Regular.otf")
	require.NotEmpty(t, f.lossy)
	before := make([]tables.RangeRecord, len(f.lossy))
	for i, c := range f.lossy {
		before[i] = c.Ranges[0]
		assert.NotEqual(t, everything, c.Ranges[0])
	}
	f.newHarfbuzzFont(f.newFace())
	for i, c := range f.lossy {
		assert.Equal(t, before[i], c.Ranges[0])
	}
	opener := tables.Coverage2{Ranges: []tables.RangeRecord{everything}}
	for g := range tables.GlyphID(0xFFFF) {
		if _, ok := opener.Index(g); ok {
			t.Fatalf("glyph %d is covered", g)
		}
	}
	var open filter
	open.cover(opener, true)
	_, every := open.full()
	assert.True(t, every, "the range fills all masks")
}
