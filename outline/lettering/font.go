package lettering

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"slices"
	"sync"
	"sync/atomic"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/font/opentype/tables"
	"golang.org/x/image/font/gofont/gobold"
)

// Font is one font, in one setting of its axes. It is made by [Default],
// [ParseFont], [OpenFont] or [OpenFontFile]; the zero Font cannot be used. A
// Font never changes, remembers what it has shaped within fixed bounds, and is
// safe for concurrent use.
type Font struct {
	name   string
	index  int
	face   *font.Font
	coords []font.VarCoord // normalised; nil where nothing varies
	axes   []Axis

	upem                     float64
	capHeight, xHeight       float64 // font units, 0 = not known
	ascent, descent, lineGap float64 // font units; descent is negative

	shapers sync.Pool // of *shaper
	lossy   []tables.Coverage2
	tables  sync.RWMutex // held for writing where lossy tables are touched
	texts   textCache

	outlines []atomic.Pointer[glyph] // by glyph index
	cached   atomic.Int32            // how many outlines are kept
}

// FontOptions picks one font out of what a file holds.
type FontOptions struct {
	// Index is the font's place in a collection, from 0.
	Index int
	// Axes sets a variable font's axes by their four letter tags, such as
	// "wght": 700. Axes not named keep the font's default. A value outside an
	// axis' range is an error, as is an axis that the font has not.
	Axes map[string]float64
	// Name is what errors and reports call the font; empty means the file's
	// name or the font's own full name.
	Name string
}

var defaultFont = sync.OnceValues(func() (*Font, error) {
	return ParseFont(gobold.TTF, FontOptions{Name: "Go Bold"})
})

// Default returns Go Bold, which is part of the program. All calls share one
// font.
func Default() *Font {
	f, err := defaultFont()
	if err != nil {
		panic(err) // the embedded font is part of this package's tests
	}
	return f
}

// ParseFont reads a TrueType or OpenType (CFF) font, or one font of a
// collection, from data, which must not be changed afterwards. The error is a
// [*FontError], or an [*OptionError] for an axis set beyond its range.
func ParseFont(data []byte, opt FontOptions) (f *Font, err error) {
	name := opt.Name
	if name == "" {
		name = "font data"
	}
	fail := func(cause error, detail, fix string) (*Font, error) {
		return nil, &FontError{name, opt.Index, cause, detail, fix}
	}
	// The readers of font tables are code for fonts that follow the standard.
	defer func() {
		if r := recover(); r != nil {
			f, err = fail(ErrBadFont, fmt.Sprint(r), "use another file")
		}
	}()
	if len(data) > MaxFontBytes {
		return fail(ErrTooLarge, fmt.Sprintf("%d bytes", len(data)), fmt.Sprintf("use a font of at most %d bytes", MaxFontBytes))
	}
	if err := checkDirectory(data); err != nil {
		return fail(ErrBadFont, err.Error(), "use a whole TrueType, OpenType or WOFF file")
	}
	loaders, err := opentype.NewLoaders(bytes.NewReader(data))
	if err != nil {
		return fail(ErrBadFont, err.Error(), "use a TrueType or OpenType file")
	}
	if opt.Index < 0 || opt.Index >= len(loaders) {
		return fail(ErrNoSuchFont, fmt.Sprintf("it holds %d", len(loaders)), "count from 0")
	}
	glyphs := glyphCount(loaders[opt.Index])
	if err := checkGlyphs(loaders[opt.Index], glyphs); err != nil {
		return fail(ErrBadFont, err.Error(), "use another file")
	}
	face, err := font.NewFont(loaders[opt.Index])
	if err != nil {
		return fail(ErrBadFont, err.Error(), "use another file")
	}
	if face.Upem() == 0 || glyphs == 0 {
		return fail(ErrBadFont, "no units per em or no glyphs", "use another file")
	}
	if opt.Name == "" {
		if d := face.Describe(); d.Family != "" {
			name = d.Family
		}
	}
	lossy := mendLookups(face)
	f = &Font{name: name, index: opt.Index, face: face, lossy: lossy, upem: float64(face.Upem()), outlines: make([]atomic.Pointer[glyph], glyphs)}
	if err := f.setAxes(loaders[opt.Index], opt.Axes); err != nil {
		return nil, err
	}
	f.measure()
	return f, nil
}

