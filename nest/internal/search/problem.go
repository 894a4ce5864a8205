package search

import (
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"
)

// Problem is what has to be placed, and where.
type Problem struct {
	// Width of the strip: every outline must lie in 0 <= y <= Width, x >= 0.
	Width float64
	// Shapes are outlines about their own origin, welded: outer rings, holes,
	// several polygons move together. Ring direction and closing point do not
	// matter.
	Shapes []orb.MultiPolygon
	// Pieces to be placed; copies are repeated Pieces with the same Shape.
	Pieces []Piece
	// MaxLength bounds the strip in x; 0 means no bound.
	MaxLength float64
	// Obstacles are immovable, in strip coordinates: fixed pieces, forbidden
	// zones, what lies outside an irregular leftover.
	Obstacles orb.MultiPolygon
	// Start, if it has as many poses as there are pieces, is where the search
	// begins. It may overlap.
	Start []Pose
}

// Piece is one thing to place.
type Piece struct {
	// Shape is an index into Problem.Shapes.
	Shape int
	// Angles allowed, radians counter-clockwise; nil means any angle.
	Angles []float64
}

// Pose turns a shape by Angle radians counter-clockwise about its own origin
// and then shifts it by (X, Y).
type Pose struct{ X, Y, Angle float64 }

// Options bound and steer a search. The zero value searches until the context
// is done.
type Options struct {
	// Seed chooses the random numbers; the same seed and Iterations give the
	// same Solution on any number of Workers (unless Deadline cuts it short).
	Seed uint64
	// Iterations bounds the passes over the colliding pieces that each of the
	// two searches may make; 0 means no bound.
	Iterations int
	// Workers is the number of goroutines that compute; 0 means GOMAXPROCS.
	Workers int
	// Deadline ends the search; zero means no bound. Building of tables counts.
	Deadline time.Time
	// Progress, if set, is told about every improvement. It is called from one
	// goroutine at a time.
	Progress func(Progress)
}

// Progress is an improvement of the layout.
type Progress struct {
	Length     float64
	Elapsed    time.Duration
	Iterations int
	// Poses is the layout itself; the receiver may keep it.
	Poses []Pose
}

// Solution is a layout without overlap.
type Solution struct {
	// Poses, one for each of Problem.Pieces.
	Poses []Pose
	// Length is the largest x of any placed piece.
	Length float64
	// Iterations are the passes made, over all searches.
	Iterations int
	// First is the time until the first complete layout, FirstLength its length.
	First       time.Duration
	FirstLength float64

	evaluations int64
}

// Sentinels wrapped by ProblemError.
var (
	// ErrTooWide: a shape does not fit across the strip at any allowed angle.
	ErrTooWide = errors.New("piece is too wide for the strip")
	// ErrTooLong: a shape does not fit within MaxLength at any allowed angle.
	ErrTooLong = errors.New("piece is too long for the load")
	// ErrOutline: a shape has no area, or a coordinate is not a finite number.
	ErrOutline = errors.New("outline has no area or a coordinate that is not finite")
	// ErrNoRoom: no layout was found within MaxLength.
	ErrNoRoom = errors.New("no layout found within the length allowed")
	// ErrProblem: a number of the problem itself is out of range.
	ErrProblem = errors.New("problem is not well formed")
)

// ProblemError says which piece cannot be placed and why.
type ProblemError struct {
	// Piece is an index into Problem.Pieces, -1 if it concerns all.
	Piece int
	// Need is the width (ErrTooWide) or length (ErrTooLong) it would take.
	Need float64
	Err  error
}

func (e *ProblemError) Error() string {
	switch {
	case e.Piece < 0:
		return fmt.Sprintf("search: %v", e.Err)
	case e.Need > 0:
		return fmt.Sprintf("search: piece %d: %v: it needs %.6g", e.Piece, e.Err, e.Need)
	default:
		return fmt.Sprintf("search: piece %d: %v", e.Piece, e.Err)
	}
}

// Unwrap gives the sentinel.
func (e *ProblemError) Unwrap() error { return e.Err }

// check finds what makes a problem senseless before any geometry is done.
func (p *Problem) check() error {
	if !(p.Width > 0) || math.IsInf(p.Width, 0) || math.IsNaN(p.MaxLength) || p.MaxLength < 0 {
		return &ProblemError{Piece: -1, Err: ErrProblem}
	}
	for i, pc := range p.Pieces {
		if pc.Shape < 0 || pc.Shape >= len(p.Shapes) || (pc.Angles != nil && len(pc.Angles) == 0) {
			return &ProblemError{Piece: i, Err: ErrProblem}
		}
		for _, a := range pc.Angles {
			if math.IsNaN(a) || math.IsInf(a, 0) {
				return &ProblemError{Piece: i, Err: ErrProblem}
			}
		}
	}
	for i, pc := range p.Pieces {
		for _, poly := range p.Shapes[pc.Shape] {
			for _, ring := range poly {
				for _, v := range ring {
					if math.IsNaN(v[0]+v[1]) || math.IsInf(v[0], 0) || math.IsInf(v[1], 0) {
						return &ProblemError{Piece: i, Err: ErrOutline}
					}
				}
			}
		}
	}
	return nil
}
