package boundary

import (
	"math"

	"github.com/vinylgeom/vinyl/outline"
)

// peak looks for the highest point of the lower envelope of the planes
// α - 2 a·v over the disc of radius reach about v = 0: of squared distances from
// border points a, less |v|², or, with halved unit vectors, of distances.
type peak struct {
	alpha  []float64
	a      []outline.Point
	reach  float64
	second int // the plane that is lowest where the first is highest, -1 if that was not asked
}

// peakPlanes bounds how many planes are weighed at once; few places have more
// than three sides that matter.
const peakPlanes = 8

// peakSlack is the share of its height by which a plane may lie below the peak.
const peakSlack = 1e-12

// climb returns an upper bound of the envelope's height and the place where
// the planes weighed so far meet it, starting from plane first, the lowest at v = 0.
// It stops when the bound is at most enough, or when it is clear that it never
// will be; enough of -Inf asks for the peak itself.
//
// It is a cutting plane method: the plane that is lowest at the place is taken
// in next. By duality any weights that sum to one give a bound, Σwα + 2 reach |Σwa|;
// the least is that of two planes, or of three whose a surround the origin.
func (p *peak) climb(first int, enough float64) (v outline.Point, most float64) {
	p.second = -1
	var set [peakPlanes]int
	set[0] = first
	a := p.a[first]
	most = p.alpha[first]
	if n := math.Sqrt(a.X*a.X + a.Y*a.Y); n > 0 {
		v, most = a.Mul(-p.reach/n), most+2*p.reach*n
	}
	for n := 1; n < peakPlanes && most > enough; n++ {
		low, at := math.Inf(1), first
		for i, a := range p.a {
			if f := p.alpha[i] - 2*(a.X*v.X+a.Y*v.Y); f < low {
				low, at = f, i
			}
		}
		if n == 1 {
			p.second = at
		}
		if low >= most-peakSlack*math.Abs(most) || low > enough && !math.IsInf(enough, -1) {
			break // the place is the peak, or high enough
		}
		before := most
		for i := range n {
			if w, height, ok := p.pair(at, set[i]); ok && height < most {
				v, most = w, height
			}
			for j := range i {
				if w, height, ok := p.triple(at, set[i], set[j]); ok && height < most {
					v, most = w, height
				}
			}
		}
		if most >= before {
			break
		}
		set[n] = at
	}
	return v, most
}

// pair returns the peak of two planes.
func (p *peak) pair(i, j int) (v outline.Point, height float64, ok bool) {
	a, b := p.a[i], p.a[j]
	alpha, beta := p.alpha[i], p.alpha[j]
	d := b.Sub(a)
	dd := d.Dot(d)
	if dd == 0 {
		return v, 0, false
	}
	// The planes meet on the line 2 d·v = β - α, at the disc's rim highest.
	k := (beta - alpha) / (2 * dd)
	h := p.reach*p.reach - k*k*dd
	if h < 0 {
		return v, 0, false
	}
	t := d.Perp().Mul(math.Sqrt(h / dd))
	if a.Dot(t) > 0 {
		t = t.Mul(-1)
	}
	v = d.Mul(k).Add(t)
	w := -a.Dot(d) / dd
	if c := d.Cross(v); c != 0 {
		w = -a.Cross(v) / c // brings the weighted sum in line with v
	}
	if !(w > 0) {
		w = 0
	} else if w > 1 {
		w = 1
	}
	x, y := a.X+w*d.X, a.Y+w*d.Y
	return v, alpha + w*(beta-alpha) + 2*p.reach*math.Sqrt(x*x+y*y), true
}

// triple returns the peak of three planes, if their a surround the origin.
func (p *peak) triple(i, j, k int) (v outline.Point, height float64, ok bool) {
	a := p.a[i]
	d, e := p.a[j].Sub(a), p.a[k].Sub(a)
	det := d.Cross(e)
	u, w := -a.Cross(e)/det, -d.Cross(a)/det
	if !(u >= 0 && w >= 0 && u+w <= 1) { // det of zero is here too
		return v, 0, false
	}
	beta, gamma := p.alpha[j]-p.alpha[i], p.alpha[k]-p.alpha[i]
	v = outline.Point{X: (beta*e.Y - gamma*d.Y) / (2 * det), Y: (gamma*d.X - beta*e.X) / (2 * det)}
	if n := v.Dot(v); n > p.reach*p.reach {
		v = v.Mul(p.reach / math.Sqrt(n))
	}
	return v, p.alpha[i] + u*beta + w*gamma, true
}
