package lettering

import (
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype/tables"
	"github.com/go-text/typesetting/harfbuzz"
)

// The shaper asks a filter, three masks of 64 bits, whether a table may cover
// a glyph before it looks the glyph up. In go-text/typesetting v0.3.5 the
// filter stops taking in ranges of glyphs as soon as any one of its masks is
// full, where it may stop only when all three are. Glyphs after that point are
// taken for not covered and lose their kerning and ligatures: Raleway sets
// "Ty. LTA 1971" 76 units too wide. Here the tables for which that happens are
// given a filter that lets everything through, which is slower and right.

// filter is the shaper's filter, with and without the fault.
type filter [3]uint64

const (
	fullMask = ^uint64(0)
	maskBits = 64
)

// filterShifts are the bits of a glyph index that each mask leaves out.
var filterShifts = [3]uint{4, 0, 6}

func (f *filter) full() (some, every bool) {
	every = true
	for _, m := range f {
		some = some || m == fullMask
		every = every && m == fullMask
	}
	return some, every
}

func (f *filter) add(from, to tables.GlyphID) {
	for k, shift := range filterShifts {
		a, b := from>>shift, to>>shift
		if b-a >= maskBits-1 {
			f[k] = fullMask
			continue
		}
		for g := a; ; g++ {
			f[k] |= 1 << (g % maskBits)
			if g == b {
				break
			}
		}
	}
}

// cover takes in a table's glyphs; faulty follows the shaper.
func (f *filter) cover(c tables.Coverage, faulty bool) {
	switch c := c.(type) {
	case tables.Coverage1:
		for _, g := range c.Glyphs {
			f.add(g, g)
		}
	case tables.Coverage2:
		for _, r := range c.Ranges {
			if some, every := f.full(); every || faulty && some {
				return
			}
			f.add(r.StartGlyphID, r.EndGlyphID)
		}
	}
}

// loses reports whether the shaper's filter over these tables misses glyphs.
func loses(coverages []tables.Coverage) bool {
	var right, faulty filter
	for _, c := range coverages {
		right.cover(c, false)
		faulty.cover(c, true)
	}
	return right != faulty
}

// everything is a range that fills all three masks and that no glyph is in:
// 0xFFFF, its only member by the shaper's search, is never a glyph.
var everything = tables.RangeRecord{StartGlyphID: 0xFFFF, EndGlyphID: 0x7FFF}

// mendLookups puts a table that covers nothing, but opens the filter, before
// the tables of every lookup whose common filter misses glyphs, and returns
// the coverages whose own filter does.
func mendLookups(f *font.Font) (lossy []tables.Coverage2) {
	check := func(coverages []tables.Coverage) bool {
		for _, c := range coverages {
			if c, ok := c.(tables.Coverage2); ok && loses([]tables.Coverage{c}) {
				lossy = append(lossy, c)
			}
		}
		return loses(coverages)
	}
	opener := func() tables.Coverage { return tables.Coverage2{Ranges: []tables.RangeRecord{everything}} }
	for i := range f.GSUB.Lookups {
		l := &f.GSUB.Lookups[i]
		var coverages []tables.Coverage
		reverse := false
		for _, t := range l.Subtables {
			coverages = append(coverages, t.Cov())
			_, reverse = t.(tables.ReverseChainSingleSubs)
		}
		// The kind of the first table decides which way a lookup runs, so
		// nothing is put before the rare ones that run backwards.
		if check(coverages) && !reverse {
			open := tables.SingleSubs{Data: tables.SingleSubstData1{Coverage: opener()}}
			l.Subtables = append([]tables.GSUBLookup{open}, l.Subtables...)
		}
	}
	for i := range f.GPOS.Lookups {
		l := &f.GPOS.Lookups[i]
		var coverages []tables.Coverage
		for _, t := range l.Subtables {
			coverages = append(coverages, t.Cov())
		}
		if check(coverages) {
			l.Subtables = append([]tables.GPOSLookup{tables.MarkLigPos{MarkCoverage: opener()}}, l.Subtables...)
		}
	}
	return lossy
}

// newHarfbuzzFont returns a shaping font for face. The filters are made in
// there, so for that moment the lossy coverages start with a range that opens
// them. No other goroutine may be shaping in f.
func (f *Font) newHarfbuzzFont(face *font.Face) *harfbuzz.Font {
	first := make([]tables.RangeRecord, len(f.lossy))
	for i, c := range f.lossy {
		first[i], c.Ranges[0] = c.Ranges[0], everything
	}
	defer func() { // also when the tables make NewFont panic
		for i, c := range f.lossy {
			c.Ranges[0] = first[i]
		}
	}()
	return harfbuzz.NewFont(face)
}
