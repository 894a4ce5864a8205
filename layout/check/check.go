package check

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Tolerance bounds how far the flattened curves that are compared lie from the
// true ones: a tenth of a plotter unit of 0.025 mm.
const Tolerance units.Length = 0.0025

// Causes that a [Violation] wraps.
var (
	ErrNotFinite = errors.New("a coordinate or a length is not a finite number")
	ErrNotClosed = errors.New("a contour is not closed")
	ErrOverlap   = errors.New("two decals touch or overlap")
	ErrGap       = errors.New("two decals are closer than the gap")
	ErrMargin    = errors.New("a cut is closer to the film's edge than the margin")
	ErrLength    = errors.New("a cut lies outside the load")
	ErrID        = errors.New("two decals have the same id")
	ErrEmpty     = errors.New("a decal has no film")
	ErrBorder    = errors.New("the weed border touches a decal")
	ErrLine      = errors.New("a weed line, a trim line or a mark touches a decal")
	ErrRules     = errors.New("a rule is no length of zero or more")
)

// Violation is one rule that a sheet breaks.
type Violation struct {
	Sheet  string
	Decal  string // id of the first decal concerned; empty: none
	Other  string // id of the second
	Cause  error
	Detail string
}

func (v *Violation) Error() string {
	s := "check: " + v.Sheet
	if v.Decal != "" {
		s += ", decal " + v.Decal
	}
	if v.Other != "" {
		s += " and " + v.Other
	}
	s += ": " + v.Cause.Error()
	if v.Detail != "" {
		s += ": " + v.Detail
	}
	return s
}

// Unwrap returns the cause.
func (v *Violation) Unwrap() error { return v.Cause }

// Rules are what a sheet must keep. The zero value asks only that no two decals
// touch or overlap and nothing leaves the film. A length below zero or that is
// not finite is a [Violation] that wraps [ErrRules]: it would let everything
// pass.
type Rules struct {
	Gap        units.Length // between decals
	EdgeMargin units.Length // from the long edges to any cut
	MaxLength  units.Length // of the load; zero: no limit
	// Shape is the film where it is no plain strip, such as a leftover: every
	// decal lies in it, EdgeMargin from its outline. Empty: the strip.
	Shape outline.Path
}

// Figures are what was measured.
type Figures struct {
	SmallestGap          units.Length // between two decals; +Inf for fewer than two
	SmallestEdgeDistance units.Length // from any cut to a long edge
}

// Sheet measures the sheet and reports every rule that it breaks, joined;
// each is a [*Violation]. A sheet without decals breaks none. The time grows with the
// pairs of decals that are near each other; s is not modified.
func Sheet(s layout.Sheet, rules Rules) (Figures, error) {
	c := checker{sheet: s, rules: rules}
	c.lengths()
	c.shapes()
	c.edges()
	c.shape()
	gap := c.gaps()
	c.lines()
	return Figures{units.Length(gap), s.EdgeDistance()}, errors.Join(c.found...)
}

type checker struct {
	sheet  layout.Sheet
	rules  Rules
	bodies []body
	found  []error
}

func (c *checker) report(cause error, decal, other, detail string) {
	c.found = append(c.found, &Violation{c.sheet.Name, decal, other, cause, detail})
}

// lengths checks the numbers that everything is compared with: no comparison
// with one that is not finite would find anything.
func (c *checker) lengths() {
	for _, l := range []struct {
		name  string
		value units.Length
	}{{"Gap", c.rules.Gap}, {"EdgeMargin", c.rules.EdgeMargin}, {"MaxLength", c.rules.MaxLength}} {
		if !(l.value >= 0) || !l.value.IsFinite() {
			c.report(ErrRules, "", "", fmt.Sprintf("%s is %v", l.name, l.value))
		}
	}
	if !c.sheet.Film.Width.IsFinite() || !c.sheet.Length.IsFinite() {
		c.report(ErrNotFinite, "", "", fmt.Sprintf("the load is %v long on film %v wide", c.sheet.Length, c.sheet.Film.Width))
	}
}

// body is a decal as straight segments.
type body struct {
	id       string
	segments [][2]outline.Point
	starts   []outline.Point // of its contours
	box      outline.Box
}

func newBody(id string, p outline.Path) body {
	b := body{id: id, segments: flatten(p), box: p.Bounds()}
	for _, contour := range p {
		b.starts = append(b.starts, contour.Start)
	}
	return b
}

