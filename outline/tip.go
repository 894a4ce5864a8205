package outline

import "math"

const (
	// tipTurn is the turn to the right, in radians, of what may be a tip the wrong
	// way round.
	tipTurn = 150 * math.Pi / 180
	// tipReach is how far, in tolerances, the chords of one tip may lie apart.
	tipReach = 4
)

// appendTips appends discs about what may be tips the wrong way round: at the tip
// of a needle the sides may run past each other by less than the tolerance, or end
// in a hook, and the border then turns there to the right instead of to the left,
// and leaves out the fan. At the end of a slit, which is the same to see, all that
// the disc covers is within the distance as well.
func (o *offsetter) appendTips(rings []ring, c Contour) []ring {
	n := len(o.chords)
	step := 2 * math.Sqrt(2*o.tolerance*flatShare/o.distance)
	for i := 0; i < n; i++ {
		at, turn := o.chords[i].at, 0.0
		for j := i; j < i+n; j++ {
			b := &o.chords[j%n]
			if turn += b.turn; turn <= -tipTurn {
				o.out = o.out[:0]
				o.appendDisc(at, c.Segments[b.segment].Origin, b.segment, step)
				if r := o.close(c); r != nil {
					rings = append(rings, r)
				}
				i = j
				break
			}
			if turn >= 0 || b.length > o.tolerance || b.at.Add(b.dir.Mul(b.length)).Distance(at) > tipReach*o.tolerance {
				break
			}
		}
	}
	return rings
}

// appendDisc appends the circle about a corner.
func (o *offsetter) appendDisc(centre Point, origin, node int32, step float64) {
	o.sources = append(o.sources, source{
		kind: arcSource, start: centre, distance: o.distance, sweep: 2 * math.Pi,
		seg: Segment{Kind: Cubic, Origin: origin}, node: node,
	})
	src := int32(len(o.sources)) - 1
	k := max(4, int(math.Ceil(2*math.Pi/step)))
	for i := range k {
		t0, t1 := float64(i)/float64(k), float64(i+1)/float64(k)
		o.out = append(o.out, movedPoint{o.sources[src].at(t0), src, t0, t1})
	}
}
