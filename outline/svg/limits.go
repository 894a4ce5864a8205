package svg

// What one file may ask for, so that a hostile one costs little. Beyond any of
// them the answer is a [*ReadError] that wraps [ErrTooLarge].
const (
	// MaxBytes bounds the file.
	MaxBytes = 64 << 20
	// MaxElements bounds the elements of the file.
	MaxElements = 200_000
	// MaxAttributes and MaxAttributeBytes bound the attributes of one element
	// and their names and values together.
	MaxAttributes     = 1_000
	MaxAttributeBytes = 32 << 20
	// MaxReadBytes bounds the attributes read again for every use.
	MaxReadBytes = 64 << 20
	// MaxDepth bounds how deep elements may be nested.
	MaxDepth = 200
	// MaxUseDepth bounds how deep use elements may lead to others.
	MaxUseDepth = 20
	// MaxDrawn bounds the elements drawn, each counted again for every use.
	MaxDrawn = 200_000
	// MaxNodes bounds the segments of all shapes together.
	MaxNodes = 1_000_000
	// MaxStyleBytes bounds the text of style elements, MaxRules their rules,
	// and MaxApplied how often a rule is applied to an element.
	MaxStyleBytes = 1 << 20
	MaxRules      = 2_000
	MaxApplied    = 1_000_000
	// MaxDashes bounds the dashes of all strokes together.
	MaxDashes = 20_000
	// MaxCrossings bounds how often shapes may cross or touch themselves (a
	// stroke does so some ten times for every segment), and MaxPairs
	// how many pairs of chords are compared to find out.
	MaxCrossings = 500_000
	MaxPairs     = 50_000_000
	// MaxCoordinate bounds every coordinate, in millimetres or in the
	// drawing's own units: a kilometre.
	MaxCoordinate = 1e6
	// MaxWarnings bounds the warnings kept; the last one then tells how many
	// more there were.
	MaxWarnings = 200
)
