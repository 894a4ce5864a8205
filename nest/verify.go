package nest

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest/internal/verify"
	"github.com/vinylgeom/vinyl/units"
)

// Verification is what Verify measured. It marshals to JSON and back with the names given beside the fields.
type Verification struct {
	Loads []LoadVerification `json:"loads"` // one for each load, in order
}

// LoadVerification is what Verify measured in one load.
type LoadVerification struct {
	// SmallestGap is the least distance between two pieces, +Inf where there are no two: "smallest_gap_mm", then absent.
	SmallestGap units.Length
	// Edges are the least distances from the four edges of the load; for a leftover all four are the distance from its
	// boundary: "bottom_mm", "top_mm", "start_mm", "end_mm".
	Edges Margins
	// Length is the film that the load needs, lead and tail included: "length_mm".
	Length units.Length
}

// SmallestEdgeDistance is the least of the four.
func (v LoadVerification) SmallestEdgeDistance() units.Length {
	return min(v.Edges.Bottom, v.Edges.Top, v.Edges.Start, v.Edges.End)
}

// Fault is one thing that is wrong with a layout.
type Fault struct {
	Load      int          // 1 to the number of loads; 0 if it concerns all
	Piece     string       // the piece, or ""
	Copy      int          // its copy, or 0
	Other     string       // the other piece, if there are two
	OtherCopy int          // its copy
	What      string       // such as "overlap" or "nearer than the gap"
	Distance  units.Length // measured, where What is about a distance
	Required  units.Length // what it should be
}

// String tells the fault and its place in a line, distances in millimetres.
func (f Fault) String() string {
	var b strings.Builder
	if f.Load > 0 {
		fmt.Fprintf(&b, "load %d: ", f.Load)
	}
	if f.Piece != "" {
		fmt.Fprintf(&b, "piece %q copy %d: ", f.Piece, f.Copy)
	}
	b.WriteString(f.What)
	if f.Other != "" {
		fmt.Fprintf(&b, " (piece %q copy %d)", f.Other, f.OtherCopy)
	}
	if f.Required != 0 || f.Distance != 0 {
		fmt.Fprintf(&b, ": %.9g mm, required %.9g mm", float64(f.Distance), float64(f.Required))
	}
	return b.String()
}

// VerifyError lists everything that is wrong with a layout.
type VerifyError struct {
	Faults []Fault // at least one, in the order of the loads, then what concerns all
}

// Error tells the first fault and how many there are.
func (e *VerifyError) Error() string {
	if len(e.Faults) == 0 {
		return "nest: layout is not valid"
	}
	return fmt.Sprintf("nest: layout is not valid: %v (%d faults in all); nest it again", e.Faults[0], len(e.Faults))
}

// Unwrap returns ErrInvalid.
func (e *VerifyError) Unwrap() error { return ErrInvalid }

// Verify measures the layout on the original outlines and reports what is wrong with it: pieces that overlap or are nearer
// to one another than strip.KeptDistance, to an edge than its margin or to a forbidden zone than the gap, copies that are
// missing, placed twice or unknown, rotations, mirroring and grain that are not allowed, groups that interleave, loads that
// are too long or too many, trims through pieces, and lengths and distances that are stated better than they are. The error is a *VerifyError, or an *InputError if the arguments make no sense.
//
// The vertices of a placed outline are those of [Placement.Apply] in float64; what is decided about these is exact.
func (r Result) Verify(strip Strip, pieces []Piece) (Verification, error) {
	if err := checkInput(strip, pieces, Options{}); err != nil {
		return Verification{}, err
	}
	c := newChecker(strip, pieces)
	var v Verification
	var film units.Length
	for i, load := range r.Loads {
		lv := c.load(i+1, load.Placements)
		v.Loads = append(v.Loads, lv)
		if !(load.Length >= lv.Length) {
			c.fault(Fault{Load: i + 1, What: "stated length is less than the load needs", Distance: load.Length, Required: lv.Length})
		}
		film += load.Length
		if !(load.SmallestGap <= lv.SmallestGap) {
			c.fault(Fault{Load: i + 1, What: "stated smallest gap is more than it is", Distance: load.SmallestGap, Required: lv.SmallestGap})
		}
		if !(load.SmallestEdgeDistance <= lv.SmallestEdgeDistance()) {
			c.fault(Fault{Load: i + 1, What: "stated distance from the edges is more than it is", Distance: load.SmallestEdgeDistance, Required: lv.SmallestEdgeDistance()})
		}
		c.cuts(i+1, load)
	}
	if !(r.Length >= film*(1-fitRounding)) {
		c.fault(Fault{What: "stated film is less than that of the loads", Distance: r.Length, Required: film})
	}
	c.counts(r)
	c.groups(r)
	if len(c.faults) > 0 {
		return v, &VerifyError{c.faults}
	}
	return v, nil
}

