// Command cutfile turns artwork into files for the cutter: it reads an SVG,
// welds what is filled, plans the cut and writes SVG, HP-GL, DXF and a picture,
// all in millimetres at the artwork's physical size.
//
//	go run ./examples/cutfile -in art.svg -svg cut.svg -hpgl cut.plt -dxf cut.dxf -png cut.png
//	go run ./examples/cutfile -in art.svg -hpgl cut.plt -knife-offset 0.25mm -overcut 0.5mm -speed 300mm/s -report
//
// The page and the place of the artwork on it stay as they are; (0, 0) of the
// plotter is the page's lower left corner. Knife offset and overcut only change
// the HP-GL: SVG and DXF hold the artwork itself.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/vinylgeom/vinyl/examples/internal/command"
	"github.com/vinylgeom/vinyl/examples/internal/output"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/units"
)

func main() { command.Main("cutfile", run) }

// settings are the flags.
type settings struct {
	in, svg, hpgl, dxf, png string
	offset, overcut         units.Length
	speed                   units.Speed
	report                  bool
	budget                  time.Duration
	seed                    uint64
}

// parse reads the flags; a bare number is millimetres, or millimetres a second.
func parse(args []string, stderr io.Writer) (settings, error) {
	var s settings
	f := command.Flags("cutfile", "writes any artwork as a cut file", stderr)
	f.StringVar(&s.in, "in", "", "the artwork, an SVG file")
	f.StringVar(&s.svg, "svg", "", "write the welded outlines as SVG")
	f.StringVar(&s.hpgl, "hpgl", "", "write the cut as HP-GL")
	f.StringVar(&s.dxf, "dxf", "", "write the cut as DXF of release 12, in millimetres")
	f.StringVar(&s.png, "png", "", "write a picture")
	length := func(to *units.Length) func(string) error {
		return func(text string) (err error) {
			if v, bare := strconv.ParseFloat(text, 64); bare == nil {
				*to = units.Length(v)
			} else if *to, err = units.Parse(text); err != nil {
				return err
			}
			if !(*to >= 0) || !to.IsFinite() {
				return errors.New("give zero or more")
			}
			return nil
		}
	}
	f.Func("knife-offset", "how far the blade's tip trails its axis, such as 0.25mm (default 0)", length(&s.offset))
	f.Func("overcut", "how far contours are cut past their start, such as 0.5mm (default 0)", length(&s.overcut))
	f.Func("speed", "cutting speed, such as 300mm/s; sent to the machine and used for the time", func(text string) (err error) {
		if v, bare := strconv.ParseFloat(text, 64); bare == nil {
			s.speed = units.Speed(v)
		} else if s.speed, err = units.ParseSpeed(text); err != nil {
			return err
		}
		if !(s.speed > 0) || s.speed > 1e5 {
			return errors.New("give more than zero, and less than 100 m/s")
		}
		return nil
	})
	f.BoolVar(&s.report, "report", false, "print cut length, travel, lifts and seconds")
	f.DurationVar(&s.budget, "budget", 0, "time for shortening the travel, such as 2s; 0: the same plan every time")
	f.Uint64Var(&s.seed, "seed", 0, "seed of the search for short travel")
	if err := command.Parse(f, args); err != nil {
		return s, err
	}
	switch {
	case s.in == "":
		return s, errors.New("name the artwork with -in, such as -in art.svg")
	case s.svg == "" && s.hpgl == "" && s.dxf == "" && s.png == "" && !s.report:
		return s, errors.New("nothing to do: give -svg, -hpgl, -dxf, -png or -report")
	case s.budget < 0:
		return s, errors.New("-budget is negative: give zero or more")
	}
	seen := map[string]string{filepath.Clean(s.in): "-in"}
	for _, o := range [][2]string{{"-svg", s.svg}, {"-hpgl", s.hpgl}, {"-dxf", s.dxf}, {"-png", s.png}} {
		if o[1] == "" {
			continue
		}
		if other, twice := seen[filepath.Clean(o[1])]; twice {
			return s, fmt.Errorf("%s and %s name the same file, %s", other, o[0], o[1])
		}
		seen[filepath.Clean(o[1])] = o[0]
	}
	return s, nil
}

func run(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	s, err := parse(args, stderr)
	if err != nil {
		return err
	}
	art, err := readArt(s.in, stderr)
	if err != nil {
		return err
	}
	job, err := cutpath.Plan(ctx, art.sheet(), cutpath.Options{AllowOutside: true, Budget: s.budget, Seed: s.seed})
	if err != nil {
		return err
	}
	cut, err := job.For(cutpath.Device{Knife: cutpath.Knife{Offset: s.offset, Overcut: s.overcut}})
	if err != nil {
		return err
	}
	if err := output.Write(
		output.File{Name: s.svg, Write: art.writeSVG},
		output.File{Name: s.hpgl, Write: func(w io.Writer) error { return writeHPGL(w, cut, s.speed, stderr) }},
		output.File{Name: s.dxf, Write: func(w io.Writer) error { return writeDXF(w, job) }},
		output.File{Name: s.png, Write: art.writePNG},
	); err != nil {
		return err
	}
	if s.report {
		return report(stdout, job, cut, cutpath.Limits{CutSpeed: s.speed})
	}
	return nil
}

// report prints what the cut comes to; cut is the job as the machine drives
// it.
func report(w io.Writer, job, cut cutpath.Job, limits cutpath.Limits) error {
	timing, err := cut.Time(limits)
	if err != nil {
		return err
	}
	travel, bound := job.Travel(), job.LowerBound()
	above := "0.0"
	if bound > 0 {
		above = fmt.Sprintf("%.1f", 100*(travel/bound-1))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "cut length  %.1f mm\n", float64(cut.CutLength()))
	fmt.Fprintf(&b, "travel      %.1f mm, %s %% above the lower bound of %.1f mm\n", float64(travel), above, float64(bound))
	fmt.Fprintf(&b, "lifts       %d\n", cut.Lifts())
	fmt.Fprintf(&b, "seconds     %.1f (cutting %.1f, travel %.1f, knife up and down %.1f)\n", timing.Seconds(), timing.Cut.Seconds(), timing.Travel.Seconds(), timing.Lift.Seconds())
	_, err = io.WriteString(w, b.String())
	return err
}
