package nest

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest/internal/grow"
	"github.com/vinylgeom/vinyl/nest/internal/verify"
	"github.com/vinylgeom/vinyl/units"
)

// Limits of what is taken as input: beyond these something went wrong upstream, such as a missing unit. The error is an
// [*InputError] that wraps [ErrTooMany], or [ErrBadNumber] for a single number.
const (
	MaxCopies    = 1_000_000 // of all pieces together
	MaxVertices  = 4 << 20   // of all outlines together, each piece's counted once; also of a leftover and of forbidden places
	MaxRotations = 3600      // of one piece in mode [RotateList]: a tenth of a degree apart

	// MaxCoordinate bounds coordinates and lengths, in millimetres: a thousand kilometres.
	MaxCoordinate = 1e9

	maxLoads = 1000000

	maxIterations = 1 << 40 // more than a machine lives to see; products with it stay integers
)

// checkInput finds numbers and outlines that no layout can be made with.
func checkInput(strip Strip, pieces []Piece, options Options) error {
	if err := checkStrip(strip); err != nil {
		return err
	}
	if options.Iterations < 0 || options.Iterations > maxIterations {
		return &InputError{"Options.Iterations", fmt.Sprint(options.Iterations), "give a number of passes, or a Budget of time instead", ErrBadNumber}
	}
	if options.Workers < 0 {
		return &InputError{"Options.Workers", fmt.Sprint(options.Workers), "use zero for all processors", ErrBadNumber}
	}
	seen := map[string]bool{}
	copies, vertices := 0, 0
	for i, p := range pieces {
		switch {
		case p.ID == "":
			return &InputError{fmt.Sprintf("pieces[%d]", i), "the ID is empty", "give every piece a name", ErrBadOutline}
		case seen[p.ID]:
			return &InputError{fmt.Sprintf("piece %q", p.ID), "two pieces have this ID", "give every piece a name of its own, and use Count for copies", ErrBadOutline}
		}
		seen[p.ID] = true
		if p.count() > MaxCopies-copies {
			return &InputError{fmt.Sprintf("piece %q: Count", p.ID), fmt.Sprintf("more than %d copies in all", MaxCopies), "split the order", ErrTooMany}
		}
		if vertices += grow.Vertices(p.Outline); vertices > MaxVertices {
			return &InputError{fmt.Sprintf("piece %q: Outline", p.ID), fmt.Sprintf("more than %d vertices in all", MaxVertices), "simplify the outlines or split the order", ErrTooMany}
		}
		if err := checkPiece(p); err != nil {
			return err
		}
		copies += p.count()
	}
	return nil
}

func checkStrip(s Strip) error {
	for _, f := range []struct {
		name  string
		value units.Length
	}{
		{"Width", s.Width}, {"Gap", s.Gap}, {"TrimAllowance", s.TrimAllowance}, {"Lead", s.Lead}, {"Tail", s.Tail},
		{"MaxLength", s.MaxLength}, {"Margins.Bottom", s.Margins.Bottom}, {"Margins.Top", s.Margins.Top},
		{"Margins.Start", s.Margins.Start}, {"Margins.End", s.Margins.End},
	} {
		if !(f.value >= 0) || f.value > MaxCoordinate {
			return &InputError{"Strip." + f.name, f.value.String(), fmt.Sprintf("give a length of zero or more, up to %g mm", MaxCoordinate), ErrBadNumber}
		}
	}
	if s.MaxLoads < 0 {
		return &InputError{"Strip.MaxLoads", fmt.Sprint(s.MaxLoads), "use zero for as many as needed", ErrBadNumber}
	}
	if len(s.Forbidden) > 0 {
		if err := checkOutline("Strip.Forbidden", s.Forbidden); err != nil {
			return err
		}
	}
	if len(s.Leftover) > 0 {
		return checkOutline("Strip.Leftover", s.Leftover)
	}
	if s.Width == 0 {
		return &InputError{"Strip.Width", s.Width.String(), "give the width of the film", ErrBadNumber}
	}
	if s.usableWidth() <= 0 {
		return &InputError{"Strip.Margins", fmt.Sprintf("bottom %v and top %v leave nothing of a film %v wide", s.Margins.Bottom, s.Margins.Top, s.Width),
			"use wider film or smaller margins", ErrBadNumber}
	}
	if s.MaxLength > 0 && s.usableMM() <= 0 {
		return &InputError{"Strip.MaxLength", fmt.Sprintf("lead and tail leave nothing of a load of %v", s.MaxLength),
			"allow longer loads or less lead and tail", ErrBadNumber}
	}
	return nil
}