// checker gathers faults.
type checker struct {
	strip     Strip
	pieces    []Piece
	index     map[string]int
	forbidden *verify.Body
	outside   *verify.Body
	faults    []Fault
}

func newChecker(strip Strip, pieces []Piece) *checker {
	c := &checker{strip: strip, pieces: pieces, index: map[string]int{}}
	for i, p := range pieces {
		c.index[p.ID] = i
	}
	if len(strip.Forbidden) > 0 {
		c.forbidden = verify.NewBody(strip.Forbidden)
	}
	if len(strip.Leftover) > 0 {
		b := strip.Leftover.Bound()
		c.outside = verify.NewBody(verify.Outside(strip.Leftover, b.Pad(2*max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]))))
	}
	return c
}

func (c *checker) fault(f Fault) { c.faults = append(c.faults, f) }

// load checks everything that can be said about one load alone.
func (c *checker) load(number int, placements []Placement) LoadVerification {
	lv := LoadVerification{SmallestGap: units.Length(math.Inf(1))}
	var bodies []*verify.Body
	var placed []Placement
	for _, p := range placements {
		at := Fault{Load: number, Piece: p.Piece, Copy: p.Copy}
		i, known := c.index[p.Piece]
		if !known {
			at.What = "there is no such piece"
			c.fault(at)
			continue
		}
		if p.Load != number {
			at.What = fmt.Sprintf("the placement says load %d", p.Load)
			c.fault(at)
		}
		if what := forbiddenPose(c.pieces[i], p); what != "" {
			at.What = what
			c.fault(at)
			continue
		}
		bodies = append(bodies, verify.NewBody(p.Apply(c.pieces[i].Outline)))
		placed = append(placed, p)
	}
	kept := float64(c.strip.KeptDistance())
	report := verify.Pairs(bodies, kept)
	lv.SmallestGap = units.Length(report.Smallest)
	for _, pair := range report.Bad {
		f := Fault{Load: number, Piece: placed[pair.A].Piece, Copy: placed[pair.A].Copy, Other: placed[pair.B].Piece, OtherCopy: placed[pair.B].Copy,
			What: "nearer than the gap", Distance: units.Length(pair.Distance), Required: units.Length(kept)}
		if pair.Overlap {
			f.What = "overlap"
		}
		c.fault(f)
	}
	if c.forbidden != nil {
		for _, pair := range verify.Against(bodies, c.forbidden, kept).Bad {
			c.fault(Fault{Load: number, Piece: placed[pair.A].Piece, Copy: placed[pair.A].Copy, What: "too near to a forbidden zone",
				Distance: units.Length(pair.Distance), Required: units.Length(kept)})
		}
	}
	if c.outside != nil {
		margin := c.strip.leftoverMarginMM()
		report := verify.Against(bodies, c.outside, margin)
		d := units.Length(report.Smallest)
		lv.Edges = EqualMargins(d)
		for _, pair := range report.Bad {
			c.fault(Fault{Load: number, Piece: placed[pair.A].Piece, Copy: placed[pair.A].Copy, What: "too near to the boundary of the leftover",
				Distance: units.Length(pair.Distance), Required: units.Length(margin)})
		}
		for _, b := range bodies {
			lv.Length = max(lv.Length, units.Length(b.Bounds().Max[0]))
		}
		return lv
	}
	c.edges(number, placed, bodies, &lv)
	return lv
}

