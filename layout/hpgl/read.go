package hpgl

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/vinylgeom/vinyl/outline"
)

// Causes of a [ReadError].
var (
	ErrSyntax   = errors.New("not HP-GL")
	ErrTooLarge = errors.New("the file is beyond the reader's limits")
)

// Limits of [Read]: what a hostile or broken file may cost. A point takes some
// 100 bytes in memory; a circle of five bytes is up to a thousand points.
const (
	MaxPoints     = 20_000_000 // of all strokes
	MaxParameters = 1_000_000  // of one command
	maxUnits      = 1e9        // of a coordinate: 25 km
	maxWarnings   = 100
	maxNumber     = 64 // bytes of one number
)

// arcStep is the usual chord of AA, AR and CI in degrees (HP 7470A manual).
const arcStep = 5

// Stroke is a line drawn with the pen down.
type Stroke struct {
	Pen   int           // from SP
	Curve outline.Curve // straight segments, millimetres
}

// Warning tells of a command that was passed over or mended.
type Warning struct {
	Offset  int64 // of the command, in bytes from the file's start
	Command string
	Message string
}

// String returns the warning as a line.
func (w Warning) String() string {
	return fmt.Sprintf("byte %d: %s: %s", w.Offset, w.Command, w.Message)
}

// File is what a plotter file draws.
type File struct {
	Strokes  []Stroke
	Warnings []Warning
	Speed    float64 // the last VS as written, cm/s on an HP 7470A; 0 if there is none
	Force    float64 // the last FS as written, a step of the machine's own; 0 if there is none
}

// Bounds returns the box of all strokes in millimetres.
func (f *File) Bounds() outline.Box {
	b := outline.EmptyBox()
	for _, s := range f.Strokes {
		b = b.Union(s.Curve.Bounds())
	}
	return b
}

// ReadError tells where a file cannot be read.
type ReadError struct {
	Offset  int64 // in bytes
	Command string
	Cause   error
	Detail  string
}

func (e *ReadError) Error() string {
	s := fmt.Sprintf("hpgl: byte %d", e.Offset)
	if e.Command != "" {
		s += ": " + e.Command
	}
	s += ": " + e.Cause.Error()
	if e.Detail != "" {
		s += ": " + e.Detail
	}
	return s
}

// Unwrap returns the cause.
func (e *ReadError) Unwrap() error { return e.Cause }

// Read returns what the file draws, in millimetres of plotter axes, y up. It
// knows IN, DF, SP, PU, PD, PA, PR, AA, AR, CI, EA, ER, VS and FS; labels and
// everything else is passed over with a warning, so that files with a maker's
// own commands can be looked at; of more than a hundred warnings the first are
// kept. A number without its pair is a warning, as on the plotter, and the pairs
// before it are drawn. The error is r's or a [*ReadError]; there is no file
// then. It reads r to its end and no further than [MaxPoints] allows.
func Read(r io.Reader) (*File, error) { return newParser(r).read() }

func newParser(r io.Reader) *parser {
	return &parser{in: bufio.NewReaderSize(r, 1<<16), file: &File{}, pen: 1, terminator: 3}
}

func (p *parser) read() (*File, error) {
	if err := p.run(); err != nil {
		return nil, err
	}
	p.lift()
	return p.file, nil
}

type parser struct {
	in         *bufio.Reader
	offset     int64
	file       *File
	pen        int
	down       bool
	relative   bool
	at         outline.Point // in plotter units
	points     []outline.Point
	count      int
	params     []float64
	start      int64  // of the command
	name       string // of the command
	terminator byte   // of labels
	digits     []byte
	known      bool // some command was HP-GL
}

func (p *parser) fail(cause error, detail string) error {
	return &ReadError{p.start, p.name, cause, detail}
}

func (p *parser) warn(message string) {
	if len(p.file.Warnings) < maxWarnings {
		p.file.Warnings = append(p.file.Warnings, Warning{p.start, p.name, message})
	}
}

func (p *parser) next() (byte, error) {
	b, err := p.in.ReadByte()
	if err == nil {
		p.offset++
	}
	return b, err
}

func (p *parser) back() {
	// The byte before was read from the same buffer.
	_ = p.in.UnreadByte()
	p.offset--
}

func letter(b byte) bool { return b >= 'A' && b <= 'Z' || b >= 'a' && b <= 'z' }

