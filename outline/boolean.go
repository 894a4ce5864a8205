package outline

import (
	"math"

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

func (r FillRule) filled() func(int32) bool {
	if r == EvenOdd {
		return func(w int32) bool { return w&1 != 0 }
	}
	return func(w int32) bool { return w != 0 }
}

// BooleanOptions refine the boolean operations. The zero value is useful.
type BooleanOptions struct {
	Tolerance units.Length   // largest deviation from the exact result; zero: DefaultTolerance
	FillRule  FillRule       // how every input path's contours are meant
	MinArea   units.Area     // contours below are dropped; zero: DefaultMinArea, negative: none
	Report    *BooleanReport // filled in if not nil
}

// BooleanReport tells what a boolean operation met and did.
type BooleanReport struct {
	NodesIn    int        // segments of the input
	NodesOut   int        // segments of the result
	Crossings  int        // places where borders cross or touch
	KeptChords int        // of them, where chords had to stay because the curves themselves do not cross within the tolerance
	Collapsed  int        // input contours without area, dropped
	Short      int        // input segments of no length that the tolerance could tell, left out: repeated points
	Specks     int        // contours of the result below MinArea, dropped
	SpeckArea  units.Area // what the specks enclosed
}

// Weld returns the union of paths: everything that at least one of them fills.
//
// The results of Weld, [Subtract], [Intersect] and [SymmetricDifference] have
// outer contours counter-clockwise and holes clockwise, and no contour crosses
// itself or another; contours may touch at single points. Where the border runs
// along an input curve, the result has that curve, split where it was cut, with
// its Origin; elsewhere it deviates by the tolerance at most. The order of
// contours is that of the input where nothing meets.
//
// Any finite closed input is understood, whatever its direction, also contours
// that overlap or cross themselves. Errors are a [*PathError] for paths and an
// [*OptionError] for opt.
func Weld(paths []Path, opt BooleanOptions) (Path, error) {
	return combine("weld", paths, opt, func(w int32) bool { return w > 0 }, nil)
}

// Subtract returns what is left of from where all of cut is taken away; see
// [Weld] for the result.
func Subtract(from Path, cut []Path, opt BooleanOptions) (Path, error) {
	paths := append([]Path{from}, cut...)
	return combine("subtract", paths, opt, func(w int32) bool { return w > 0 }, func(i int) bool { return i > 0 })
}

// Intersect returns what lies in every one of paths; see [Weld] for the result.
// No paths give the empty path.
func Intersect(paths []Path, opt BooleanOptions) (Path, error) {
	all := int32(len(paths))
	return combine("intersect", paths, opt, func(w int32) bool { return w >= all && w > 0 }, nil)
}

// SymmetricDifference returns what lies in an odd number of paths; see [Weld]
// for the result.
func SymmetricDifference(paths []Path, opt BooleanOptions) (Path, error) {
	return combine("symmetric difference", paths, opt, func(w int32) bool { return w&1 != 0 }, nil)
}

// combine brings every path to winding numbers 0 and 1, turns those that against
// tells the other way round, and fills by the sum.
func combine(op string, paths []Path, opt BooleanOptions, filled func(int32) bool, against func(i int) bool) (out Path, err error) {
	defer recovered(op, &out, &err)
	if opt.FillRule > EvenOdd {
		return nil, &OptionError{op, "FillRule", opt.FillRule.String(), "use NonZero or EvenOdd"}
	}
	set, err := newChordSet(op, paths, 0, opt.Tolerance)
	if err != nil {
		return nil, err
	}
	var report BooleanReport
	var operands [][]ring
	for _, p := range paths {
		report.NodesIn += p.Nodes()
		rings := make([]ring, 0, len(p))
		for i, c := range p {
			if r := set.ring(c, i); r != nil {
				rings = append(rings, r)
			} else {
				report.Collapsed++
			}
		}
		operands = append(operands, rings)
	}
	var rings []ring
	if len(operands) == 1 {
		// However it is combined, one path is only welded: the sum of one path's turns, filled by its own rule.
		rings, filled = operands[0], opt.FillRule.filled()
	} else {
		for i, operand := range operands {
			simple, _, err := arrange(operand, opt.FillRule.filled())
			if err != nil {
				return nil, &PathError{op, -1, -1, Point{}, err, "please report the shape"}
			}
			for _, r := range simple {
				if against != nil && against(i) {
					r = r.reversed()
				}
				rings = append(rings, r)
			}
		}
	}
	rings, nodes, err := arrange(rings, filled)
	if err != nil {
		return nil, &PathError{op, -1, -1, Point{}, err, "please report the shape"}
	}
	report.Crossings, report.Short = nodes, set.short
	rec := recovery{chordSet: set, corners: map[gridPoint]corner{}}
	least := orDefaultArea(opt.MinArea)
	for _, r := range rings {
		c := rec.contour(r)
		if a := math.Abs(float64(c.Area())); a == 0 || a < float64(least) {
			report.Specks++
			report.SpeckArea += units.Area(a)
			continue
		}
		out = append(out, c)
	}
	report.NodesOut, report.KeptChords = out.Nodes(), rec.kept
	if opt.Report != nil {
		*opt.Report = report
	}
	return out, nil
}

// orDefaultArea returns a, DefaultMinArea where a is zero and 0 where negative.
func orDefaultArea(a units.Area) units.Area {
	switch {
	case a == 0:
		return DefaultMinArea
	case a < 0:
		return 0
	}
	return a
}

// recovered turns a panic, which would be a bug, into an error without a result.
func recovered(op string, out *Path, err *error) {
	if r := recover(); r != nil {
		*out, *err = nil, &PathError{op, -1, -1, Point{}, errNoding, "please report the shape"}
	}
}
