package weedability

// Kind is what a finding is about.
type Kind uint8

// The kinds of finding.
const (
	CounterSmall Kind = iota // a counter narrower than the counter limit, mm; below its tier warn no pick tool gets hold of it
	IslandArea               // a separate piece of film with too little adhesive, mm2
	IslandNarrow             // a separate piece of film too narrow everywhere, mm
	StrokeThin               // a stretch of film too narrow, mm
	GapNarrow                // a stretch of waste too narrow between two cuts, mm
	TipSharp                 // a point of film that lifts, mm across at TipLimit.Behind from its end
	WasteNeck                // a place where the waste tears and leaves a loose piece, mm
)

var kindNames = [...]string{
	CounterSmall: "counter-small",
	IslandArea:   "island-area",
	IslandNarrow: "island-narrow",
	StrokeThin:   "stroke-thin",
	GapNarrow:    "gap-narrow",
	TipSharp:     "tip-sharp",
	WasteNeck:    "waste-neck",
}

// Kinds returns all kinds, in the order of their values.
func Kinds() []Kind {
	return []Kind{CounterSmall, IslandArea, IslandNarrow, StrokeThin, GapNarrow, TipSharp, WasteNeck}
}

// String returns the kind's name, such as "stroke-thin".
func (k Kind) String() string { return nameOf(k, kindNames[:], "kind") }

// MarshalText writes the kind's name; the error is a [*LimitsError] for a value without one.
func (k Kind) MarshalText() ([]byte, error) { return textOf(k, kindNames[:], "kind") }

// UnmarshalText reads a kind's name. The error is a [*LimitsError].
func (k *Kind) UnmarshalText(text []byte) (err error) {
	*k, err = fromText[Kind](text, kindNames[:], "kind")
	return err
}