// within reports whether a contour of b lies in the film of a. Where the
// outlines don't cross, either all of a contour does or nothing of it.
func within(b, a body) bool {
	return slices.ContainsFunc(b.starts, func(p outline.Point) bool { return inside(p, a) })
}

func flatten(p outline.Path) [][2]outline.Point {
	var out [][2]outline.Point
	for _, contour := range p {
		points := contour.Flatten(nil, Tolerance)
		for i := range points {
			out = append(out, [2]outline.Point{points[i], points[(i+1)%len(points)]})
		}
	}
	return out
}

// shapes checks every decal for itself and keeps those that can be measured.
func (c *checker) shapes() {
	seen := map[string]bool{}
	for _, d := range c.sheet.Decals {
		if seen[d.ID] {
			c.report(ErrID, d.ID, "", "")
		}
		seen[d.ID] = true
		if err := d.Path.Check(); err != nil {
			cause := ErrNotClosed
			if errors.Is(err, outline.ErrNotFinite) {
				cause = ErrNotFinite
			}
			c.report(cause, d.ID, "", err.Error())
			continue
		}
		if !(d.Path.Area() > 0) {
			c.report(ErrEmpty, d.ID, "", fmt.Sprintf("its area is %v", d.Path.Area()))
			continue
		}
		c.bodies = append(c.bodies, newBody(d.ID, d.Path))
	}
}

// edges checks that everything lies on the film and keeps the margin.
func (c *checker) edges() {
	b := c.sheet.Bounds()
	if b.IsEmpty() {
		return
	}
	slack := float64(Tolerance)
	if low, high := float64(c.rules.EdgeMargin), float64(c.sheet.Film.Width-c.rules.EdgeMargin); b.Min.Y < low-slack || b.Max.Y > high+slack {
		c.report(ErrMargin, "", "", fmt.Sprintf("cuts run from %.3f to %.3f mm across film %.3f mm wide with a margin of %.3f mm", b.Min.Y, b.Max.Y, float64(c.sheet.Film.Width), low))
	}
	if b.Min.X < -slack || b.Max.X > float64(c.sheet.Length)+slack {
		c.report(ErrLength, "", "", fmt.Sprintf("cuts run from %.3f to %.3f mm along a load of %.3f mm", b.Min.X, b.Max.X, float64(c.sheet.Length)))
	}
	if m := c.rules.MaxLength; m > 0 && c.sheet.Length > m+Tolerance {
		c.report(ErrLength, "", "", fmt.Sprintf("the load is %v long and may be %v", c.sheet.Length, m))
	}
}

// gaps compares every two decals whose boxes are near enough to matter.
func (c *checker) gaps() float64 {
	smallest := math.Inf(1)
	for i, a := range c.bodies {
		for _, b := range c.bodies[:i] {
			// Exact wherever it counts: up to the gap, and up to the smallest.
			d := distance(a, b, math.Min(math.Max(smallest, float64(c.rules.Gap)), math.MaxFloat64))
			if d == 0 || within(a, b) || within(b, a) {
				c.report(ErrOverlap, b.id, a.id, "")
				smallest = 0
				continue
			}
			if d < float64(c.rules.Gap-2*Tolerance) {
				c.report(ErrGap, b.id, a.id, fmt.Sprintf("%.4f mm apart, the gap is %.4f mm", d, float64(c.rules.Gap)))
			}
			smallest = math.Min(smallest, d)
		}
	}
	return smallest
}

// shape checks that the decals lie in a film that is no plain strip.
func (c *checker) shape() {
	if len(c.rules.Shape) == 0 {
		return
	}
	film := newBody("", c.rules.Shape)
	margin := float64(c.rules.EdgeMargin - 2*Tolerance)
	for _, b := range c.bodies {
		d := distance(b, film, math.MaxFloat64)
		if outside := slices.ContainsFunc(b.starts, func(p outline.Point) bool { return !inside(p, film) }); outside || d == 0 || within(film, b) {
			c.report(ErrMargin, b.id, "", "it leaves the film")
		} else if d < margin {
			c.report(ErrMargin, b.id, "", fmt.Sprintf("%.4f mm from the film's edge, the margin is %.4f mm", d, float64(c.rules.EdgeMargin)))
		}
	}
}

