package weedability

import (
	"math"
	"slices"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability/internal/boundary"
)

// maxTaper is the greatest angle between the two sides of a stretch, in
// radians: where the sides of a shape open faster than this, a ball between them
// sits in a corner and says nothing about thickness.
const maxTaper = 40 * math.Pi / 180

// spacingShare is the distance of samples along the border as a share of the
// limit that is looked for.
const spacingShare = 0.25

// fanStep is the largest angle in radians between two samples' directions at a corner
// that points into the measured side.
const fanStep = 15 * math.Pi / 180

// smoothTurn is the turn in radians below which a vertex is one of a curve's,
// whose chords' own samples are close enough.
const smoothTurn = 16 * math.Pi / 180

// checkEvery is after how many edges the context is asked.
const checkEvery = 4096

// resolution is the length in millimetres below which measurement does not
// tell two thicknesses apart: a value this little below a limit keeps it.
const resolution = 0.0005

// sample is a point of the border and the largest ball that touches there. Only
// samples with a ball below the limit, stopped by the opposite side, are kept.
type sample struct {
	edge, touchEdge int32
	ring            int32
	arc             float64 // position on the ring
	p, touch        outline.Point
	centre          outline.Point
	radius          float64
	taper           float64 // angle between the two sides where the ball touches
}

// width is the thickness that a sample measures, of the curves rather than their chords.
func (in *inspection) width(s *sample, waste bool) float64 {
	bulge := in.b.Edges[s.edge].BulgeAt(s.p) + in.b.Edges[s.touchEdge].BulgeAt(s.touch)
	if waste {
		bulge = -bulge
	}
	return max(0, 2*s.radius+bulge)
}

// thin returns the samples of one side, film or waste, whose thickness is below
// limit, in the order of the rings and along each of them.
func (in *inspection) thin(b *boundary.Boundary, waste bool, limit float64) []sample {
	spacing := spacingShare * limit
	radius := limit / 2
	// |p-touch| = 2r·sin(θ/2) with θ = π - taper the angle between both at the centre.
	narrowest := math.Cos(maxTaper / 2)
	out := make([]sample, 0, len(b.Edges))
	try := func(e, skip int32, p, n outline.Point) {
		ball := b.Ball(p, n, radius, e, skip)
		if ball.Edge < 0 {
			return
		}
		chord := distance(p, ball.Touch)
		if chord < 2*ball.Radius*narrowest {
			return
		}
		taper := 0.0
		if chord < 2*ball.Radius {
			taper = 2 * math.Acos(chord/(2*ball.Radius))
		}
		edge := &b.Edges[e]
		out = append(out, sample{edge: e, touchEdge: ball.Edge, ring: edge.Contour,
			arc: edge.Arc + p.Sub(edge.A).Dot(edge.U), p: p, touch: ball.Touch,
			centre: p.Add(n.Mul(ball.Radius)), radius: ball.Radius, taper: taper})
	}
	for i := range b.Edges {
		if i%checkEvery == 0 && in.ctx.Err() != nil {
			return nil
		}
		e := &b.Edges[i]
		n := e.U.Perp()
		if waste {
			n = n.Mul(-1)
		}
		steps := max(1, int(e.Length/spacing+0.5))
		for k := range steps {
			try(int32(i), -1, e.At((float64(k)+0.5)/float64(steps)*e.Length), n)
		}
		// A corner that points into the measured side faces more than one way.
		turn := b.Turn(int32(i))
		if !waste && turn > -smoothTurn || waste && turn < smoothTurn {
			continue
		}
		fan := int(math.Ceil(math.Abs(turn) / fanStep))
		for k := range fan + 1 {
			sin, cos := math.Sincos(turn * float64(k) / float64(fan))
			try(int32(i), b.Next(int32(i)), e.B, outline.Point{X: n.X*cos - n.Y*sin, Y: n.X*sin + n.Y*cos})
		}
	}
	return out
}

// stretch is a connected piece of film or waste that is thinner than a limit.
type stretch struct {
	least   float64 // thickness where it is thinnest, in millimetres
	worst   sample  // the sample there
	from    outline.Point
	to      outline.Point // the two border points that are least apart
	length  float64       // along the centre line
	samples []int         // indices into the samples it was made of
}

// run is a run of numbers, first to end-1.
type run struct{ first, end int }

// distance is what outline.Point.Distance gives, without its care for figures
// beyond the extent of a design, which takes long.
func distance(p, q outline.Point) float64 {
	x, y := p.X-q.X, p.Y-q.Y
	return math.Sqrt(x*x + y*y)
}

