// Command across prints how many decals of a size go across the films on the
// shelf, and the sizes at which one more would.
//
//	go run ./examples/across -height 5.25in -width 4.8in [-gap 1/4in] [-margin 10mm] [-films 12in,15in,24in,30in] [-json]
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"

	"github.com/vinylgeom/vinyl/examples/internal/command"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/units"
)

func main() {
	command.Main("across", func(_ context.Context, args []string, stdout, stderr io.Writer) error {
		return run(args, stdout, stderr)
	})
}

func run(args []string, stdout, stderr io.Writer) error {
	flags := command.Flags("across", "prints how many decals of a size go across the films on the shelf, and the sizes at which one more would", stderr)
	height := length(flags, "height", 0, "required", "the decal's height")
	width := length(flags, "width", 0, "required", "the decal's width")
	gap := length(flags, "gap", units.Inch/4, "default 1/4 in", "between decals")
	margin := length(flags, "margin", 10*units.Millimetre, "default 10 mm", "at each long edge of the film, to the outermost cut")
	films := flags.String("films", "12in,15in,20in,24in,30in,48in", "the widths of the films on the shelf")
	asJSON := flags.Bool("json", false, "print JSON")
	if err := command.Parse(flags, args); err != nil {
		return err
	}
	if *height <= 0 || *width <= 0 {
		return errors.New("give -height and -width above zero, such as -height 5.25in -width 4.8in")
	}
	var shelf []layout.Film
	for _, text := range strings.Split(*films, ",") {
		w, err := units.Parse(text)
		if err != nil {
			return fmt.Errorf("-films: %w", err)
		}
		shelf = append(shelf, layout.Film{Name: w.Fraction(16), Width: w})
	}
	rows, err := layout.AcrossTable(shelf, layout.Bed{EdgeMargin: *margin}, *width, *height, *gap)
	if err != nil {
		return err
	}
	if *asJSON {
		return command.PrintJSON(stdout, map[string]any{"width_mm": width.Millimetres(), "height_mm": height.Millimetres(), "gap_mm": gap.Millimetres(), "edge_margin_mm": margin.Millimetres(), "films": rows})
	}
	table(stdout, rows, *width, *height, *gap, *margin)
	return nil
}

// length defines a flag that takes a length.
func length(flags *flag.FlagSet, name string, value units.Length, standard, usage string) *units.Length {
	l := value
	flags.Func(name, usage+" ("+standard+")", func(text string) (err error) {
		l, err = units.Parse(text)
		return err
	})
	return &l
}

func table(w io.Writer, rows []layout.AcrossRow, width, height, gap, margin units.Length) {
	fmt.Fprintf(w, "Decals %s wide and %s high, %s apart, %.0f mm margins\n\n", width.InchString(), height.InchString(), gap.Fraction(16), margin.Millimetres())
	fmt.Fprintf(w, "%-9s  %6s  %14s  %6s  %14s  %s\n", "film", "across", "film a decal", "turned", "film a decal", "one more across at")
	for _, r := range rows {
		per := func(film units.Length) string {
			if film == 0 {
				return "-"
			}
			return film.InchString()
		}
		more := "-"
		if r.OneMoreWidth > 0 {
			more = fmt.Sprintf("%s x %s", r.OneMoreWidth.InchString(), r.OneMoreHeight.InchString())
			if r.Across > 0 {
				more += fmt.Sprintf(", %.0f %% less film a decal", 100*r.OneMoreSaves)
			}
		}
		fmt.Fprintf(w, "%-9s  %6d  %14s  %6d  %14s  %s\n", r.Width.InchString(), r.Across, per(r.FilmPerDecal), r.TurnedAcross, per(r.TurnedFilmPerDecal), more)
	}
}
