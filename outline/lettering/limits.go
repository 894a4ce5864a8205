package lettering

import "github.com/vinylgeom/vinyl/units"

// MaxLength is the largest height, spacing or width of an [Options]: longer
// than any roll of film, and small enough that no coordinate overflows.
const MaxLength = 1000 * units.Metre

// Limits that keep a hostile font or text cheap. Each gives an error that
// wraps [ErrTooLarge].
const (
	// MaxTextBytes is the longest text that is set at once: some twenty full
	// pages, far beyond any decal.
	MaxTextBytes = 1 << 16
	// MaxFontBytes is the largest font file that is read: twice the largest
	// collections of Chinese, Japanese and Korean fonts in use.
	MaxFontBytes = 1 << 28
	// MaxFonts is the largest number of fonts in one list.
	MaxFonts = 32
	// MaxNodes is the largest number of segments that one text may come to.
	MaxNodes = 1 << 22
	// MaxSlant is the largest lean of slanted letters, in degrees.
	MaxSlant = 60
)

// Bounds of the caches that every [Font] keeps.
const (
	// maxCachedTexts is how many shaped texts a font remembers.
	maxCachedTexts = 512
	// maxCachedGlyphs is how many glyphs one remembered text may have.
	maxCachedGlyphs = 1024
	// maxCachedOutlines is how many glyph outlines a font remembers.
	maxCachedOutlines = 4096
	// maxShaperRuns is how many runs a shaper does before its plans, one for
	// each script and language met, are thrown away.
	maxShaperRuns = 10_000
	// maxGlyphNodes is how many segments one glyph may have; the most ornate
	// letters in use have a few thousand.
	maxGlyphNodes = 20_000
)
