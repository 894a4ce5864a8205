package weedability

import (
	"github.com/vinylgeom/vinyl/outline"
)

// Report is what [Inspect] found. Positions are millimetres in the decal's own
// coordinates, y up; lists are never nil and run in a stable order.
type Report struct {
	Film     string    // name of the limits
	Counters []Counter // all enclosed waste, at any depth, in walking order of the picks
	Islands  []Island  // all separate pieces of film, those in counters included
	Waste    Waste     // the sheet that is peeled off
	Pull     Pull      // how to peel it; then the counters are picked in their order
	Findings []Finding // what breaks a limit, the severest first
	// WeedMinutes is an estimate, made by [Options].Effort from Work; a shop's log of
	// Work and minutes is what [FitEffort] takes.
	WeedMinutes float64
	Work        Work
	// WeedLines are the relief cuts that [WeedLines] proposes with its usual
	// options, none where Options.OmitWeedLines is set; never nil.
	WeedLines []WeedLine
}

// Counter is a piece of waste enclosed by film.
type Counter struct {
	Number   int           // from 1, in the order of picking
	At       outline.Point // centre of its largest inscribed circle
	Area     float64       // square millimetres, less the islands in it
	Width    float64       // millimetres, diameter of that circle
	Pickable bool          // whether it is wide enough for a pick tool (counter width, tier warn)
	Contour  int           // index of the path's contour that bounds it
	Islands  int           // islands that lie in it
	Of       string        // what it is part of, such as "the A of MARLOW"
}

// Island is a separate piece of film.
type Island struct {
	Number   int           // from 1, in the order of the path's contours
	At       outline.Point // centre of its largest inscribed circle
	Area     float64       // square millimetres of film and adhesive
	Width    float64       // millimetres, diameter of that circle
	Lift     Lift          // the severest of the limits on area and width that it breaks
	Contour  int           // index of the path's contour that bounds it
	Counters int           // counters that it has
	Inside   bool          // whether it lies in a counter
	Of       string        // what it is part of, such as "the A of MARLOW"
}

// Lift is how likely an island comes up with the waste.
type Lift uint8

// The risks of lifting.
const (
	LiftUnlikely Lift = iota // area and width keep all limits
	LiftPossible             // below a limit of tier caution
	LiftLikely               // below a limit of tier warn
	LiftCertain              // below a limit of tier refuse
)

var liftNames = [...]string{LiftUnlikely: "unlikely", LiftPossible: "possible", LiftLikely: "likely", LiftCertain: "certain"}

// String returns "unlikely", "possible", "likely" or "certain".
func (l Lift) String() string { return nameOf(l, liftNames[:], "lift") }

// MarshalText writes the risk's name; the error is a [*LimitsError] for a value without one.
func (l Lift) MarshalText() ([]byte, error) { return textOf(l, liftNames[:], "lift") }

// UnmarshalText reads a risk's name. The error is a [*LimitsError].
func (l *Lift) UnmarshalText(text []byte) (err error) {
	*l, err = fromText[Lift](text, liftNames[:], "lift")
	return err
}

// Finding is a place that breaks a limit.
type Finding struct {
	Kind     Kind          // which rule it breaks
	Severity Severity      // and which tier of it
	At       outline.Point // where it is worst, in millimetres
	Value    float64       // measured, in Unit
	Limit    float64       // the limit of the severity's tier, which Value is below
	Unit     string        // "mm" or "mm2"
	Source   string        // where the limit comes from
	Of       string        // what it is part of, such as "the A of MARLOW"
	Remedy   string        // what mends it

	Outline []outline.Curve // the place: a centre line, the border of a piece, the sides of a point
	Length  float64         // millimetres: of a stretch along its centre line, of a point its reach
	Degrees float64         // the angle between the sides of a point, in degrees
	Number  int             // from 1, of the counter or island that it is about, else 0
	Label   string          // on a proof, such as "S3"; see Markers
	// SafeScale is the scale at which this one measurement would keep every tier of its limit; 0
	// where no size cures it. How large the whole design has to be is [SmallestSafeSize]'s to say.
	SafeScale float64
}

// Count returns the number of findings of a kind.
func (r Report) Count(k Kind) int {
	n := 0
	for _, f := range r.Findings {
		if f.Kind == k {
			n++
		}
	}
	return n
}
