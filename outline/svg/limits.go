package svg

// What one file may ask for, so that a hostile one costs little. Beyond any of
// them the answer is a [*ReadError] that wraps [ErrLimit].
const (
	// MaxBytes bounds the file.
	MaxBytes = 64 << 20
	// MaxElements bounds the elements of the file.
	MaxElements = 250_000
	// MaxAttributeBytes bounds the names and values of one element's attributes.
	MaxAttributeBytes = 32 << 20
	// MaxDepth bounds how deep elements may be nested.
	MaxDepth = 200
	// MaxUseDepth bounds how deep use elements may lead to others.
	MaxUseDepth = 20
	// MaxDrawn bounds the elements drawn, each counted again for every use.
	MaxDrawn = 500_000
	// MaxNodes bounds the segments of all shapes together.
	MaxNodes = 4_000_000
	// MaxRules bounds the class rules of style elements.
	MaxRules = 2_000
	// MaxDashes bounds the dashes of all strokes together.
	MaxDashes = 100_000
	// MaxCoordinate bounds every coordinate, in millimetres or in the
	// drawing's own units: a kilometre.
	MaxCoordinate = 1e6
	// MaxWarnings bounds the warnings kept; the last one then tells how many
	// more there were.
	MaxWarnings = 200
)
