package outline

import (
	"math"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/vinylgeom/vinyl/units"
)

// Corner tells how an offset goes around a corner that sticks out.
type Corner uint8

// The corners.
const (
	CornerRound Corner = iota // an arc about the corner
	CornerMitre               // the sides prolonged until they meet, within the mitre limit
	CornerBevel               // cut straight across
)

// String names the corner.
func (c Corner) String() string {
	switch c {
	case CornerRound:
		return "round"
	case CornerMitre:
		return "mitre"
	case CornerBevel:
		return "bevel"
	}
	return "unknown corner"
}

// DefaultMitreLimit is the mitre limit that OffsetOptions leave at zero: how
// far, in offsets, a mitred corner may reach from the corner it goes around.
const DefaultMitreLimit = 4

// OffsetOptions refine [Offset]. The zero value is useful.
type OffsetOptions struct {
	Corner     Corner
	MitreLimit float64       // for CornerMitre, beyond it the corner is bevelled; zero: DefaultMitreLimit
	Tolerance  units.Length  // largest deviation from the exact offset; zero: DefaultTolerance
	Report     *OffsetReport // filled in if not nil
}

// OffsetReport tells what [Offset] did.
type OffsetReport struct {
	NodesIn  int // segments of the input
	NodesOut int // segments of the result
}

// Offset grows p by d, or shrinks it where d is negative. Offset does not
// modify p.
func Offset(p Path, d units.Length, opt OffsetOptions) (Path, error) {
	if err := p.check("offset"); err != nil {
		return nil, err
	}
	if !d.IsFinite() {
		return nil, &PathError{"offset", -1, -1, Point{}, ErrInvalidOption, "give a finite distance"}
	}
	g, err := nonZeroGeom(p, BooleanOptions{Tolerance: opt.Tolerance})
	if err != nil {
		return nil, &PathError{"offset", -1, -1, Point{}, err, "weld the shape first"}
	}
	limit := opt.MitreLimit
	if limit == 0 {
		limit = DefaultMitreLimit
	}
	quad := 8
	if r := math.Abs(float64(d)); r > 0 {
		if ratio := 1 - float64(orDefault(opt.Tolerance))/r; ratio > 0 {
			quad = max(2, int(math.Ceil(math.Pi/4/math.Acos(ratio))))
		}
	}
	style := map[Corner]geom.BufferOption{CornerRound: geom.BufferJoinStyleRound(), CornerMitre: geom.BufferJoinStyleMitre(limit), CornerBevel: geom.BufferJoinStyleBevel()}[opt.Corner]
	g, err = overlay(func() (geom.Geometry, error) {
		return geom.Buffer(g, float64(d), style, geom.BufferQuadSegments(quad))
	})
	if err != nil {
		return nil, &PathError{"offset", -1, -1, Point{}, err, "weld the shape first"}
	}
	return FromMultiPolygon(fromGeom(g)), nil
}