// OpenFont reads a font file from fsys; see [ParseFont]. Where it cannot be read,
// the [*FontError] wraps the file system's error.
func OpenFont(fsys fs.FS, name string, opt FontOptions) (*Font, error) {
	file, err := fsys.Open(name)
	if err != nil {
		return nil, &FontError{name, opt.Index, err, "", "check the name"}
	}
	defer file.Close()
	return readFont(file, name, opt)
}

// OpenFontFile is [OpenFont] in the operating system's file system.
func OpenFontFile(name string, opt FontOptions) (*Font, error) {
	file, err := os.Open(name)
	if err != nil {
		return nil, &FontError{name, opt.Index, err, "", "check the name"}
	}
	defer file.Close()
	return readFont(file, name, opt)
}

func readFont(r io.Reader, name string, opt FontOptions) (*Font, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxFontBytes+1))
	if err != nil {
		return nil, &FontError{name, opt.Index, err, "", "check that it is a file"}
	}
	if opt.Name == "" {
		opt.Name = name
	}
	return ParseFont(data, opt)
}

// Name returns what the font is called in errors.
func (f *Font) Name() string { return f.name }

// glyphCount returns how many glyphs the font says it has.
func glyphCount(ld *opentype.Loader) int {
	raw, err := ld.RawTable(opentype.MustNewTag("maxp"))
	if err != nil {
		return 0
	}
	maxp, _, err := tables.ParseMaxp(raw)
	if err != nil {
		return 0
	}
	return int(maxp.NumGlyphs)
}

// Axis is one direction in which a variable font varies.
type Axis struct {
	Tag               string // such as "wght" (weight), "wdth" (width), "slnt" (slant)
	Min, Default, Max float64
	Value             float64 // what the font is set to
}

// Axes returns a variable font's axes in the order of the file, none for
// another font.
func (f *Font) Axes() []Axis { return slices.Clone(f.axes) }

// setAxes turns the axes asked for into normalised coordinates.
func (f *Font) setAxes(ld *opentype.Loader, axes map[string]float64) error {
	f.axes = readAxes(ld)
	if len(axes) == 0 {
		return nil
	}
	known := f.axes
	tags := make([]string, 0, len(axes))
	for tag := range axes {
		tags = append(tags, tag)
	}
	slices.Sort(tags) // the same error every time
	for _, tag := range tags {
		value := axes[tag]
		i := slices.IndexFunc(known, func(a Axis) bool { return a.Tag == tag })
		if i < 0 {
			return &FontError{f.name, f.index, ErrNoSuchAxis, fmt.Sprintf("%q; it has %s", tag, axisList(known)), "leave the axis out or use a variable font"}
		}
		a := &known[i]
		if math.IsNaN(value) || value < a.Min || value > a.Max {
			return &OptionError{"Axes[" + tag + "]", fmt.Sprint(value), fmt.Sprintf("the font %s has %v to %v", f.name, a.Min, a.Max)}
		}
		a.Value = value
	}
	design := make([]float32, len(known))
	for i, a := range known {
		design[i] = float32(a.Value)
	}
	f.coords = f.face.NormalizeVariations(design)
	return nil
}

func axisList(axes []Axis) string {
	if len(axes) == 0 {
		return "none"
	}
	s := ""
	for i, a := range axes {
		if i > 0 {
			s += ", "
		}
		s += fmt.Sprintf("%s %v to %v", a.Tag, a.Min, a.Max)
	}
	return s
}

// readAxes returns the axes in the order of the font's fvar table.
func readAxes(ld *opentype.Loader) []Axis {
	raw, err := ld.RawTable(opentype.MustNewTag("fvar"))
	if err != nil {
		return nil
	}
	fvar, _, err := tables.ParseFvar(raw)
	if err != nil {
		return nil
	}
	axes := make([]Axis, len(fvar.Axis))
	for i, a := range fvar.Axis {
		axes[i] = Axis{Tag: a.Tag.String(), Min: float64(a.Minimum), Default: float64(a.Default), Max: float64(a.Maximum), Value: float64(a.Default)}
	}
	return axes
}

// newFace returns a face of the font for one goroutine: faces keep caches that
// are not safe to share.
func (f *Font) newFace() *font.Face {
	face := font.NewFace(f.face)
	face.SetCoords(f.coords)
	return face
}
