// Command across prints how many decals of a size go across the films on the
// shelf, and the sizes at which one more would.
//
//	go run ./examples/across -height 5.25in -width 4.8in [-gap 1/4in] [-margin 10mm] [-films 12in,15in,24in,30in] [-json]
package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/units"
)

func main() {
	if err := run(os.Args[1:], os.Stdout, os.Stderr); err != nil {
		if !errors.Is(err, flag.ErrHelp) {
			fmt.Fprintln(os.Stderr, "across:", err)
		}
		os.Exit(1)
	}
}

// row is one film.
type row struct {
	FilmMM float64 `json:"film_width_mm"`
	Across int     `json:"across"`
	// FilmPerDecalMM is the film that a decal takes along the roll.
	FilmPerDecalMM float64 `json:"film_per_decal_mm,omitempty"`
	// Turned is the same with the decal turned by 90°.
	Turned               int     `json:"turned_across"`
	TurnedFilmPerDecalMM float64 `json:"turned_film_per_decal_mm,omitempty"`
	// OneMoreWidthMM is the width at which one more goes across, and
	// OneMoreHeightMM the height that goes with it.
	OneMoreWidthMM  float64 `json:"one_more_width_mm,omitempty"`
	OneMoreHeightMM float64 `json:"one_more_height_mm,omitempty"`
	// OneMoreSaves is the share of film a decal that this saves.
	OneMoreSaves float64 `json:"one_more_saves,omitempty"`
}

func run(args []string, stdout, stderr io.Writer) error {
	flags := flag.NewFlagSet("across", flag.ContinueOnError)
	flags.SetOutput(stderr)
	height := length(flags, "height", 0, "the decal's height")
	width := length(flags, "width", 0, "the decal's width")
	gap := length(flags, "gap", units.Inch/4, "between decals")
	margin := length(flags, "margin", 10*units.Millimetre, "at each long edge of the film, to the outermost cut")
	films := flags.String("films", "12in,15in,20in,24in,30in,48in", "the widths of the films on the shelf")
	asJSON := flags.Bool("json", false, "print JSON")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("unexpected argument %q; all settings are flags", flags.Arg(0))
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
	found, err := layout.AcrossTable(shelf, layout.Bed{EdgeMargin: *margin}, *width, *height, *gap)
	if err != nil {
		return err
	}
	rows := make([]row, len(found))
	for i, r := range found {
		rows[i] = rowOf(r)
	}
	if *asJSON {
		e := json.NewEncoder(stdout)
		e.SetIndent("", "  ")
		return e.Encode(map[string]any{"width_mm": width.Millimetres(), "height_mm": height.Millimetres(), "gap_mm": gap.Millimetres(), "edge_margin_mm": margin.Millimetres(), "films": rows})
	}
	table(stdout, rows, *width, *height, *gap, *margin)
	return nil
}

// length defines a flag that takes a length.
func length(flags *flag.FlagSet, name string, value units.Length, usage string) *units.Length {
	l := value
	flags.Func(name, usage+" (default "+value.Fraction(16)+")", func(text string) (err error) {
		l, err = units.Parse(text)
		return err
	})
	return &l
}

// rowOf is the table's row in millimetres.
func rowOf(r layout.AcrossRow) row {
	return row{
		FilmMM: r.Width.Millimetres(), Across: r.Across, FilmPerDecalMM: r.FilmPerDecal.Millimetres(),
		Turned: r.TurnedAcross, TurnedFilmPerDecalMM: r.TurnedFilmPerDecal.Millimetres(),
		OneMoreWidthMM: r.OneMoreWidth.Millimetres(), OneMoreHeightMM: r.OneMoreHeight.Millimetres(), OneMoreSaves: r.OneMoreSaves,
	}
}

func table(w io.Writer, rows []row, width, height, gap, margin units.Length) {
	fmt.Fprintf(w, "Decals %s wide and %s high, %s apart, %.0f mm margins\n\n", width.InchString(), height.InchString(), gap.Fraction(16), margin.Millimetres())
	fmt.Fprintf(w, "%-9s  %6s  %14s  %6s  %14s  %s\n", "film", "across", "film a decal", "turned", "film a decal", "one more across at")
	for _, r := range rows {
		per := func(mm float64) string {
			if mm == 0 {
				return "-"
			}
			return units.Length(mm).InchString()
		}
		more := "-"
		if r.OneMoreWidthMM > 0 {
			more = fmt.Sprintf("%s x %s", units.Length(r.OneMoreWidthMM).InchString(), units.Length(r.OneMoreHeightMM).InchString())
			if r.Across > 0 {
				more += fmt.Sprintf(", %.0f %% less film a decal", 100*r.OneMoreSaves)
			}
		}
		fmt.Fprintf(w, "%-9s  %6d  %14s  %6d  %14s  %s\n", units.Length(r.FilmMM).InchString(), r.Across, per(r.FilmPerDecalMM), r.Turned, per(r.TurnedFilmPerDecalMM), more)
	}
}
