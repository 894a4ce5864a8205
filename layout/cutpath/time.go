package cutpath

import (
	"fmt"
	"math"
	"time"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Acceleration is a change of speed in mm/s².
type Acceleration float64

// Gravity is standard gravity, 9.80665 m/s² (ISO 80000-3); machines state
// their acceleration in shares of it.
const Gravity Acceleration = 9806.65

// SpeedMeaning tells what a machine's speed setting bounds.
type SpeedMeaning uint8

const (
	// AlongPath bounds the speed along the path.
	AlongPath SpeedMeaning = iota
	// PerAxis bounds film and carriage each by itself, so that diagonals run
	// up to √2 faster, as measured on one machine (256.makerslocal.org, 2016).
	PerAxis
)

// String names the meaning.
func (m SpeedMeaning) String() string {
	switch m {
	case AlongPath:
		return "along the path"
	case PerAxis:
		return "per axis"
	}
	return "unknown meaning"
}

// Limits are what a machine can do. The zero value stands for a small roll
// cutter at a working speed (the Default constants); replace it by the shop's
// own measurements.
type Limits struct {
	CutSpeed     units.Speed  // zero: DefaultCutSpeed
	TravelSpeed  units.Speed  // with the knife up; zero: DefaultTravelSpeed
	Acceleration Acceleration // zero: DefaultAcceleration
	Meaning      SpeedMeaning // of speeds and acceleration

	// JunctionDeviation is how far off a corner the machine may be thought to
	// round it when it passes without stopping: it sets the speed there. Zero:
	// DefaultJunctionDeviation. The artwork is cut exactly all the same.
	JunctionDeviation units.Length

	// Lift and Plunge are the times for knife up and knife down; zero:
	// DefaultLift each. Negative: none.
	Lift, Plunge time.Duration

	// Tolerance for turning curves into chords; zero: half the junction
	// deviation.
	Tolerance units.Length
}

// Defaults of [Limits]. Common practice, no source, but for the acceleration:
// half of standard gravity, the lower of the two figures in reference data of
// pen plotters (HP 7470A).
const (
	DefaultCutSpeed          units.Speed  = 200
	DefaultTravelSpeed       units.Speed  = 400
	DefaultAcceleration                   = Gravity / 2
	DefaultJunctionDeviation units.Length = 0.02
	DefaultLift                           = 100 * time.Millisecond
)

func (l Limits) filled() (Limits, error) {
	bad := func(name string, v any) (Limits, error) {
		return Limits{}, optionError("time", fmt.Sprintf("%s is %v", name, v), "give zero for the default, or more")
	}
	finite := func(v float64) bool { return v >= 0 && !math.IsInf(v, 0) }
	switch {
	case !finite(float64(l.CutSpeed)):
		return bad("CutSpeed", l.CutSpeed)
	case !finite(float64(l.TravelSpeed)):
		return bad("TravelSpeed", l.TravelSpeed)
	case !finite(float64(l.Acceleration)):
		return bad("Acceleration", l.Acceleration)
	case !finite(float64(l.JunctionDeviation)):
		return bad("JunctionDeviation", l.JunctionDeviation)
	case !finite(float64(l.Tolerance)):
		return bad("Tolerance", l.Tolerance)
	case l.Meaning > PerAxis:
		return bad("Meaning", uint8(l.Meaning))
	case l.Lift > maxLift:
		return bad("Lift", l.Lift)
	case l.Plunge > maxLift:
		return bad("Plunge", l.Plunge)
	}
	if l.CutSpeed == 0 {
		l.CutSpeed = DefaultCutSpeed
	}
	if l.TravelSpeed == 0 {
		l.TravelSpeed = DefaultTravelSpeed
	}
	if l.Acceleration == 0 {
		l.Acceleration = DefaultAcceleration
	}
	if l.JunctionDeviation == 0 {
		l.JunctionDeviation = DefaultJunctionDeviation
	}
	if l.Tolerance == 0 {
		l.Tolerance = l.JunctionDeviation / 2
	}
	if l.Lift == 0 {
		l.Lift = DefaultLift
	}
	if l.Plunge == 0 {
		l.Plunge = DefaultLift
	}
	l.Lift, l.Plunge = max(l.Lift, 0), max(l.Plunge, 0)
	return l, nil
}

// maxLift bounds Lift and Plunge, so that no sum of them leaves what a
// time.Duration holds.
const maxLift = time.Hour

// RampLength returns the way from rest to the cutting speed, v²/2a.
func (l Limits) RampLength() units.Length {
	l, err := l.filled()
	if err != nil {
		return 0
	}
	v := float64(l.CutSpeed)
	return units.Length(v * v / (2 * float64(l.Acceleration)))
}

// Timing is where a job's time goes.
type Timing struct {
	Cut, Travel, Lift time.Duration
}

// Total returns the sum.
func (t Timing) Total() time.Duration { return t.Cut + t.Travel + t.Lift }

// Seconds returns the sum in seconds.
func (t Timing) Seconds() float64 { return t.Total().Seconds() }

// Time returns how long the job takes. Every stroke begins and ends at rest;
// in between the speed is the highest that keeps to the limits (trapezoids with
// look-ahead over the whole stroke). At a corner with inside angle θ the speed
// is bound by v² = a·δ·sin(θ/2)/(1 − sin(θ/2)): that of a circle which
// touches both sides and stays within the junction deviation δ of the corner. It must also
// fit on the shorter side, so that a curve made of many chords is passed at
// v² = a·r, its own radius.
func (j Job) Time(l Limits) (Timing, error) {
	l, err := l.filled()
	if err != nil {
		return Timing{}, err
	}
	var t Timing
	var cut, travel float64
	c := clock{limits: l}
	at := j.Home
	for i, s := range j.Strokes {
		if i == 0 || s.Curve.Start != at {
			travel += c.move(at, s.Curve.Start)
			t.Lift += l.Plunge
		}
		c.points = s.Curve.Flatten(c.points[:0], l.Tolerance)
		cut += c.cut()
		at = s.Curve.End()
		if i+1 == len(j.Strokes) || j.Strokes[i+1].Curve.Start != at {
			t.Lift += l.Lift
		}
	}
	if j.Return && len(j.Strokes) > 0 {
		travel += c.move(at, j.Home)
	}
	if !(cut+travel <= maxSeconds) {
		return Timing{}, optionError("time", fmt.Sprintf("%.3g seconds at %v and %v", cut+travel, l.CutSpeed, l.TravelSpeed), "check the speeds, the acceleration and the job's coordinates")
	}
	t.Cut, t.Travel = seconds(cut), seconds(travel)
	return t, nil
}

// maxSeconds is some thirty years, well within a time.Duration.
const maxSeconds = 1e9

func seconds(s float64) time.Duration { return time.Duration(math.Round(s * float64(time.Second))) }

// clock times one stroke after the other and reuses its memory.
type clock struct {
	limits Limits
	points []outline.Point
	legs   []leg
}

// leg is a chord with its limits; entry is the greatest speed at its start.
type leg struct {
	length float64
	dir    outline.Point
	speed  float64 // greatest
	accel  float64
	entry  float64 // squared
}

// axisFactor is by how much a machine whose axes are bound singly is faster in
// the direction dir than along an axis.
func (c *clock) axisFactor(dir outline.Point) float64 {
	if c.limits.Meaning == AlongPath {
		return 1
	}
	return 1 / math.Max(math.Abs(dir.X), math.Abs(dir.Y))
}

// move returns the time for a straight way with the knife up, rest to rest.
func (c *clock) move(from, to outline.Point) float64 {
	v := to.Sub(from)
	length := v.Norm()
	if length == 0 {
		return 0
	}
	k := c.axisFactor(v.Mul(1 / length))
	return trapezoid(length, 0, 0, k*float64(c.limits.TravelSpeed), k*float64(c.limits.Acceleration))
}

// cut returns the time for the polyline in c.points, rest to rest.
func (c *clock) cut() float64 {
	c.legs = c.legs[:0]
	for i := 1; i < len(c.points); i++ {
		v := c.points[i].Sub(c.points[i-1])
		length := v.Norm()
		if length == 0 {
			continue
		}
		dir := v.Mul(1 / length)
		k := c.axisFactor(dir)
		c.legs = append(c.legs, leg{length: length, dir: dir, speed: k * float64(c.limits.CutSpeed), accel: k * float64(c.limits.Acceleration)})
	}
	n := len(c.legs)
	if n == 0 {
		return 0
	}
	deviation := float64(c.limits.JunctionDeviation)
	for i := 1; i < n; i++ {
		a, b := &c.legs[i-1], &c.legs[i]
		top := math.Min(a.speed, b.speed)
		b.entry = math.Min(top*top, cornerSpeed2(a, b, deviation))
	}
	// Backward: slow enough to stop in time. Forward: no faster than can be
	// reached.
	exit := 0.0
	for i := n - 1; i > 0; i-- {
		l := &c.legs[i]
		l.entry = math.Min(l.entry, exit+2*l.accel*l.length)
		exit = l.entry
	}
	sum := 0.0
	entry := 0.0
	for i := range n {
		l := &c.legs[i]
		reach := entry + 2*l.accel*l.length
		exit := 0.0
		if i+1 < n {
			exit = math.Min(c.legs[i+1].entry, reach)
		}
		sum += trapezoid(l.length, math.Sqrt(entry), math.Sqrt(exit), l.speed, l.accel)
		entry = exit
	}
	return sum
}

// cornerSpeed2 returns the square of the speed at which the corner between two
// legs may be passed.
func cornerSpeed2(a, b *leg, deviation float64) float64 {
	// The inside angle is π less the turn, so its half has the turn's half
	// cosine as sine.
	cosTurn := a.dir.Dot(b.dir)
	sinHalf := math.Sqrt(math.Max(0, (1+cosTurn)/2))
	if sinHalf >= 1 {
		return math.Inf(1)
	}
	radius := deviation * sinHalf / (1 - sinHalf)
	// The circle's tangents take radius·tan(turn/2) of each side; half a side
	// belongs to this corner.
	tanHalf := math.Sqrt(math.Max(0, 1-sinHalf*sinHalf)) / sinHalf
	if fit := math.Min(a.length, b.length) / 2; radius*tanHalf > fit {
		radius = fit / tanHalf
	}
	return math.Min(a.accel, b.accel) * radius
}

// trapezoid returns the time for a length, entered at speed v0 and left at v1,
// both within reach, with at most the given speed in between.
func trapezoid(length, v0, v1, speed, accel float64) float64 {
	up := (speed*speed - v0*v0) / (2 * accel)
	down := (speed*speed - v1*v1) / (2 * accel)
	if up+down <= length {
		return (2*speed-v0-v1)/accel + (length-up-down)/speed
	}
	peak := math.Sqrt((2*accel*length + v0*v0 + v1*v1) / 2)
	return math.Max(0, 2*peak-v0-v1) / accel
}