// edges checks the margins of a load and its length.
func (c *checker) edges(number int, placed []Placement, bodies []*verify.Body, lv *LoadVerification) {
	s := c.strip
	all := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for i, b := range bodies {
		box := b.Bounds()
		all = all.Union(box)
		at := Fault{Load: number, Piece: placed[i].Piece, Copy: placed[i].Copy}
		if box.Min[1] < float64(s.Margins.Bottom) {
			at.What, at.Distance, at.Required = "too near to the bottom edge", units.Length(box.Min[1]), s.Margins.Bottom
			c.fault(at)
		}
		if box.Max[1] > s.topLimitMM() {
			at.What, at.Distance, at.Required = "too near to the top edge", s.Width-units.Length(box.Max[1]), s.Margins.Top
			c.fault(at)
		}
		if box.Min[0] < s.startMM() {
			at.What, at.Distance, at.Required = "too near to the start", units.Length(box.Min[0]), units.Length(s.startMM())
			c.fault(at)
		}
	}
	if len(bodies) == 0 {
		lv.Length = units.Length(s.startMM() + s.endMM())
		return
	}
	lv.Length = units.Length(all.Max[0] + s.endMM())
	lv.Edges = Margins{Bottom: units.Length(all.Min[1]), Top: s.Width - units.Length(all.Max[1]),
		Start: units.Length(all.Min[0]), End: units.Length(s.endMM())}
	if s.MaxLength > 0 && float64(lv.Length) > float64(s.MaxLength)*(1+fitRounding) {
		c.fault(Fault{Load: number, What: "the load is too long", Distance: lv.Length, Required: s.MaxLength})
	}
}

// poseTolerance is how far a rotation may be from an allowed one, in radians: some roundings of an angle.
const poseTolerance = 1e-12

// forbiddenPose says what is wrong with the rotation or mirroring of a placement, or "".
func forbiddenPose(p Piece, at Placement) string {
	x, y, a := float64(at.X), float64(at.Y), float64(at.Rotation)
	if !(math.Abs(x) <= MaxCoordinate && math.Abs(y) <= MaxCoordinate && math.Abs(a) <= maxAngle) {
		return "position or rotation is not a usable number"
	}
	if at.Mirrored && p.Mirror == MirrorNever {
		return "must not be mirrored"
	}
	if !at.Mirrored && p.Mirror == MirrorAlways {
		return "must be mirrored"
	}
	if !followsGrain(p, at.Mirrored, a) {
		return "does not follow the grain"
	}
	near := func(b, period float64) bool { return math.Abs(math.Remainder(a-b, period)) < poseTolerance }
	allowed := false
	switch p.Rotations.Mode {
	case RotateNone:
		allowed = near(0, 2*math.Pi)
	case RotateHalf:
		allowed = near(0, math.Pi)
	case RotateQuarter:
		allowed = near(0, math.Pi/2)
	case RotateList:
		for _, b := range p.Rotations.List {
			allowed = allowed || near(float64(b), 2*math.Pi)
		}
	case RotateAny:
		allowed = true
	}
	if !allowed {
		return fmt.Sprintf("rotation by %v is not allowed", at.Rotation)
	}
	return ""
}