func (p *parser) run() error {
	for {
		b, err := p.next()
		if err == io.EOF {
			if !p.known && p.offset > 0 {
				p.start = 0
				p.name = ""
				return p.fail(ErrSyntax, "no command was found")
			}
			return nil
		}
		if err != nil {
			return err
		}
		switch {
		case b == 27:
			p.start, p.name = p.offset-1, "ESC"
			if err := p.escape(); err != nil {
				return err
			}
		case letter(b):
			p.start = p.offset - 1
			c, err := p.next()
			if err != nil && err != io.EOF {
				return err
			}
			if err == io.EOF || !letter(c) {
				p.name = string(b)
				return p.fail(ErrSyntax, "a command has two letters")
			}
			p.name = string([]byte{b &^ 32, c &^ 32})
			if err := p.command(); err != nil {
				return err
			}
		case b == ';' || b == ' ' || b == ',' || b == '\n' || b == '\r' || b == '\t' || b == 0 || b == 3:
		default:
			p.start, p.name = p.offset-1, ""
			return p.fail(ErrSyntax, fmt.Sprintf("%q where a command should begin", b))
		}
	}
}

// escape passes over a device control sequence: ESC . letter, parameters, and
// a colon where there are any.
func (p *parser) escape() error {
	p.warn("device control passed over")
	b, err := p.next()
	if err == io.EOF {
		return nil
	}
	if err != nil {
		return err
	}
	if b != '.' {
		return nil // ESC and one letter
	}
	if _, err := p.next(); err != nil {
		return ignoreEOF(err)
	}
	for range maxNumber {
		b, err := p.next()
		if err != nil {
			return ignoreEOF(err)
		}
		switch {
		case b == ':':
			return nil
		case b >= '0' && b <= '9' || b == ';' || b == ' ' || b == '-':
			// A semicolon parts parameters here; without a colon to come it
			// would have been a command's, so nothing of use is lost.
		default:
			p.back()
			return nil
		}
	}
	return nil
}

func ignoreEOF(err error) error {
	if err == io.EOF {
		return nil
	}
	return err
}

// until passes over text up to and with the given byte.
func (p *parser) until(end byte) error {
	for {
		b, err := p.next()
		if err != nil {
			return ignoreEOF(err)
		}
		if b == end {
			return nil
		}
	}
}

func (p *parser) command() error {
	switch p.name {
	case "LB":
		p.known = true
		p.warn("text passed over")
		return p.until(p.terminator)
	case "DT":
		b, err := p.next()
		if err != nil {
			return ignoreEOF(err)
		}
		p.terminator = b
		return nil
	case "PE":
		p.warn("encoded polyline passed over; ask for a file without PE")
		return p.until(';')
	case "CO", "BP":
		p.warn("passed over")
		return p.until(';')
	}
	if err := p.numbers(); err != nil {
		return err
	}
	switch p.name {
	case "IN", "DF":
		p.known = true
		p.lift()
		p.relative = false
		if p.name == "IN" {
			p.at = outline.Point{}
		}
	case "SP":
		p.known = true
		p.lift()
		p.pen = 0
		if len(p.params) > 0 {
			p.pen = int(math.Max(-1, math.Min(p.params[0], 1e6)))
		}
	case "PU":
		p.known = true
		p.lift()
		return p.pairs()
	case "PD":
		p.known = true
		p.down = true
		return p.pairs()
	case "PA", "PR":
		p.known = true
		p.relative = p.name == "PR"
		return p.pairs()
	case "AA", "AR":
		return p.arc()
	case "CI":
		return p.circle()
	case "EA", "ER":
		return p.rectangle()
	case "VS":
		if len(p.params) > 0 {
			p.file.Speed = p.params[0]
		}
	case "FS":
		if len(p.params) > 0 {
			p.file.Force = p.params[0]
		}
	case "PG", "NR", "PT", "PW", "LT", "AS", "WU", "AF", "AH":
		// Nothing that changes where the pen goes.
	case "SC", "IP", "RO", "IW":
		p.warn("scaling, rotation and windows are not followed: coordinates are read as plotter units")
	default:
		p.warn("unknown command passed over")
	}
	return nil
}

// numbers reads the command's parameters.
func (p *parser) numbers() error {
	p.params = p.params[:0]
	for {
		b, err := p.next()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		switch {
		case b == ';':
			return nil
		case letter(b) || b == 27:
			p.back()
			return nil
		case b == ',' || b == ' ' || b == '\n' || b == '\r' || b == '\t':
		case b >= '0' && b <= '9' || b == '-' || b == '+' || b == '.':
			p.digits = append(p.digits[:0], b)
			for {
				c, err := p.next()
				if err == io.EOF {
					break
				}
				if err != nil {
					return err
				}
				if !(c >= '0' && c <= '9' || c == '.') {
					p.back()
					break
				}
				if len(p.digits) == maxNumber {
					return p.fail(ErrSyntax, "a number of more than 64 characters")
				}
				p.digits = append(p.digits, c)
			}
			v, err := strconv.ParseFloat(string(p.digits), 64)
			if err != nil {
				return p.fail(ErrSyntax, fmt.Sprintf("%q is no number", p.digits))
			}
			if math.Abs(v) > maxUnits {
				return p.fail(ErrTooLarge, fmt.Sprintf("%s is beyond ±1e9", p.digits))
			}
			if len(p.params) == MaxParameters {
				return p.fail(ErrTooLarge, fmt.Sprintf("more than %d numbers in one command; write it as several", MaxParameters))
			}
			p.params = append(p.params, v)
		default:
			return p.fail(ErrSyntax, fmt.Sprintf("%q among the numbers", b))
		}
	}
}

