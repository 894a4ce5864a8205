package nest

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/units"
)

// grainTolerance is how far from the grain, in radians, an allowed rotation may bring a piece: more than rounding, less
// than anyone sees.
const grainTolerance = 1e-6

// allowedAngles lists the rotations a piece may have, canonical and without repeats; nil stands for any.
func (j *job) allowedAngles(p Piece, mirrored bool) ([]float64, error) {
	list := []units.Angle{0}
	switch p.Rotations.Mode {
	case RotateHalf:
		list = []units.Angle{0, 180 * units.Degree}
	case RotateQuarter:
		list = []units.Angle{0, 90 * units.Degree, 180 * units.Degree, 270 * units.Degree}
	case RotateList:
		list = p.Rotations.List
	case RotateAny:
		if p.Grain.Mode == GrainFree {
			return nil, nil
		}
		turn := -grainDirection(p, mirrored)
		list = []units.Angle{units.Angle(turn), units.Angle(turn) + 180*units.Degree}
	}
	var angles []float64
	for _, a := range list {
		c := float64(canonical(a))
		if followsGrain(p, mirrored, c) && !slices.Contains(angles, c) {
			angles = append(angles, c)
		}
	}
	if len(angles) == 0 {
		return nil, &InputError{fmt.Sprintf("piece %q: Grain", p.ID), "no allowed rotation brings it along the film", "allow more rotations or change Grain.Direction", ErrBadNumber}
	}
	return angles, nil
}

// grainDirection is the direction that has to lie along the grain in the piece, mirrored if so.
func grainDirection(p Piece, mirrored bool) float64 {
	if mirrored {
		return math.Pi - float64(p.Grain.Direction)
	}
	return float64(p.Grain.Direction)
}

// followsGrain reports whether a rotation satisfies the grain.
func followsGrain(p Piece, mirrored bool, angle float64) bool {
	period := 2 * math.Pi
	switch p.Grain.Mode {
	case GrainFree:
		return true
	case GrainAlong:
		period = math.Pi
	}
	return math.Abs(math.Remainder(angle+grainDirection(p, mirrored), period)) < grainTolerance
}

// angleSteps is how many angles of a full turn are tried to find out whether a piece that may be turned freely fits a load.
const angleSteps = 720

// fitRounding is the relative rounding granted when a size is compared with a usable width or length, both of which are sums.
const fitRounding = 0x1p-50

// fittingAngles leaves the angles at which a piece fits the film, or says what would be needed.
func (j *job) fittingAngles(p Piece, outline orb.MultiPolygon, angles []float64) ([]float64, error) {
	if len(j.strip.Leftover) > 0 {
		return angles, nil
	}
	hull := hullOf(outline)
	wide, long := float64(j.strip.usableWidth()), j.strip.usableMM()
	wide += fitRounding * wide
	long += fitRounding * long
	try := angles
	if angles == nil {
		narrow := hull.leastWidth()
		try = []float64{narrow.angle, narrow.angle + math.Pi/2}
		for i := range angleSteps {
			try = append(try, float64(i)*2*math.Pi/angleSteps)
		}
	}
	leastWide, leastLong := math.Inf(1), math.Inf(1)
	var fitting []float64
	for _, a := range try {
		w, h := hull.size(a)
		leastWide = min(leastWide, h)
		if h <= wide {
			leastLong = min(leastLong, w)
			if w <= long {
				fitting = append(fitting, a)
			}
		}
	}
	switch {
	case leastWide > wide:
		return nil, &SizeError{Piece: p.ID, Needed: units.Length(leastWide) + j.strip.Margins.Bottom + j.strip.Margins.Top, Have: j.strip.Width}
	case len(fitting) == 0:
		return nil, &SizeError{Piece: p.ID, Needed: units.Length(leastLong + j.strip.startMM() + j.strip.endMM()), Have: j.strip.MaxLength, Along: true}
	case angles == nil:
		return nil, nil
	}
	return fitting, nil
}
