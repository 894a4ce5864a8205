// Command lettering sets words as outlines and writes them as SVG at their
// physical size, and as a picture.
//
//	go run ./examples/lettering -text "MARLOW CREEK" -height 2in -svg marlow.svg -png marlow.png
//	go run ./examples/lettering -text "SCIENCE FAIR" -height 2in -between arc -rise 1in -svg fair.svg
//
// The height is that of the capitals. A \n in the text starts a new line.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/vinylgeom/vinyl/examples/internal/command"
	"github.com/vinylgeom/vinyl/examples/internal/output"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

func main() {
	command.Main("lettering", func(_ context.Context, args []string, stdout, stderr io.Writer) error {
		return run(args, stdout, stderr)
	})
}

// settings are the command line.
type settings struct {
	text     string
	fonts    []string
	index    int
	axes     map[string]float64
	set      lettering.Options
	between  shape
	svg, png string
}

func run(args []string, stdout, stderr io.Writer) error {
	s, err := parse(args, stderr)
	if err != nil {
		return err
	}
	for _, name := range s.fonts {
		f, err := lettering.OpenFontFile(name, lettering.FontOptions{Index: s.index, Axes: s.axes})
		if err != nil {
			return err
		}
		s.set.Fonts = append(s.set.Fonts, f)
	}
	text, err := lettering.Set(s.text, s.set)
	if err != nil {
		return err
	}
	if len(text.Path) == 0 {
		return errors.New("the text has nothing to cut; give -text letters that print")
	}
	path, err := s.between.bend(text.Path)
	if err != nil {
		return err
	}
	box := path.Bounds()
	if err := output.Write(
		output.File{Name: s.svg, Write: func(w io.Writer) error {
			return svg.Write(w, path, svg.WriteOptions{Title: strings.ReplaceAll(s.text, "\n", " / ")})
		}},
		output.File{Name: s.png, Write: func(w io.Writer) error {
			return proof.WriteShapePNG(w, path, "#000000", proof.Options{PixelsPerMM: resolution(box)})
		}},
	); err != nil {
		return err
	}
	width, height := units.Length(box.Width()), units.Length(box.Height())
	fmt.Fprintf(stdout, "%.2f x %.2f mm (%s x %s), cap height %.2f mm, %d contours, %d nodes\n",
		box.Width(), box.Height(), width.Fraction(16), height.Fraction(16), float64(text.Metrics.CapHeight), len(path), path.Nodes())
	return nil
}

// resolution returns pixels per millimetre for a picture some 1600 pixels
// wide or high, whichever is more.
func resolution(box outline.Box) float64 {
	return 1600 / math.Max(box.Width(), box.Height())
}

func parse(args []string, stderr io.Writer) (s settings, err error) {
	flags := command.Flags("lettering", "writes words as the outlines that are cut, flat or bent", stderr)
	flags.StringVar(&s.text, "text", "", "the words; \\n starts a new line")
	flags.Func("font", "font `FILE`, TrueType or OpenType; repeat it for characters that the first has not (default Go Bold)", func(name string) error {
		s.fonts = append(s.fonts, name)
		return nil
	})
	flags.IntVar(&s.index, "index", 0, "which font of a collection, from 0")
	flags.Func("axes", "settings of a variable font, such as wght=700,wdth=85", func(list string) error {
		s.axes, err = parseAxes(list)
		return err
	})
	flags.Func("height", "cap `height` of the letters, such as 2in or 50mm (required)", length(&s.set.Height))
	flags.Func("tracking", "`length` added between letters", length(&s.set.Tracking))
	flags.Func("leading", "`length` from baseline to baseline (default the font's own)", length(&s.set.Leading))
	flags.Func("align", "how lines stand to one another: start, left, centre or right", func(name string) error {
		for a := lettering.AlignStart; a <= lettering.AlignRight; a++ {
			if a.String() == name {
				s.set.Align = a
				return nil
			}
		}
		return errors.New("use start, left, centre or right")
	})
	flags.Func("maxwidth", "condense the letters where they would be wider than this `length`", length(&s.set.MaxWidth))
	flags.Func("slant", "`angle` by which the letters lean to the right, such as 12deg", func(text string) error {
		s.set.Slant, err = units.ParseAngle(text)
		return err
	})
	flags.Func("heavier", "`length` by which every border moves outwards, inwards if negative", length(&s.set.Heavier))
	flags.BoolVar(&s.set.Weld, "weld", false, "join letters that overlap")
	flags.Func("between", "bend the words between two curves: arc, sine or trapezoid", s.between.kind.parse)
	flags.Func("rise", "how far the middle of the arc lies above its ends, or the `height` of the sine's waves (default the cap height)", length(&s.between.rise))
	flags.Float64Var(&s.between.waves, "waves", 1, "how many waves the sine has")
	flags.Func("top", "`length` of the trapezoid's upper side (default a little less than the lower)", length(&s.between.top))
	flags.StringVar(&s.svg, "svg", "", "SVG `FILE` to write (required)")
	flags.StringVar(&s.png, "png", "", "PNG `FILE` to write")
	if err := command.Parse(flags, args); err != nil {
		return s, err
	}
	switch {
	case s.text == "":
		return s, errors.New("no words; give -text")
	case s.set.Height == 0:
		return s, errors.New("no size; give -height, such as -height 2in")
	case s.svg == "":
		return s, errors.New("no file to write; give -svg FILE")
	case s.svg == s.png:
		return s, errors.New("-svg and -png name the same file; give each its own")
	case len(s.fonts) == 0 && (s.index != 0 || len(s.axes) > 0):
		return s, errors.New("-index and -axes are about a font file; give -font FILE")
	}
	s.text = strings.ReplaceAll(s.text, `\n`, "\n")
	if s.between.rise == 0 {
		s.between.rise = s.set.Height
	}
	return s, nil
}

// length returns a flag's reader for a length with a unit.
func length(to *units.Length) func(string) error {
	return func(text string) (err error) {
		*to, err = units.Parse(text)
		return err
	}
}

// parseAxes reads "wght=700,wdth=85".
func parseAxes(list string) (map[string]float64, error) {
	axes := map[string]float64{}
	for _, part := range strings.Split(list, ",") {
		tag, value, ok := strings.Cut(strings.TrimSpace(part), "=")
		v, err := strconv.ParseFloat(value, 64)
		if !ok || err != nil {
			return nil, fmt.Errorf("%q is no setting; write it like wght=700", part)
		}
		axes[tag] = v
	}
	return axes, nil
}