func checkPiece(p Piece) error {
	where := fmt.Sprintf("piece %q", p.ID)
	if p.Count < 0 {
		return &InputError{where + ": Count", fmt.Sprint(p.Count), "give one or more", ErrBadNumber}
	}
	if p.Mirror < MirrorNever || p.Mirror > MirrorAlways {
		return &InputError{where + ": Mirror", p.Mirror.String(), "use one of the named modes", ErrUnknownMode}
	}
	if p.Rotations.Mode < RotateNone || p.Rotations.Mode > RotateAny {
		return &InputError{where + ": Rotations.Mode", p.Rotations.Mode.String(), "use one of the named modes", ErrUnknownMode}
	}
	if (p.Rotations.Mode == RotateList) != (len(p.Rotations.List) > 0) {
		return &InputError{where + ": Rotations.List", fmt.Sprintf("%d angles in mode %q", len(p.Rotations.List), p.Rotations.Mode),
			"give angles in mode RotateList, and only there", ErrBadNumber}
	}
	if n := len(p.Rotations.List); n > MaxRotations {
		return &InputError{where + ": Rotations.List", fmt.Sprintf("%d angles", n), fmt.Sprintf("give at most %d, or use mode RotateAny", MaxRotations), ErrTooMany}
	}
	for _, a := range p.Rotations.List {
		if !(math.Abs(float64(a)) <= maxAngle) {
			return &InputError{where + ": Rotations.List", a.String(), "give angles within a thousand turns", ErrBadNumber}
		}
	}
	if p.Grain.Mode < GrainFree || p.Grain.Mode > GrainOneWay {
		return &InputError{where + ": Grain.Mode", p.Grain.Mode.String(), "use one of the named modes", ErrUnknownMode}
	}
	if !(math.Abs(float64(p.Grain.Direction)) <= maxAngle) {
		return &InputError{where + ": Grain.Direction", p.Grain.Direction.String(), "give an angle within a thousand turns", ErrBadNumber}
	}
	return checkOutline(where+": Outline", p.Outline)
}

// maxAngle keeps the rounding of an angle to degrees harmless.
const maxAngle = 1000 * 2 * math.Pi

// checkOutline finds outlines that are empty, not finite or cross themselves.
func checkOutline(where string, m orb.MultiPolygon) error {
	if n := grow.Vertices(m); n > MaxVertices {
		return &InputError{where, fmt.Sprintf("%d vertices", n), fmt.Sprintf("simplify it to at most %d", MaxVertices), ErrTooMany}
	}
	for i, polygon := range m {
		for k, ring := range polygon {
			for n, v := range ring {
				if !(math.Abs(v[0]) <= MaxCoordinate && math.Abs(v[1]) <= MaxCoordinate) {
					return &InputError{where, fmt.Sprintf("polygon %d, ring %d, vertex %d is at (%v, %v)", i, k, n, v[0], v[1]),
						fmt.Sprintf("give finite coordinates in millimetres, up to %g", MaxCoordinate), ErrBadNumber}
				}
			}
		}
	}
	if !(grow.Area(m) > 0) {
		return &InputError{where, "it has no area", "give a closed outline", ErrBadOutline}
	}
	if at, crossed := verify.Crossing(m); crossed {
		return &InputError{where, fmt.Sprintf("edges cross or run along each other at (%.3f, %.3f) mm", at[0], at[1]), "weld the outline first", ErrBadOutline}
	}
	return nil
}