// lines checks that everything else that is cut keeps off the decals.
func (c *checker) lines() {
	if err := c.sheet.WeedBorder.Check(); errors.Is(err, outline.ErrNotFinite) {
		c.report(ErrNotFinite, "", "", "in the weed border: "+err.Error())
	} else if len(c.sheet.WeedBorder) > 0 {
		c.keepOff(ErrBorder, newBody("", c.sheet.WeedBorder))
	}
	for _, curves := range [][]outline.Curve{c.sheet.WeedLines, c.sheet.TrimLines, c.sheet.Marks} {
		for _, curve := range curves {
			b := curve.Bounds()
			if !b.Min.IsFinite() || !b.Max.IsFinite() {
				c.report(ErrNotFinite, "", "", "in a weed line, a trim line or a mark")
				continue
			}
			points := curve.Flatten(nil, Tolerance)
			line := body{box: b, starts: points[:1]}
			for i := 1; i < len(points); i++ {
				line.segments = append(line.segments, [2]outline.Point{points[i-1], points[i]})
			}
			c.keepOff(ErrLine, line)
		}
	}
}

// keepOff reports the decals that the line crosses, or in whose film a whole
// contour of it lies.
func (c *checker) keepOff(cause error, line body) {
	for _, b := range c.bodies {
		if distance(b, line, 1) == 0 || within(line, b) {
			c.report(cause, b.id, "", "")
		}
	}
}

// distance returns the distance of two bodies' outlines, 0 where they cross.
// What is at least limit apart may be reported as further than it is.
func distance(a, b body, limit float64) float64 {
	best := boxDistance(a.box, b.box)
	if best >= limit {
		return best
	}
	best = math.Inf(1)
	for _, s := range a.segments {
		near := outline.EmptyBox().Extend(s[0]).Extend(s[1])
		if boxDistance(near, b.box) >= math.Min(best, limit) {
			continue
		}
		for _, t := range b.segments {
			reach := math.Min(best, limit)
			if math.Max(t[0].X, t[1].X) < near.Min.X-reach || math.Min(t[0].X, t[1].X) > near.Max.X+reach ||
				math.Max(t[0].Y, t[1].Y) < near.Min.Y-reach || math.Min(t[0].Y, t[1].Y) > near.Max.Y+reach {
				continue
			}
			best = math.Min(best, segmentDistance(s, t))
			if best == 0 {
				return 0
			}
		}
	}
	return math.Min(best, math.Max(limit, boxDistance(a.box, b.box)))
}

func boxDistance(a, b outline.Box) float64 {
	dx := math.Max(0, math.Max(a.Min.X-b.Max.X, b.Min.X-a.Max.X))
	dy := math.Max(0, math.Max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y))
	return math.Hypot(dx, dy)
}

// segmentDistance returns the distance of two segments, 0 where they meet.
func segmentDistance(s, t [2]outline.Point) float64 {
	d, e := s[1].Sub(s[0]), t[1].Sub(t[0])
	a, b := d.Cross(t[0].Sub(s[0])), d.Cross(t[1].Sub(s[0]))
	p, q := e.Cross(s[0].Sub(t[0])), e.Cross(s[1].Sub(t[0]))
	if a*b < 0 && p*q < 0 {
		return 0
	}
	return math.Min(
		math.Min(pointDistance(s[0], t), pointDistance(s[1], t)),
		math.Min(pointDistance(t[0], s), pointDistance(t[1], s)))
}

// pointDistance returns the distance from p to the segment s.
func pointDistance(p outline.Point, s [2]outline.Point) float64 {
	d := s[1].Sub(s[0])
	n := d.Dot(d)
	if n == 0 {
		return p.Distance(s[0])
	}
	t := math.Max(0, math.Min(1, p.Sub(s[0]).Dot(d)/n))
	return p.Distance(s[0].Add(d.Mul(t)))
}

// inside reports whether p lies in the film of b, by the non-zero rule.
func inside(p outline.Point, b body) bool {
	if !b.box.Contains(p) {
		return false
	}
	winding := 0
	for _, s := range b.segments {
		side := s[1].Sub(s[0]).Cross(p.Sub(s[0]))
		switch {
		case s[0].Y <= p.Y && s[1].Y > p.Y && side > 0:
			winding++
		case s[0].Y > p.Y && s[1].Y <= p.Y && side < 0:
			winding--
		}
	}
	return winding != 0
}