// stretches joins the samples below limit that are neighbours along the
// border or face each other.
func (in *inspection) stretches(b *boundary.Boundary, samples []sample, waste bool, limit float64) []stretch {
	thin := make([]int, 0, len(samples))
	for i := range samples {
		if in.width(&samples[i], waste) < limit-resolution {
			thin = append(thin, i)
		}
	}
	if len(thin) == 0 {
		return nil
	}
	reach := 2 * spacingShare * limit
	sets := newSets(len(thin))
	length := make([]float64, len(thin)) // centre line from each sample to the next
	arcs := make([]float64, len(thin))   // positions of the samples on their rings
	runs := make([]run, len(b.Rings))    // of thin samples on every ring
	for k, i := range thin {
		s := &samples[i]
		arcs[k] = s.arc
		if runs[s.ring].end == 0 {
			runs[s.ring].first = k
		} else if r := &samples[thin[k-1]]; s.arc-r.arc <= reach {
			sets.join(k-1, k)
			length[k-1] = distance(r.centre, s.centre)
		}
		runs[s.ring].end = k + 1
	}
	for ring, r := range runs {
		// Round the start of the ring.
		if j := r.end - 1; j > r.first && arcs[r.first]+b.Rings[ring].Length-arcs[j] <= reach {
			sets.join(j, r.first)
			length[j] = distance(samples[thin[j]].centre, samples[thin[r.first]].centre)
		}
	}
	for k, i := range thin {
		s := &samples[i]
		e := &b.Edges[s.touchEdge]
		r := runs[e.Contour]
		if r.end == 0 {
			continue
		}
		arc := e.Arc + s.touch.Sub(e.A).Dot(e.U)
		j, _ := slices.BinarySearch(arcs[r.first:r.end], arc)
		j += r.first
		if j > r.first && arc-arcs[j-1] <= reach {
			sets.join(k, j-1)
		}
		if j < r.end && arcs[j]-arc <= reach {
			sets.join(k, j)
		}
	}
	var out []stretch
	index := make([]int32, len(thin)) // of a set's root: its stretch, from 1
	size := make([]int32, len(thin))  // of every stretch
	for k := range thin {
		root := sets.find(k)
		if index[root] == 0 {
			out = append(out, stretch{least: math.Inf(1)})
			index[root] = int32(len(out))
		}
		size[index[root]-1]++
	}
	room := make([]int, 0, len(thin)) // for the samples of all stretches
	for n := range out {
		end := len(room) + int(size[n])
		out[n].samples, room = room[len(room):len(room):end], room[:end]
	}
	for k, i := range thin {
		st := &out[index[sets.find(k)]-1]
		st.samples = append(st.samples, i)
		st.length += length[k] / 2 // each side of the stretch runs along the same centre line
		if w := in.width(&samples[i], waste); w < st.least {
			st.least, st.worst = w, samples[i]
		}
	}
	for k := range out {
		in.sharpen(b, &out[k], waste)
	}
	return out
}

// sharpenRuns bounds how often the nearest points of two sides are taken in turns.
const sharpenRuns = 32

// sharpen moves the two border points of the thinnest sample to where the
// sides are least apart, which lies between samples.
func (in *inspection) sharpen(b *boundary.Boundary, st *stretch, waste bool) {
	s := st.worst
	near := func(e int32, q outline.Point) (int32, outline.Point) {
		best := b.Edges[e].Nearest(q)
		for _, f := range [2]int32{b.Previous(e), b.Next(e)} {
			if at := b.Edges[f].Nearest(q); at.Distance(q) < best.Distance(q)-resolution/10 {
				e, best = f, at
			}
		}
		return e, best
	}
	st.from, st.to = s.p, s.touch
	for range sharpenRuns {
		d := s.p.Distance(s.touch)
		s.touchEdge, s.touch = near(s.touchEdge, s.p)
		s.edge, s.p = near(s.edge, s.touch)
		if s.p.Distance(s.touch) > d-resolution/10 {
			break
		}
	}
	d := s.p.Distance(s.touch)
	s.radius, s.centre = d/2, s.p.Lerp(s.touch, 0.5)
	w := in.width(&s, waste)
	if d == 0 || w >= st.least || !b.Clear(s.centre, d/2-resolution) {
		return
	}
	// The middle has to be on the side that is measured.
	if b.Left(s.edge, s.centre) == waste || b.Left(s.touchEdge, s.centre) == waste {
		return
	}
	s.arc = b.Edges[s.edge].Arc + s.p.Sub(b.Edges[s.edge].A).Dot(b.Edges[s.edge].U)
	st.least, st.worst, st.from, st.to = w, s, s.p, s.touch
}

// centreLine returns the centres of the stretch's balls as curves: runs along
// the border, without those that the opposite side has given already.
func (in *inspection) centreLine(samples []sample, st *stretch, reach float64) []outline.Curve {
	var out []outline.Curve
	var run []outline.Point
	seen := newPointSet(reach / 2)
	flush := func() {
		if len(run) > 0 {
			out = append(out, outline.Polyline(run...))
		}
		run = nil
	}
	var current []outline.Point // centres of the run at hand are no reason to leave it
	var previous *sample
	for _, i := range st.samples {
		s := &samples[i]
		if previous != nil && (previous.ring != s.ring || s.arc-previous.arc > reach) {
			flush()
			seen.add(current...)
			current = current[:0]
		}
		previous = s
		current = append(current, s.centre)
		if seen.has(s.centre) {
			flush()
			continue
		}
		if n := len(run); n > 0 && distance(run[n-1], s.centre) < reach/8 {
			continue
		}
		run = append(run, s.centre)
	}
	flush()
	return out
}
