package outline

import (
	"github.com/peterstace/simplefeatures/geom"
	"github.com/vinylgeom/vinyl/units"
)

// FillRule tells which points a path with overlapping contours fills.
type FillRule uint8

// The fill rules.
const (
	NonZero FillRule = iota // wherever the contours' turns around a point do not cancel
	EvenOdd                 // wherever a ray crosses the contours an odd number of times
)

// String names the rule.
func (r FillRule) String() string {
	switch r {
	case NonZero:
		return "non-zero"
	case EvenOdd:
		return "even-odd"
	}
	return "unknown fill rule"
}

// BooleanOptions refine the boolean operations. The zero value is useful.
type BooleanOptions struct {
	Tolerance units.Length   // largest deviation from the exact result; zero: DefaultTolerance
	FillRule  FillRule       // how the input's contours are meant
	MinArea   units.Area     // contours below are dropped; zero: DefaultMinArea, negative: none
	Report    *BooleanReport // filled in if not nil
}

// BooleanReport tells what a boolean operation met and did.
type BooleanReport struct {
	NodesIn   int        // segments of the input
	NodesOut  int        // segments of the result
	Crossings int        // places where borders cross or touch
	Specks    int        // contours dropped for their area
	SpeckArea units.Area // what they enclosed
}

// Weld returns the union of paths.
func Weld(paths []Path, opt BooleanOptions) (Path, error) {
	return combine("weld", paths, opt, func(gs []geom.Geometry) (geom.Geometry, error) { return geom.UnionMany(gs) })
}

// Subtract returns what is left of from where cut is taken away.
func Subtract(from Path, cut []Path, opt BooleanOptions) (Path, error) {
	return combine("subtract", append([]Path{from}, cut...), opt, func(gs []geom.Geometry) (geom.Geometry, error) {
		if len(gs) == 1 {
			return gs[0], nil
		}
		rest, err := geom.UnionMany(gs[1:])
		if err != nil {
			return rest, err
		}
		return geom.Difference(gs[0], rest)
	})
}

// Intersect returns what lies in every one of paths.
func Intersect(paths []Path, opt BooleanOptions) (Path, error) {
	return combine("intersect", paths, opt, func(gs []geom.Geometry) (geom.Geometry, error) {
		return fold(gs, geom.Intersection)
	})
}

// SymmetricDifference returns what lies in an odd number of paths.
func SymmetricDifference(paths []Path, opt BooleanOptions) (Path, error) {
	return combine("symmetric difference", paths, opt, func(gs []geom.Geometry) (geom.Geometry, error) {
		return fold(gs, geom.SymmetricDifference)
	})
}

func fold(gs []geom.Geometry, op func(a, b geom.Geometry) (geom.Geometry, error)) (geom.Geometry, error) {
	if len(gs) == 0 {
		return geom.Geometry{}, nil
	}
	g := gs[0]
	for _, h := range gs[1:] {
		var err error
		if g, err = op(g, h); err != nil {
			return g, err
		}
	}
	return g, nil
}

func combine(op string, paths []Path, opt BooleanOptions, f func([]geom.Geometry) (geom.Geometry, error)) (Path, error) {
	gs := make([]geom.Geometry, 0, len(paths))
	for _, p := range paths {
		if err := p.check(op); err != nil {
			return nil, err
		}
		g, err := nonZeroGeom(p, opt)
		if err != nil {
			return nil, &PathError{op, -1, -1, Point{}, err, "weld fewer shapes at once"}
		}
		gs = append(gs, g)
	}
	g, err := overlay(func() (geom.Geometry, error) { return f(gs) })
	if err != nil {
		return nil, &PathError{op, -1, -1, Point{}, err, "weld fewer shapes at once"}
	}
	return FromMultiPolygon(fromGeom(g)), nil
}