// pairs moves the pen along the command's coordinates.
func (p *parser) pairs() error {
	for i := 0; i+1 < len(p.params); i += 2 {
		to := outline.Pt(p.params[i], p.params[i+1])
		if p.relative {
			to = p.at.Add(to)
		}
		if err := p.move(to); err != nil {
			return err
		}
	}
	if len(p.params)%2 == 1 {
		p.warn("a number without its pair is left out")
	}
	return nil
}

// move takes the pen to a place in plotter units, drawing if it is down.
func (p *parser) move(to outline.Point) error {
	if math.Abs(to.X) > maxUnits || math.Abs(to.Y) > maxUnits {
		return p.fail(ErrTooLarge, "relative moves lead beyond ±1e9 units")
	}
	if p.down {
		if len(p.points) == 0 {
			p.points = append(p.points, p.at)
		}
		if p.count++; p.count > MaxPoints {
			return p.fail(ErrTooLarge, fmt.Sprintf("more than %d points with the pen down; read the file in parts", MaxPoints))
		}
		p.points = append(p.points, to)
	}
	p.at = to
	return nil
}

// lift ends the stroke.
func (p *parser) lift() {
	p.down = false
	if len(p.points) > 0 {
		for i := range p.points {
			p.points[i] = p.points[i].Mul(float64(Unit))
		}
		p.file.Strokes = append(p.file.Strokes, Stroke{p.pen, outline.Polyline(p.points...)})
		p.points = p.points[:0]
	}
}

// sweep moves along an arc about centre.
func (p *parser) sweep(centre outline.Point, degrees, step float64) error {
	if !(math.Abs(step) >= 0.36) { // at most a thousand chords to a turn
		step = arcStep
	}
	if math.Abs(degrees) > 360 {
		degrees = math.Copysign(360, degrees)
	}
	from := p.at.Sub(centre)
	n := int(math.Ceil(math.Abs(degrees) / math.Abs(step)))
	for i := 1; i <= n; i++ {
		sin, cos := math.Sincos(degrees * math.Pi / 180 * float64(i) / float64(n))
		if err := p.move(centre.Add(outline.Pt(from.X*cos-from.Y*sin, from.X*sin+from.Y*cos))); err != nil {
			return err
		}
	}
	return nil
}

// param returns parameter i, or 0.
func (p *parser) param(i int) float64 {
	if i < len(p.params) {
		return p.params[i]
	}
	return 0
}

func (p *parser) arc() error {
	p.known = true
	if len(p.params) < 3 {
		p.warn("an arc needs its centre and its angle")
		return nil
	}
	centre := outline.Pt(p.params[0], p.params[1])
	if p.name == "AR" {
		centre = p.at.Add(centre)
	}
	return p.sweep(centre, p.params[2], p.param(3))
}

// circle draws whatever the pen's state, and leaves pen and position as they
// were.
func (p *parser) circle() error {
	p.known = true
	if len(p.params) < 1 {
		p.warn("a circle needs its radius")
		return nil
	}
	return p.aside(func(at outline.Point) error {
		if err := p.move(at.Add(outline.Pt(p.params[0], 0))); err != nil {
			return err
		}
		p.down = true
		return p.sweep(at, 360, p.param(1))
	})
}

func (p *parser) rectangle() error {
	p.known = true
	if len(p.params) < 2 {
		p.warn("a rectangle needs its opposite corner")
		return nil
	}
	return p.aside(func(at outline.Point) error {
		to := outline.Pt(p.params[0], p.params[1])
		if p.name == "ER" {
			to = at.Add(to)
		}
		p.down = true
		for _, c := range []outline.Point{{X: to.X, Y: at.Y}, to, {X: at.X, Y: to.Y}, at} {
			if err := p.move(c); err != nil {
				return err
			}
		}
		return nil
	})
}

// aside draws a shape of its own and puts the pen back.
func (p *parser) aside(draw func(at outline.Point) error) error {
	at, down := p.at, p.down
	p.lift()
	err := draw(at)
	p.lift()
	p.at, p.down = at, down
	return err
}
