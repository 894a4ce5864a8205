package cutpath

import (
	"fmt"
	"math"
	"strings"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// SharpCorners tells how the knife gets round corners.
type SharpCorners uint8

const (
	// Swivel leaves the knife down and swings its axis about the corner.
	Swivel SharpCorners = iota
	// LiftAndTurn lifts it at corners that turn by LiftAngle or more and puts
	// it down again in the new direction. Only for machines that turn the
	// knife themselves: a blade that swivels freely keeps its direction in the
	// air.
	LiftAndTurn
)

// String names the way.
func (s SharpCorners) String() string {
	switch s {
	case Swivel:
		return "swivel"
	case LiftAndTurn:
		return "lift and turn"
	}
	return "unknown way round corners"
}

// Knife is a blade in its holder. The zero Knife cuts exactly where the axis
// goes.
type Knife struct {
	// Offset is how far the tip trails the swivel axis: a figure that comes
	// with the blade, 0.175 to 1 mm among blades on sale (blades.uk.com),
	// never computed from its angle. At most MaxBladeOffset.
	Offset units.Length
	// Overcut is how far a closed contour is cut past its start, so that start
	// and end meet. At least Offset; 0.3 to 1 mm is usual (common practice, no
	// source).
	Overcut units.Length
	// CornerAngle is the turn from which a corner is swung round in an arc;
	// below it the axis goes straight across. Zero: DefaultCornerAngle.
	CornerAngle units.Angle
	Sharp       SharpCorners
	// LiftAngle is the least turn for LiftAndTurn; zero: 60°.
	LiftAngle units.Angle
	// Heading is the blade's direction, from tip to axis, before the first
	// stroke; the zero value is along the film. Nobody knows it: a test piece
	// cut first makes it certain for all that follows.
	Heading units.Angle
}

// DefaultCornerAngle turns the axis straight across corners that move the tip
// by less than 0.002 mm for a blade offset of 0.5 mm: offset·(1 − cos(α/2)).
const DefaultCornerAngle = 10 * units.Degree

// MaxBladeOffset bounds Knife.Offset: ten times the largest among blades on sale.
const MaxBladeOffset = 10 * units.Millimetre

// leastTolerance is far finer than any machine steps; below it a corner would
// be swung round in millions of chords.
const leastTolerance units.Length = 1e-8

// defaultLiftAngle is where swinging a blade begins to tear at film (common
// practice, no source).
const defaultLiftAngle = 60 * units.Degree

// Device is what a shop knows about its machine and blade. The zero Device
// changes nothing.
type Device struct {
	Name  string
	Knife Knife

	// ScaleX and ScaleY correct the machine's lengths along the film and
	// across it; zero is 1. MeasuredScale gives them from a bar that was cut
	// and measured.
	ScaleX, ScaleY float64

	// Tolerance bounds the deviation of the compensated way and of joined
	// lines; zero: outline.DefaultTolerance.
	Tolerance units.Length
	// MinSegment turns curves into chords and joins those shorter than this to
	// their neighbours wherever Tolerance allows, so that the machine does not
	// stutter. Zero: curves stay curves, and lines are joined only where they
	// are straight.
	MinSegment units.Length
}

// MeasuredScale returns the factor for a machine that cut a bar of the length
// asked with the length measured: 200 mm that came out as 199.5 mm want 1.0025.
// A factor off by more than a tenth is taken for a mistake in measuring.
func MeasuredScale(asked, measured units.Length) (float64, error) {
	k := float64(asked / measured)
	if !(math.Abs(k-1) <= maxScaleError) {
		return 0, optionError("scale", fmt.Sprintf("asked for %v, measured %v", asked, measured), "measure again, in the same unit")
	}
	return k, nil
}

// maxScaleError is the greatest share by which a machine may be off.
const maxScaleError = 0.1

func (d Device) filled() (Device, error) {
	bad := func(name string, v any, fix string) (Device, error) {
		return Device{}, optionError(strings.TrimSpace("device "+d.Name), fmt.Sprintf("%s is %v", name, v), fix)
	}
	finite := func(v float64) bool { return v >= 0 && !math.IsInf(v, 0) }
	switch k := d.Knife; {
	case !(k.Offset >= 0 && k.Offset <= MaxBladeOffset):
		return bad("Knife.Offset", k.Offset, fmt.Sprintf("give zero to %v", MaxBladeOffset))
	case !finite(float64(k.Overcut)):
		return bad("Knife.Overcut", k.Overcut, "give zero or more")
	case !finite(float64(k.CornerAngle)) || k.CornerAngle > math.Pi:
		return bad("Knife.CornerAngle", k.CornerAngle, "give 0 to 180 degrees")
	case !finite(float64(k.LiftAngle)) || k.LiftAngle > math.Pi:
		return bad("Knife.LiftAngle", k.LiftAngle, "give 0 to 180 degrees")
	case k.Sharp > LiftAndTurn:
		return bad("Knife.Sharp", uint8(k.Sharp), "use Swivel or LiftAndTurn")
	case math.IsNaN(float64(k.Heading)) || math.IsInf(float64(k.Heading), 0):
		return bad("Knife.Heading", k.Heading, "give an angle")
	case d.Tolerance != 0 && !(d.Tolerance >= leastTolerance && d.Tolerance.IsFinite()):
		return bad("Tolerance", d.Tolerance, fmt.Sprintf("give zero for the usual, or %v or more", leastTolerance))
	case !finite(float64(d.MinSegment)):
		return bad("MinSegment", d.MinSegment, "give zero or more")
	}
	for _, s := range []*float64{&d.ScaleX, &d.ScaleY} {
		if *s == 0 {
			*s = 1
		}
		if !(math.Abs(*s-1) <= maxScaleError) {
			return bad("scale", *s, "give a factor near 1, from MeasuredScale")
		}
	}
	if d.Tolerance == 0 {
		d.Tolerance = outline.DefaultTolerance
	}
	if d.Knife.CornerAngle == 0 {
		d.Knife.CornerAngle = DefaultCornerAngle
	}
	if d.Knife.LiftAngle == 0 {
		d.Knife.LiftAngle = defaultLiftAngle
	}
	return d, nil
}

// joined returns the curve with short lines joined. Where a least length is
// asked for, curved segments become chords first; each step has half the
// tolerance.
func (d Device) joined(c outline.Curve) outline.Curve {
	if d.MinSegment == 0 {
		return join(c, float64(d.Tolerance), 0)
	}
	return join(outline.Polyline(c.Flatten(nil, d.Tolerance/2)...), float64(d.Tolerance)/2, float64(d.MinSegment))
}

// For returns the job as the device must be driven: contours cut past their
// start, the swivel axis led so that the tip follows the artwork, short lines
// joined, lengths and Home corrected by the scale. j is not modified. Strokes
// that are Prepared already are an error, and so is a contour too small for the
// knife. The error is an [*Error], [ErrTooLarge] where the way would have more
// than [MaxNodes].
func (j Job) For(d Device) (Job, error) {
	d, err := d.filled()
	if err != nil {
		return Job{}, err
	}
	out := j
	out.Strokes = make([]Stroke, 0, len(j.Strokes))
	out.places = nil // the way's ends are no longer places on the artwork
	w := newKnifeWay(d)
	scale := outline.Scale(d.ScaleX, d.ScaleY)
	out.Home = scale.Apply(j.Home)
	made := 0 // nodes
	for _, s := range j.Strokes {
		if s.Prepared {
			return Job{}, strokeError("compensate", j.Name, s, s.Curve.Start, ErrInvalidOption, "the stroke is prepared already", "start from the plan")
		}
		parts, err := w.stroke(j.Name, s)
		if err != nil {
			return Job{}, err
		}
		for _, c := range parts {
			t := s
			t.Prepared = true
			t.Curve = d.joined(c)
			if made += len(t.Curve.Segments); made > MaxNodes {
				return Job{}, tooLarge("compensate", j.Name, fmt.Sprintf("more than %d nodes within a tolerance of %v", MaxNodes, d.Tolerance))
			}
			if d.ScaleX != 1 || d.ScaleY != 1 {
				t.Curve = t.Curve.Transform(scale)
			}
			out.Strokes = append(out.Strokes, t)
		}
	}
	return out, nil
}