// counts checks that every copy is placed once or accounted for.
func (c *checker) counts(r Result) {
	placed := make([]map[int]bool, len(c.pieces))
	for i := range placed {
		placed[i] = map[int]bool{}
	}
	for n, load := range r.Loads {
		for _, p := range load.Placements {
			i, known := c.index[p.Piece]
			if !known {
				continue
			}
			if p.Copy < 1 || p.Copy > c.pieces[i].count() {
				c.fault(Fault{Load: n + 1, Piece: p.Piece, Copy: p.Copy, What: "there is no such copy"})
			} else if placed[i][p.Copy] {
				c.fault(Fault{Load: n + 1, Piece: p.Piece, Copy: p.Copy, What: "placed twice"})
			}
			placed[i][p.Copy] = true
		}
	}
	missing := make([]int, len(c.pieces))
	for i, p := range c.pieces {
		missing[i] = p.count() - len(placed[i])
	}
	for _, u := range r.Unplaced {
		if i, known := c.index[u.Piece]; known && u.Count < 0 {
			c.fault(Fault{Piece: u.Piece, What: fmt.Sprintf("%d copies unplaced", u.Count)})
		} else if known {
			missing[i] -= u.Count
		} else {
			c.fault(Fault{Piece: u.Piece, What: "there is no such piece"})
		}
	}
	for i, n := range missing {
		if n > 0 {
			c.fault(Fault{Piece: c.pieces[i].ID, What: fmt.Sprintf("%d copies are missing", n)})
		}
		if n < 0 {
			c.fault(Fault{Piece: c.pieces[i].ID, What: fmt.Sprintf("%d copies too many", -n)})
		}
	}
	most := c.strip.MaxLoads
	if len(c.strip.Leftover) > 0 || most == 0 && c.strip.MaxLength == 0 {
		most = 1
	}
	if most > 0 && len(r.Loads) > most {
		c.fault(Fault{What: fmt.Sprintf("%d loads, %d allowed", len(r.Loads), most)})
	}
}

// groups checks that groups have stretches of their own, in loads that follow one another.
func (c *checker) groups(r Result) {
	type stretch struct{ from, to float64 }
	last := map[string]int{}
	for n, load := range r.Loads {
		stretches := map[string]stretch{}
		var order []string
		for _, p := range load.Placements {
			i, known := c.index[p.Piece]
			if !known {
				continue
			}
			b := placedBound(p, c.pieces[i].Outline)
			g := c.pieces[i].Group
			s, seen := stretches[g]
			if !seen {
				s = stretch{math.Inf(1), math.Inf(-1)}
				order = append(order, g)
			}
			stretches[g] = stretch{min(s.from, b.Min[0]), max(s.to, b.Max[0])}
		}
		if len(c.strip.Leftover) > 0 {
			return // one load, and no direction along which to part it
		}
		for i, g := range order {
			if l, seen := last[g]; seen && l != n-1 {
				c.fault(Fault{Load: n + 1, What: fmt.Sprintf("group %q is not in loads that follow one another", g)})
			}
			last[g] = n
			for _, h := range order[:i] {
				if a, b := stretches[g], stretches[h]; a.from < b.to && b.from < a.to {
					c.fault(Fault{Load: n + 1, What: fmt.Sprintf("groups %q and %q interleave", h, g)})
				}
			}
		}
	}
}

// cuts checks that straight trims are parallel to an edge and keep the trim allowance from every piece.
func (c *checker) cuts(number int, load Load) {
	if len(load.Cuts) == 0 {
		return
	}
	for _, cut := range load.Cuts {
		if cut.X1 != cut.X2 && cut.Y1 != cut.Y2 {
			c.fault(Fault{Load: number, What: "a trim runs along neither the film nor across it"})
		}
	}
	for _, p := range load.Placements {
		i, known := c.index[p.Piece]
		if !known {
			continue
		}
		b := placedBound(p, c.pieces[i].Outline)
		for _, cut := range load.Cuts {
			// A trim is parallel to an edge; it is clear of a piece if it is clear of its box.
			dx := max(b.Min[0]-float64(max(cut.X1, cut.X2)), float64(min(cut.X1, cut.X2))-b.Max[0])
			dy := max(b.Min[1]-float64(max(cut.Y1, cut.Y2)), float64(min(cut.Y1, cut.Y2))-b.Max[1])
			if d := max(dx, dy); !(d >= float64(c.strip.TrimAllowance)) {
				c.fault(Fault{Load: number, Piece: p.Piece, Copy: p.Copy, What: "too near to a trim", Distance: units.Length(d), Required: c.strip.TrimAllowance})
			}
		}
	}
}
